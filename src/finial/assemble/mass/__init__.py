"""Mass table, balance point and burn."""
