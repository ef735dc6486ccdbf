"""Logs of flights: delimited text, and the mapping that says what its columns are."""
