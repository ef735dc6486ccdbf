"""Screw threads: what area carries tension, and what area strips."""

import math
from dataclasses import dataclass
from functools import cache

from finial.core.doors import require_positive
from finial.core.tables import row_named, table_rows

_MM = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Thread:
    """A coarse thread, with the tolerance ends that decide when it strips."""

    name: str
    metric: bool
    diameter_m: float
    pitch_m: float
    pitch_diameter_min_m: float
    """Smallest pitch diameter of the screw [m]."""
    nut_minor_max_m: float
    """Largest bore of the nut [m]."""
    source: str


def thread(name: str) -> Thread:
    """Return the thread of that name.

    Parameters
    ----------
    name : str
        Such as ``M6`` or ``1/4-20``, letter case ignored.

    Returns
    -------
    thread : Thread
        Diameters and pitch [m], with the source of its row.

    Raises
    ------
    MissingData
        If the table has no such thread; the message lists what it has.

    Examples
    --------
    >>> thread("m6").pitch_m
    0.001
    """
    row = row_named(_thread_rows(), name.strip())
    return Thread(
        name=row["name"],
        metric=row["series"] == "metric",
        diameter_m=float(row["diameter_mm"]) * _MM,
        pitch_m=float(row["pitch_mm"]) * _MM,
        pitch_diameter_min_m=float(row["pitch_diameter_min_mm"]) * _MM,
        nut_minor_max_m=float(row["nut_minor_max_mm"]) * _MM,
        source=row["source"],
    )


@cache
def _thread_rows() -> tuple[dict[str, str], ...]:
    return table_rows("finial.structure", "threads.csv")


def next_thread_up(name: str) -> str | None:
    """Return the next thicker thread of the same series.

    Parameters
    ----------
    name : str
        Such as ``M6`` or ``1/4-20``, letter case ignored.

    Returns
    -------
    name : str or None
        As the table spells it; ``None`` for the thickest.

    Raises
    ------
    MissingData
        If the table has no such thread; the message lists what it has.

    Notes
    -----
    Range: the threads of the table.

    References
    ----------
    .. [1] ISO 261, first choice of diameters; ASME B1.1, coarse series.

    Examples
    --------
    >>> next_thread_up("M6"), next_thread_up("1/4-20"), next_thread_up("M12")
    ('M8', '5/16-18', None)
    """
    now = thread(name)
    threads = (thread(row["name"]) for row in _thread_rows())
    thicker = [one for one in threads if one.metric is now.metric and one.diameter_m > now.diameter_m]
    return min(thicker, key=lambda one: one.diameter_m).name if thicker else None


def stress_area(screw: Thread) -> float:
    r"""Area that carries tension in a threaded rod.

    .. math::  A_t = \frac{\pi}{4} (d - c P)^2, \qquad c = 0.9382 \text{ metric}, \; 0.9743 \text{ inch}

    Parameters
    ----------
    screw : Thread
        Diameter [m], pitch [m] and series.

    Returns
    -------
    area_m2 : float
        Tensile stress area [m^2].

    Raises
    ------
    OutsideRange
        If diameter or pitch is not above zero.

    Notes
    -----
    Holds for 60 degree threads of the coarse series.

    References
    ----------
    .. [1] ISO 898-1, nominal stress area (metric).
    .. [2] ASME B1.1, tensile stress area (inch).

    Examples
    --------
    >>> round(stress_area(thread("M6")) * 1e6, 2)
    20.12
    """
    require_positive(diameter_m=screw.diameter_m, pitch_m=screw.pitch_m)
    factor = 0.9382 if screw.metric else 0.9743
    return math.pi / 4 * (screw.diameter_m - factor * screw.pitch_m) ** 2


def minor_diameter(screw: Thread) -> float:
    r"""Diameter at the root of the thread, which decides buckling.

    .. math::  d_3 = d - 1.22687 P

    Parameters
    ----------
    screw : Thread
        Diameter [m] and pitch [m].

    Returns
    -------
    diameter_m : float
        Root diameter [m].

    Raises
    ------
    OutsideRange
        If diameter or pitch is not above zero.

    Notes
    -----
    Holds for 60 degree threads with a rounded root; used for inch threads too, where it is 1 % apart
    from the tabled value at most.

    References
    ----------
    .. [1] ISO 68-1 profile, ISO 898-1 definition of d3.

    Examples
    --------
    >>> round(minor_diameter(thread("M6")) * 1e3, 3)
    4.773
    """
    require_positive(diameter_m=screw.diameter_m, pitch_m=screw.pitch_m)
    return screw.diameter_m - 1.22687 * screw.pitch_m


def strip_area(screw: Thread, engagement_m: float) -> float:
    r"""Area of the screw's own thread that shears off when it strips.

    .. math::  A_s = \frac{\pi L_e D_1}{P} \left[ \frac{P}{2} + 0.57735 \, (d_2 - D_1) \right]

    with the nut's bore at its largest and the screw's pitch diameter at its smallest.

    Parameters
    ----------
    screw : Thread
        Pitch [m], smallest pitch diameter [m], largest bore of the nut [m].
    engagement_m : float
        Length of engaged thread [m].

    Returns
    -------
    area_m2 : float
        Shear area [m^2].

    Raises
    ------
    OutsideRange
        If the engagement is not above zero.

    Notes
    -----
    Holds when the nut is stronger than the screw. A screw in a printed thread strips the print first:
    that needs a test, not this formula.

    References
    ----------
    .. [1] Bickford, An Introduction to the Design and Behavior of Bolted Joints, thread shear areas;
       from memory, not re-read.

    Examples
    --------
    >>> round(strip_area(thread("M6"), 0.006) * 1e6, 1)
    51.9
    """
    require_positive(engagement_m=engagement_m)
    bore = screw.nut_minor_max_m
    height = screw.pitch_m / 2 + 0.57735 * (screw.pitch_diameter_min_m - bore)
    return math.pi * engagement_m * bore / screw.pitch_m * height
