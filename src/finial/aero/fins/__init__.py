"""Fins: planform, lift of plates, and fins standing on a body of any section."""
