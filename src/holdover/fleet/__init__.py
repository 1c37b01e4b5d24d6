"""Many cases at once: which they are, who works them out, where their workbooks go, and the index of them all."""
