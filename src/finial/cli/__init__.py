"""The shell command: parses, calls, shows; no physics."""
