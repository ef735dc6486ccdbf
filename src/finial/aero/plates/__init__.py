"""Flat plates by themselves: planform, lift slope in closed form, vortex lattice."""
