"""What stands inside the vehicle of a sheet, and whether it fits."""
