"""The table of air loads that a flight looks up."""
