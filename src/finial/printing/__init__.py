"""What printing makes of a shape: walls and infill."""
