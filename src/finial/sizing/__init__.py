"""Trade-offs and solvers: what to change, and by how much."""
