"""Which cells of a table are rows and columns."""
