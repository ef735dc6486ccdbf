"""Bodies with measured loads, blown at in the tunnel: what it is worth, and what it costs."""
