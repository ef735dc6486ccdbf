"""How many processor cores this process may use."""

import os


def usable_cores() -> int:
    """Return how many cores this process may run on: fewer than there are where it is held to some."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1
