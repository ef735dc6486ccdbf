"""The nominal flight and its corners."""
