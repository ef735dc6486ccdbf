"""What a flight's log says: one clock, a smoothed climb, and what happened when."""
