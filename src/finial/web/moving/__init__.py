"""What moves: the flight in space, a separation in time, a fin in its modes."""
