"""Air loads of the vehicle, from whatever source."""
