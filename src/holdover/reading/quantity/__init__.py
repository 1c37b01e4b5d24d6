"""What a typed amount means."""
