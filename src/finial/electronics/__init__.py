"""Firing paths, currents, batteries."""
