"""What is read from traces row by row, compiled."""
