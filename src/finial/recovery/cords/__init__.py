"""Shock cords: what they are and hold, practice, and when one cuts the tube."""
