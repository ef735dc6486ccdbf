"""Air loads of any shape from slices and fins."""
