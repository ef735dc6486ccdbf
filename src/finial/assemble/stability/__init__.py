"""Margins at the moments of a flight that matter."""
