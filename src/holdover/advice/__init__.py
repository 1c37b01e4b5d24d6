"""What an adviser would remark on. Pure over the case."""
