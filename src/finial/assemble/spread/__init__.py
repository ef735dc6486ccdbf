"""What the sheet says of scatter, as the numbers that a campaign draws."""
