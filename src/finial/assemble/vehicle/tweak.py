"""One thing of a sheet that may change: what it is, from what to what, and how it is written."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from finial.assemble.vehicle.changes import Changes
from finial.core.dimensions import Dimension

MOST_TIMES = 3.0
"""More of the same than this is another layout [-]; chosen."""
WALL_STEP, PRELOAD_STEP_N, CHARGE_STEP = 0.05, 5.0, 0.05
"""Steps of walls and charges, as shares of the sheet's [-], and of the preload of rods [N]."""


class TweakKind(StrEnum):
    """What may be changed; the last four are of the day and the field, and mend no vehicle."""

    BALLAST = "ballast"
    SPAN = "span"
    SWEPT = "swept span"
    """Longer fins whose tips go aft as far as they go out."""
    THICKNESS = "thickness"
    PLATE = "plate"
    """Fins of a stiffer plate, as thick as before."""
    WALLS = "walls"
    PRELOAD = "preload"
    LESS_PRELOAD = "less preload"
    PINS = "pins"
    CHARGE = "charge"
    LESS_CHARGE = "less charge"
    CANOPY = "canopy"
    SMALLER_CANOPY = "smaller canopy"
    CORD = "cord"
    LONGER_CORD = "longer cord"
    RAIL = "rail"
    GUIDES = "guides"
    STAYS = "stays"
    GLUE = "glue"
    """A part glued to the one behind it, where no joint of the recovery parts them."""
    PORTS = "ports"
    WHITE = "white"
    """Painted white, so that the sun warms it less."""
    WASHER = "washer"
    """Washers under the nuts of rods."""
    BEARING = "plate under nuts"
    THREAD = "thread"
    """Rods of the next thread up."""
    DOWELS = "dowels"
    THRUST_PLATE = "thrust plate"
    TUBE_GLUE = "tube glue"
    """Length of the glued joint of the motor tube."""
    SCREWS = "screws"
    """Screws that keep the motor in."""
    EYE = "eye"
    """An eye of the next thread up."""
    EYE_WASHER = "eye washer"
    ROOT = "root"
    """Depth of what holds a fin's root."""
    WIRE = "wire"
    """Thickness of the wires of a fin's stays."""
    TAUT = "taut"
    """Preload of the wires of a fin's stays."""
    SLACKER = "slacker"
    BATTERY = "battery"
    LESS_BALLAST = "less ballast"
    CANT = "cant"
    FORWARD = "forward"
    """The same thing at a station nearer to the tip."""
    AFT = "aft"
    CALMER = "calmer"
    UPRIGHT = "upright"
    PEOPLE = "people"
    WARMER = "warmer"


OF_THE_DAY = frozenset({TweakKind.CALMER, TweakKind.UPRIGHT, TweakKind.PEOPLE, TweakKind.WARMER})
"""What mends no vehicle: tried for advice alone."""

MOVES = frozenset({TweakKind.FORWARD, TweakKind.AFT})
"""The same things elsewhere: tried for advice alone, as no size changes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tweak:
    """One thing that may change: from what the sheet says to the most that is tried [SI]."""

    kind: TweakKind
    name: str
    now: float
    most: float
    step: float
    dimension: Dimension
    changes: Callable[[float], Changes]
    to: str = ""
    """What it is changed to, where that is a thing of the tables and no number."""

    @property
    def is_whole(self) -> bool:
        """True for what is done or left, and not by halves."""
        return abs(self.most - self.now) <= self.step

    def on_a_step(self, value: float) -> float:
        """Value [SI] rounded up to a step that a builder can make, and no more than the most.

        Parameters
        ----------
        value : float
            Size wanted, in the unit of the pull's dimension [SI].

        Returns
        -------
        value : float
            The next step up [SI].

        Notes
        -----
        For pulls that grow; a ratio goes to the next quarter, so that findings share what is tried.

        References
        ----------
        .. [1] Definition.

        Examples
        --------
        >>> walls = Tweak(kind=TweakKind.WALLS, name="", now=1.0, most=3.0, step=0.05,
        ...     dimension=Dimension.RATIO, changes=lambda _times: {})
        >>> walls.on_a_step(1.3), walls.on_a_step(4.0)
        (1.5, 3.0)
        """
        step = 0.25 if self.dimension is Dimension.RATIO and self.step < 1.0 else self.step
        return min(math.ceil(value / step - 1e-9) * step, self.most)

    def at(self, share: float) -> float:
        """Value at a share of the way from now to the most, on a step a builder can make.

        Parameters
        ----------
        share : float
            Share of the way [-].

        Returns
        -------
        value : float
            In the unit of the pull's dimension [SI].

        Notes
        -----
        For shares from 0 to 1.

        References
        ----------
        .. [1] Definition.

        Examples
        --------
        >>> rail = Tweak(kind=TweakKind.RAIL, name="", now=2.0, most=12.0, step=0.05,
        ...     dimension=Dimension.LENGTH, changes=lambda _length_m: {})
        >>> rail.at(0.5)
        7.0
        """
        value = self.now + share * (self.most - self.now)
        return min(self.now, self.most) if value < 0.0 else round(value / self.step) * self.step


def tweak(kind: TweakKind, name: str, ends: tuple[float, float, float], dimension: Dimension,
          changes: Callable[[float], Changes]) -> Tweak:  # fmt: skip
    """Make a change of something from what it is to the most that is tried, in steps a builder can make.

    Parameters
    ----------
    kind : TweakKind
        What is pulled at.
    name : str
        What it belongs to in the sheet; empty where there is only one.
    ends : tuple of float
        What it is, the most that is tried, and a step [SI].
    dimension : Dimension
        What the three count.
    changes : callable
        Writes a value [SI] into the sheet.

    Returns
    -------
    change : Tweak
        The three ends by their names.

    Notes
    -----
    Range: any three of one unit.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> tweak(TweakKind.RAIL, "", (2.0, 12.0, 0.05), Dimension.LENGTH, lambda _length_m: {}).most
    12.0
    """
    now, most, step = ends
    return Tweak(kind=kind, name=name, now=now, most=most, step=step, dimension=dimension, changes=changes)
