"""Rods, threads, preload and fastenings."""
