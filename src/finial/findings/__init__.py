"""Checks that end in go, no-go or not known."""
