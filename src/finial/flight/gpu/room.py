"""Room for one flight's numbers on a graphics card, fixed when its kernel is compiled."""

from typing import Final

MOST_POOL: Final = 2048
"""About 400 heights of wind beside everything else."""
MOST_SLOTS: Final = 384
"""About 85 rows of mass."""
MOST_DRAWS: Final = 128
THREADS: Final = 32
"""Flights that fly together: their rates at the stages of a step share the nearest memory."""
