"""Material properties with their sources."""
