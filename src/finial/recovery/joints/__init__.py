"""Joints between bays: shear pins, and how fast two halves part."""
