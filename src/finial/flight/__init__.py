"""Six-degree-of-freedom flight from rail to ground."""
