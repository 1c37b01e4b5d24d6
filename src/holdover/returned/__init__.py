"""The workbook comes back: read it, audit it, build on it."""
