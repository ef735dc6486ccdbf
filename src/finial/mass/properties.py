"""Mass, centre and inertia of a body, and how bodies add."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange


@dataclass(frozen=True, slots=True, kw_only=True)
class MassProperties:
    """Mass [kg], centre (x, y, z) [m] in body axes, inertia tensor about the centre [kg m^2].

    Body x points forward from the tip, so a centre at station s has x = -s.
    """

    mass_kg: float
    centre_m: NDArray[np.float64]
    inertia_kg_m2: NDArray[np.float64]

    @property
    def station_m(self) -> float:
        """Station of the balance point [m] aft of the tip."""
        return -float(self.centre_m[0])


def combined(bodies: Iterable[MassProperties]) -> MassProperties:
    r"""Add bodies by the parallel-axis theorem.

    .. math::
        m = \sum_i m_i, \quad c = \tfrac{1}{m} \sum_i m_i c_i, \quad
        I = \sum_i \left[ I_i + m_i (|d_i|^2 1 - d_i d_i^T) \right], \quad d_i = c_i - c

    Parameters
    ----------
    bodies : iterable of MassProperties
        Masses [kg], centres [m] and inertias [kg m^2], all in body axes.

    Returns
    -------
    whole : MassProperties
        Their sum, inertia about its own centre.

    Raises
    ------
    OutsideRange
        If there are no bodies or the total mass is not positive.

    Notes
    -----
    Exact for bodies fixed to one another. A body of negative mass takes away, so a hole can be cut.

    References
    ----------
    .. [1] Parallel-axis theorem (Huygens, Steiner): any handbook of mechanics.

    Examples
    --------
    >>> def ball(x):
    ...     return MassProperties(mass_kg=1.0, centre_m=np.array([x, 0, 0]), inertia_kg_m2=np.zeros((3, 3)))
    >>> combined([ball(-1.0), ball(1.0)]).inertia_kg_m2.diagonal().tolist()
    [0.0, 2.0, 2.0]
    """
    parts = tuple(bodies)
    masses = np.array([part.mass_kg for part in parts], dtype=float)
    mass = float(masses.sum())
    if not mass > 0.0:
        raise OutsideRange(f"the bodies weigh {mass} kg together: a vehicle needs a mass above zero")
    centres = np.array([part.centre_m for part in parts])
    centre = masses @ centres / mass
    offsets = centres - centre
    squares = (masses[:, None] * offsets).T @ offsets
    own = np.sum([part.inertia_kg_m2 for part in parts], axis=0)
    inertia = own + np.trace(squares) * np.eye(3) - squares
    return MassProperties(mass_kg=mass, centre_m=centre, inertia_kg_m2=inertia)
