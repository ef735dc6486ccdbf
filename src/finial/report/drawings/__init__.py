"""Drawings true to scale: one list of shapes in millimetres, written as SVG, DXF and tiled PDF."""
