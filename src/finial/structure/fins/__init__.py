"""Fins as plates: modes, stress, flutter, roots and bracing wires."""
