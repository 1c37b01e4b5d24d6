"""From files to a case: what a client surveyed and what is on offer, read and checked."""
