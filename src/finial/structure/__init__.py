"""Loads and reserves of the printed body and its rods."""
