"""Constants, units, estimates, frames and errors that every other layer stands on."""
