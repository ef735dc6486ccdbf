"""Canopies, cords, charges and pins."""
