"""What a run asks of a processor or a card, and the order of its steps."""

from collections.abc import Callable
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from finial.tunnel.collision import MOMENTS


class Machine(Protocol):
    """Holds the air of all grids and moves it on; level 0 is the widest grid."""

    levels: int
    conserving: bool
    """What passes between grids is counted and paid."""

    def carry_out(self) -> None:
        """Let the air leave the widest grid: cells of its rim there become as those just inside."""
        ...

    def sample(self, level: int) -> None:
        """Keep a grid's moments round the next finer one; those kept before become the earlier of two.

        Nothing changes them between a step and the next: once a step is enough, and once at the start.

        Parameters
        ----------
        level : int
            The wider grid.
        """
        ...

    def fill(self, level: int, late: float) -> None:
        r"""Tell a finer grid's rim the kept moments, so late between the two.

        .. math::
            m = m_{before} + s (m_{after} - m_{before}), \qquad
            k_{fine} = \frac{\tau_{fine} - 1}{2 (\tau_{wide} - 1)} \, k_{wide}

        for density, momentum and stress off equilibrium :math:`m`, of which the stress :math:`k` is scaled.

        Parameters
        ----------
        level : int
            The finer grid, 1 or more.
        late : float
            Time since the first over that between them, :math:`s`: 0 to 1 [-].

        Notes
        -----
        Linear in time and in each direction.

        References
        ----------
        .. [1] Dupuis and Chopard, Phys. Rev. E 67, 2003. From memory.
        """
        ...

    def restrict(self, level: int) -> None:
        """Tell a grid the means of the next finer one; their stress is scaled back.

        Parameters
        ----------
        level : int
            The wider grid.
        """
        ...

    def count_passed(self, level: int, late: float) -> None:
        """Count what passed the border of a finer grid at its last step, on top of the count so far.

        Parameters
        ----------
        level : int
            The finer grid, 1 or more.
        late : float
            As it was told its rim: at 0 the count begins [-].
        """
        ...

    def settle(self, level: int) -> None:
        """Count what passed by a grid's own last step, and pay what the next finer one counted otherwise.

        Parameters
        ----------
        level : int
            The wider grid.
        """
        ...

    def bounce(self) -> None:
        r"""Turn back what meets the walls of the finest grid.

        .. math::
            f_{\bar l}(x) = \begin{cases}
            2 q f_l^*(x) + (1 - 2 q) f_l^*(x - c_l) & q < \tfrac12 \\
            \frac{1}{2 q} f_l^*(x) + \left( 1 - \frac{1}{2 q} \right) f_{\bar l}^*(x) & q \ge \tfrac12
            \end{cases}

        with :math:`q` the way to the wall over the whole link; then each cell's surplus of air is taken off
        again, in portions as the weights of its links.

        Notes
        -----
        Without the last, walls nearer or farther than half a cell give or swallow air.

        References
        ----------
        .. [1] Bouzidi, Firdaouss, Lallemand, Phys. Fluids 13, 2001. From memory.
        """
        ...

    def step(self, level: int) -> None:
        """Stream and collide one grid, all but its rim.

        Parameters
        ----------
        level : int
            Which grid, 0 the widest.
        """
        ...

    def record(self) -> None:
        """Keep the loads of the last bounce, six that press and all six, and what each link turned back."""
        ...

    def recorded(self) -> NDArray[np.float64]:
        """Tell the loads of each record since ``forget``.

        Returns
        -------
        loads : ndarray, shape (records, 12)
            Over dynamic pressure and area, moments also over the width [-]: six of what presses, then six of
            all; each force aft, across a, across b, then moments about the tip.
        """
        ...

    def link_means(self) -> NDArray[np.float64]:
        """Tell what each link turned back in the mean since ``forget``.

        Returns
        -------
        means : ndarray, shape (l,)
            What left and what came back, by how much they are above those of rest; 0 inside the shape [-].
        """
        ...

    def forget(self) -> None:
        """Begin the record anew."""
        ...

    def look(self, level: int, places: NDArray[np.int64], moments: NDArray[np.float32]) -> None:
        """Write down the moments of some cells as they are now.

        Parameters
        ----------
        level : int
            Their grid, 0 the widest.
        places : ndarray of int, shape (c,)
            Their flat indices [-].
        moments : ndarray, shape (10 c,)
            Where to: room as ``moments_of`` makes it [-].
        """
        ...

    def side_by_side(self, level: int, first: Callable[[], None], second: Callable[[], None]) -> None:
        """Do two things that touch nothing of one another, here one after the other.

        Parameters
        ----------
        level : int
            Whose step they belong to: those of one level never overlap.
        first, second : callable
            Both asked in this order.
        """
        first()
        second()

    def onward(self, steps: int) -> None:
        """Move all grids on and keep the loads after each step.

        Parameters
        ----------
        steps : int
            Of the widest grid.
        """
        for _ in range(steps):
            advance(self)
            self.record()


def advance(machine: Machine, level: int = 0, late: float = 0.0) -> None:
    """Move a grid on by one step of its own, and all finer ones by as much time.

    The finer grid takes two steps in that time. At the first its rim is told what was known before this
    grid's own step, which therefore may go on meanwhile; at the second what lies halfway between the moments
    before and after. Where the machine is conserving, what passed between both is counted on either, and
    what they differ by is paid.

    Parameters
    ----------
    machine : Machine
    level : int
        Which grid, 0 the widest.
    late : float
        Time since the wider grid's last step over that to its next: 0 to 1 [-].
    """

    def told() -> None:
        if level == 0:
            machine.carry_out()
        else:
            machine.fill(level, late)

    def stepped() -> None:
        told()
        step()
        machine.sample(level)

    def step() -> None:
        machine.step(level)
        if level and machine.conserving:
            machine.count_passed(level, late)

    if level == machine.levels - 1:
        machine.side_by_side(level, told, machine.bounce)
        step()
        return
    machine.side_by_side(level, stepped, lambda: advance(machine, level + 1))
    advance(machine, level + 1, 0.5)
    if machine.conserving:
        machine.settle(level)
    machine.restrict(level)


def moments_of(places: NDArray[np.int64]) -> NDArray[np.float32]:
    """Make room for the moments of some cells.

    Parameters
    ----------
    places : ndarray of int, shape (c,)
        Their flat indices [-].

    Returns
    -------
    room : ndarray, shape (10 c,)
        Zeros [-].

    Notes
    -----
    Moment after moment, in the order of ``MOMENTS``.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> len(moments_of(np.array([3, 4])))
    20
    """
    return np.zeros(len(MOMENTS) * len(places), dtype=np.float32)
