"""Electronics: the sheet's wiring, its firing paths, power, odds and what fails alone."""
