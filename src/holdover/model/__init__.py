"""The reference model: pure functions and records, no input or output, no sheet."""
