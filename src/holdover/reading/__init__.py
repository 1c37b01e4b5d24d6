"""From files to a case: what people typed, to fields."""
