"""Loads along the body: masses, forces, impacts."""
