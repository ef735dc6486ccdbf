"""Air and wind."""
