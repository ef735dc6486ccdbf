"""Fins in the wind: as plates, at their roots, with their stays."""
