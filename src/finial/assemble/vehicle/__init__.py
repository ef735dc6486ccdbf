"""From the sheet and its meshes to a vehicle: placed, sliced, its fins, canopies, stays and changes."""
