"""Finial: from the mesh of an odd-shaped, printed high-power rocket to a readiness verdict."""

__version__ = "0.1.0"
