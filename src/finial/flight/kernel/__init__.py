"""The compiled flight: everything that runs inside the kernels, and what compiles them."""
