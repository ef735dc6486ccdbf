"""The shell command."""
