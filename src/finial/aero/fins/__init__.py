"""Fins standing on a body of any section."""
