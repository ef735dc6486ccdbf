"""Packs: how a canopy lies in its bay, and what gets it out."""
