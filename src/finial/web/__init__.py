"""The page on this machine."""
