"""A thing inside as a solid in place: cylinder, tube or box, anywhere, at any angle."""

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.core.estimates import KnownBy
from finial.shape.mesh import Mesh, crossed

_ROUND_SIDES = 48
"""Sides of the prism that stands for a round thing once it leans."""


class Kind(StrEnum):
    """What a thing is for; decides what may pass through it and when it is put in."""

    MOTOR = "motor"
    MOTOR_TUBE = "motor tube"
    BAY = "bay"
    PACK = "pack"
    """A packed canopy with its protector: cloth, which gives way."""
    SLED = "sled"
    BALLAST = "ballast"
    BULKHEAD = "bulkhead"
    """A plate across the inside, a ring or a thrust plate: drilled for what passes."""
    TUBE = "tube"
    ROD = "rod"
    NUT = "nut"
    """A nut at the end of a rod or an eye bolt, or the washer under it."""
    EYE = "eye"
    """The eye of a bolt on its plate, which a cord is tied to: it stands in the bay, and cloth gives way."""
    SCREW = "screw"
    TAB = "tab"
    """The tab of a fin, in a slot through the wall."""
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """A solid in place; round unless ``depth_m`` is given.

    Raises
    ------
    OutsideRange
        If a size is not a finite number above zero, or the bore does not fit it.
    """

    name: str
    kind: Kind
    middle_m: float
    """Station of its middle [m]."""
    length_m: float
    """Along its own axis [m]."""
    across_m: float
    """Diameter; of a box the side along ``roll_rad`` [m]."""
    depth_m: float = 0.0
    """Other side of a box [m]; 0 for a round thing."""
    bore_m: float = 0.0
    """Diameter of the hole along its axis [m]."""
    offset_m: tuple[float, float] = (0.0, 0.0)
    """Its middle off the vehicle's axis (y, z) [m]."""
    tilt_rad: float = 0.0
    """Between its axis and the vehicle's [rad]."""
    toward_rad: float = 0.0
    """Roll angle that its fore end leans to [rad]."""
    roll_rad: float = 0.0
    """Roll angle of a box's first side [rad]."""
    slack_m: tuple[float, float] = (0.0, 0.0)
    """How far its surface may lie off by the tolerances of its sizes, across and along [m]."""
    known_by: KnownBy = KnownBy.MEASURED
    """How its size is known: measured in the sheet, computed from a density, or assumed."""
    lies_in: str = ""
    """Name of the thing whose room it takes on purpose: a pack in its bay."""
    passes: tuple[str, ...] = ()
    """Names of things that go through it, or it through them, on purpose."""
    moves_with: str = ""
    """Name of the thing that it is placed by: a motor's tube stands where its motor does, nuts
    where their rods end."""
    pressed_in_m: float = 0.0
    """How much larger it is than its seat on purpose, on the radius [m]."""

    def __post_init__(self) -> None:
        """Refuse sizes that make no solid."""
        sizes = (self.length_m, self.across_m)
        if not all(math.isfinite(size) and size > 0.0 for size in sizes):
            raise OutsideRange(
                f"{self.name}: a solid needs a length and a size across above zero: got {sizes} m"
            )
        if not 0.0 <= self.bore_m < self.across_m:
            raise OutsideRange(f"{self.name}: a bore of {self.bore_m} m does not fit {self.across_m} m")
        if not (math.isfinite(self.depth_m) and self.depth_m >= 0.0):
            raise OutsideRange(f"{self.name}: a box cannot be {self.depth_m} m deep")

    def __hash__(self) -> int:
        """Tell most things apart by where and how large they are: what was found of each is kept by it."""
        return hash((self.name, self.middle_m, self.length_m, self.across_m, self.offset_m))

    @property
    def is_round(self) -> bool:
        """True for cylinders and tubes."""
        return self.depth_m == 0.0

    @property
    def is_upright(self) -> bool:
        """True when its axis runs along the vehicle's."""
        return self.tilt_rad == 0.0

    @property
    def reach_m(self) -> float:
        """Radius of the circle round its own cross-section [m]."""
        return self.across_m / 2 if self.is_round else math.hypot(self.across_m, self.depth_m) / 2

    @property
    def span_m(self) -> tuple[float, float]:
        """Stations it reaches from and to [m]."""
        half = self.length_m / 2
        if not self.is_upright:
            half = _leaning_half_m(self)
        return self.middle_m - half, self.middle_m + half

    @property
    def volume_m3(self) -> float:
        """Room it takes, its bore left out [m^3]."""
        area = math.pi / 4 * self.across_m**2 if self.is_round else self.across_m * self.depth_m
        return (area - math.pi / 4 * self.bore_m**2) * self.length_m

    @property
    def forward(self) -> NDArray[np.float64]:
        """Unit vector along its axis towards its fore end [-], body axes, shape (3,)."""
        return np.array(_forward(self))


def _forward(thing: Thing) -> tuple[float, float, float]:
    aside = math.sin(thing.tilt_rad)
    return math.cos(thing.tilt_rad), aside * math.cos(thing.toward_rad), aside * math.sin(thing.toward_rad)


def thing_mesh(thing: Thing) -> Mesh:
    """Return a closed mesh of a thing in body axes, its bore left out.

    Parameters
    ----------
    thing : Thing
        The thing.

    Returns
    -------
    mesh : Mesh
        A prism [m].

    Notes
    -----
    Round things have 48 flat sides, which touch the circle from outside, so that nothing is judged smaller
    than it is: 0.2 % wider at the corners.

    References
    ----------
    .. [1] Regular polygon round a circle: any handbook of mensuration.

    Examples
    --------
    >>> stick = Thing(name="stick", kind=Kind.OTHER, middle_m=0.5, length_m=0.2, across_m=0.01)
    >>> thing_mesh(stick).vertices_m[:, 0].min().round(6), thing_mesh(stick).vertices_m[:, 0].max().round(6)
    (np.float64(-0.6), np.float64(-0.4))
    """
    return _mesh(thing)


@lru_cache(maxsize=1024)
def _leaning_half_m(thing: Thing) -> float:
    """Half the length along the vehicle's axis of a thing that leans, its corners counted [m]."""
    return float(np.ptp(_mesh(thing).vertices_m[:, 0])) / 2


@lru_cache(maxsize=1024)
def _mesh(thing: Thing) -> Mesh:
    ring = outline_m(thing)
    count = len(ring)
    ahead, first, second = _axes(thing)
    across = ring[:, :1] * first + ring[:, 1:] * second
    middle = np.array([-thing.middle_m, *thing.offset_m])
    ends = [middle + across + half * thing.length_m / 2 * ahead for half in (-1.0, 1.0)]
    near, far = np.arange(count), np.roll(np.arange(count), -1)
    fan = np.column_stack([np.zeros(count - 2, dtype=int), near[1:-1], near[2:]])
    faces = [fan[:, ::-1], fan + count]
    faces += [
        np.column_stack([near, far, far + count]),
        np.column_stack([near, far + count, near + count]),
    ]
    return Mesh(vertices_m=np.concatenate(ends), faces=np.concatenate(faces))


def outline_m(thing: Thing, hole: bool = False) -> NDArray[np.float64]:
    """Corners of a thing's own cross-section, or of its bore, about its axis.

    Parameters
    ----------
    thing : Thing
        The thing.
    hole : bool
        Its bore instead.

    Returns
    -------
    corners_m : ndarray, shape (n, 2)
        Counter-clockwise [m].

    Notes
    -----
    Exact for boxes; 48 flat sides stand round a circle, and inside that of a bore.

    References
    ----------
    .. [1] Regular polygon: any handbook of mensuration.

    Examples
    --------
    >>> box = Thing(name="box", kind=Kind.SLED, middle_m=0.5, length_m=0.2, across_m=0.02, depth_m=0.04)
    >>> outline_m(box)[0].tolist()
    [-0.01, -0.02]
    """
    if thing.is_round or hole:
        angles = (np.arange(_ROUND_SIDES) + 0.5) * 2 * math.pi / _ROUND_SIDES
        across = thing.bore_m * math.cos(math.pi / _ROUND_SIDES) if hole else thing.across_m
        radius = across / 2 / math.cos(math.pi / _ROUND_SIDES)
        return radius * np.column_stack([np.cos(angles), np.sin(angles)])
    half = np.array([thing.across_m, thing.depth_m]) / 2
    return half * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])


def placed_outline_m(thing: Thing) -> NDArray[np.float64]:
    """Corners of the cross-section of a thing that runs along the axis, in its place.

    Parameters
    ----------
    thing : Thing
        One without tilt.

    Returns
    -------
    corners_m : ndarray, shape (n, 2)
        Body (y, z) [m].

    Notes
    -----
    As ``outline_m``.

    References
    ----------
    .. [1] Rotation in the plane.

    Examples
    --------
    >>> box = Thing(name="box", kind=Kind.SLED, middle_m=0.5, length_m=0.2, across_m=0.02, depth_m=0.03,
    ...             offset_m=(0.1, 0.0))
    >>> placed_outline_m(box)[0].round(6).tolist()
    [0.09, -0.015]
    """
    cosine, sine = math.cos(thing.roll_rad), math.sin(thing.roll_rad)
    return outline_m(thing) @ np.array([[cosine, sine], [-sine, cosine]]) + thing.offset_m


def _axes(thing: Thing) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Its axis forward, and the two sides of its cross-section: right-handed unit vectors."""
    ahead = thing.forward
    upright = np.array([0.0, math.cos(thing.roll_rad), math.sin(thing.roll_rad)])
    first = upright - (upright @ ahead) * ahead
    if np.linalg.norm(first) < 1e-6:  # lying right along its own first side
        first = np.array([1.0, 0.0, 0.0]) - ahead[0] * ahead
    first /= np.linalg.norm(first)
    return ahead, first, crossed(ahead, first)


def moved_along(thing: Thing, aft_m: float) -> Thing:
    """Return the thing moved along its own axis.

    Parameters
    ----------
    thing : Thing
        The thing.
    aft_m : float
        How far, towards its aft end [m]; negative for forward.

    Returns
    -------
    moved : Thing
        The same, elsewhere.

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Plain geometry.

    Examples
    --------
    >>> stick = Thing(name="stick", kind=Kind.OTHER, middle_m=0.5, length_m=0.2, across_m=0.01)
    >>> moved_along(stick, 0.1).middle_m
    0.6
    """
    along, right, up = _forward(thing)
    return replace(
        thing,
        middle_m=thing.middle_m + aft_m * along,
        offset_m=(thing.offset_m[0] - aft_m * right, thing.offset_m[1] - aft_m * up),
    )


def lengthened(thing: Thing, fore_m: float, aft_m: float) -> Thing:
    """Return the thing drawn out along its own axis until it reaches both stations.

    Parameters
    ----------
    thing : Thing
        The thing.
    fore_m, aft_m : float
        Stations to reach [m]; an end that reaches further stays.

    Returns
    -------
    longer : Thing
        The same, longer.

    Notes
    -----
    Exact for things along the axis; one that leans reaches by its axis and not by its corner, and one that
    lies across is drawn out a thousandfold at most.

    References
    ----------
    .. [1] Plain geometry.

    Examples
    --------
    >>> stick = Thing(name="stick", kind=Kind.OTHER, middle_m=0.5, length_m=0.2, across_m=0.01)
    >>> tuple(round(end, 6) for end in lengthened(stick, 0.1, 0.6).span_m)
    (0.1, 0.6)
    """
    start, end = thing.span_m
    ahead, behind = max(start - fore_m, 0.0), max(aft_m - end, 0.0)
    along, _, _ = _forward(thing)
    steep = max(abs(along), 1e-3)
    grown = (ahead + behind) / steep
    return moved_along(replace(thing, length_m=thing.length_m + grown), (behind - ahead) / 2 / steep)
