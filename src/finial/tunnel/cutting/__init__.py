"""Where the surface crosses the lattice, and which cells lie inside."""
