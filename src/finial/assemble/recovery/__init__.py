"""Charges, canopies and cords of the sheet, by closed forms and followed in time."""
