"""Mass, centre and inertia."""
