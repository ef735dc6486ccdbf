"""Pieces as their builder exported them: which way they stand, and how they stand together."""
