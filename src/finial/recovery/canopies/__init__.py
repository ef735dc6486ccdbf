"""Canopies: kinds, filling, opening, reefing, drop tests, and how fast a thing comes down under them."""
