"""Build sheet to physics: the only place both are known."""
