"""What a run asks of a processor or a card, and the order of its steps."""

from typing import Protocol

import numpy as np
from numpy.typing import NDArray


class Machine(Protocol):
    """Holds the air of all grids and moves it on; level 0 is the widest grid."""

    levels: int

    def carry_out(self) -> None:
        """Let the air leave the widest grid."""
        ...

    def sample(self, level: int, *, after: bool) -> None:
        """Keep a grid's moments round the next finer one, those before or those after its step."""
        ...

    def fill(self, level: int, late: float) -> None:
        """Tell a finer grid's rim the kept moments, so late between the two."""
        ...

    def restrict(self, level: int) -> None:
        """Tell a grid the means of the next finer one."""
        ...

    def bounce(self) -> None:
        """Turn back what meets the walls of the finest grid."""
        ...

    def step(self, level: int) -> None:
        """Stream and collide one grid."""
        ...

    def record(self) -> None:
        """Keep the loads of the last bounce, six that press and all six, and the skin's density."""
        ...

    def recorded(self) -> NDArray[np.float64]:
        """Tell the loads of each record since ``forget``, shape (records, 12)."""
        ...

    def skin_means(self) -> NDArray[np.float64]:
        """Tell the mean density, over that of rest, of each cell at the wall since ``forget``, shape (s,)."""
        ...

    def forget(self) -> None:
        """Begin the record anew."""
        ...


def advance(machine: Machine, level: int = 0) -> None:
    """Move a grid on by one step of its own, and all finer ones by as much time.

    The finer grid takes two steps in that time; at the second its rim is told what lies halfway
    between the wider grid's moments before and after.

    Parameters
    ----------
    machine : Machine
    level : int
        Which grid, 0 the widest.
    """
    finest = level == machine.levels - 1
    if level == 0:
        machine.carry_out()
    if finest:
        machine.bounce()
    else:
        machine.sample(level, after=False)
    machine.step(level)
    if finest:
        return
    machine.sample(level, after=True)
    for late in (0.0, 0.5):
        machine.fill(level + 1, late)
        advance(machine, level + 1)
    machine.restrict(level)
