"""Thrust curves and burn."""
