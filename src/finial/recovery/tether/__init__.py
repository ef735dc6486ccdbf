"""Two or more pieces on lines, followed in time after a joint has opened."""
