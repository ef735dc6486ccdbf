"""Distances, limits and classes from data tables."""
