"""What is inside: solids in place, the room they have, what may pass, how each gets there."""
