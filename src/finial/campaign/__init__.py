"""Many flights of one vehicle: design, run, keep, and what they say."""
