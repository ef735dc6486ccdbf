"""Flow round the very shape, computed on a lattice: what a wind tunnel would read."""
