"""The candidates side by side: each check, its reasons, prices and ranks."""
