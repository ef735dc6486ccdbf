"""The checks, by subject. Each module turns one stage's results into findings."""
