"""Bytes to frozen records and back; no physics."""
