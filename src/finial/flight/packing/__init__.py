"""From a flight's inputs to the arrays that the kernel reads."""
