"""Meshes and slices of any closed shape."""
