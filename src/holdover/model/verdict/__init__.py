"""The verdict on a candidate: its checks, its place among the others, why it falls short and what would mend it."""
