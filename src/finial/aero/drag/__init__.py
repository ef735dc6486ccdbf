"""Drag by source, and friction."""
