"""One answer to a vehicle, as deep as it is asked for."""
