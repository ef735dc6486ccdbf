"""Logs of flights: read, explained, and put back into the model."""
