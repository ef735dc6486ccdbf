# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false, reportUnknownArgumentType=false
# The types of shapely's functions leave their keywords, and what comes out of them, open.
"""A part cut into pieces: joints printed into both sides, every piece one body."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from finial.printing.frames import Plane, across_body, along_body
from finial.printing.joints import (
    Dowels,
    JointKind,
    PrintedJoint,
    contact,
    dowel_holes,
    dowel_places,
    lip_bodies,
    lip_region,
)
from finial.shape.united import Body, loose_bodies

SCRAP_M3 = 20e-9
"""A chip smaller than this is swept away, and told [m^3]: 20 mm3; chosen."""
_BEYOND_M = 2e-3
_ACROSS = 0.5
_CROSSING_M = 8e-3
"""Dowels keep this far from another cut that crosses theirs [m]; chosen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BedCut:
    """A plane to cut by, and what is to hold its sides together."""

    plane: Plane
    kind: JointKind
    dowels: Dowels | None = None
    lip_m: float = 0.0

    @property
    def is_across(self) -> bool:
        """Whether it goes across the axis."""
        return abs(self.plane.normal[0]) > _ACROSS


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearances:
    """Play that the builder's printer needs."""

    across_m: float
    """What a hole is wider than what goes through it, on the diameter [m]."""
    wall_m: float
    """Plastic that must stand round a hole [m]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SplitPart:
    """Pieces of a part from the tip aft, what joins them, and what fell off."""

    pieces: tuple[Body, ...]
    """Body axes [m]."""
    joints: tuple[PrintedJoint, ...]
    cuts: tuple[BedCut, ...]
    """Those that were made, one for each joint."""
    scraps: int = 0
    """Chips too small to print, swept away."""
    scrap_m3: float = 0.0


def station_cut(
    station_m: float, kind: JointKind, dowels: Dowels | None = None, lip_m: float = 0.0
) -> BedCut:
    """Return a cut square to the axis.

    Parameters
    ----------
    station_m : float
        Station [m].
    kind : JointKind
        What holds its sides together.
    dowels : Dowels, optional
        Pins across it.
    lip_m : float
        How far its lip stands out [m].

    Returns
    -------
    cut : BedCut
        The cut.

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> station_cut(0.2, JointKind.GLUE).plane.offset_m
    -0.2
    """
    return BedCut(plane=across_body(station_m), kind=kind, dowels=dowels, lip_m=lip_m)


def lengthwise_cut(roll_rad: float, kind: JointKind, dowels: Dowels | None = None) -> BedCut:
    """Return a cut along the axis.

    Parameters
    ----------
    roll_rad : float
        Roll angle that it faces [rad].
    kind : JointKind
        What holds its sides together.
    dowels : Dowels, optional
        Pins across it.

    Returns
    -------
    cut : BedCut
        The cut.

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> lengthwise_cut(0.0, JointKind.GLUE).plane.normal
    (0.0, 1.0, 0.0)
    """
    return BedCut(plane=along_body(roll_rad), kind=kind, dowels=dowels)


def _none_fits(_body: Body) -> bool:
    return False


def split(
    solid: Body, cuts: Sequence[BedCut], play: Clearances, fits: Callable[[Body], bool] = _none_fits
) -> SplitPart:
    """Cut a solid by planes and print the joints into both sides.

    Parameters
    ----------
    solid : manifold3d.Manifold
        The part in body axes, its holes taken out [m].
    cuts : sequence of BedCut
        Planes to cut by: those across the axis go through the whole part, those along it through what does
        not fit by then.
    play : Clearances
        Play and plastic round holes [m].
    fits : callable, optional
        Whether a body goes onto the bed as it is; none does without it.

    Returns
    -------
    split : SplitPart
        The pieces from the tip aft, each one body, the joints as made, and chips that were swept away.

    Raises
    ------
    OutsideRange
        If the plastic that must stand round a hole is negative.
    MeshError
        If the solid is inside out.

    Notes
    -----
    Exact: what is cut adds up to the part less its dowel holes and the play of its lips. Where a cut leaves
    several bodies on one side, each is a piece of its own; one along the axis that meets no plastic joins
    nothing and is left out.

    References
    ----------
    .. [1] Regularised set operations on closed polyhedra; the library is manifold3d.

    Examples
    --------
    >>> import manifold3d
    >>> post = manifold3d.Manifold.cube((0.4, 0.1, 0.1)).translate((-0.4, -0.05, -0.05))
    >>> pins = Dowels(count=2, diameter_m=0.005, depth_m=0.01)
    >>> play = Clearances(across_m=0.0002, wall_m=0.002)
    >>> parted = split(post, [station_cut(0.2, JointKind.DOWELS, pins)], play)
    >>> [round(1e3 * piece.volume(), 2) for piece in parted.pieces], len(parted.joints[0].places_m)
    ([2.0, 2.0], 2)
    """
    short = _made([solid], [cut for cut in cuts if cut.is_across], cuts, play)
    wide = [body for body in short.bodies if not fits(body)]
    narrow = _made(wide, [cut for cut in cuts if not cut.is_across], cuts, play)
    bodies = [*(body for body in short.bodies if fits(body)), *narrow.bodies]
    scraps = [body.volume() for body in bodies if body.volume() < SCRAP_M3]
    pieces = sorted((body for body in bodies if body.volume() >= SCRAP_M3), key=_from_tip)
    made = [*short.joined, *((cut, joint) for cut, joint in narrow.joined if joint.glue_area_m2 > 0.0)]
    return SplitPart(
        pieces=tuple(pieces),
        joints=tuple(joint for _, joint in made),
        cuts=tuple(cut for cut, _ in made),
        scraps=len(scraps),
        scrap_m3=float(sum(scraps, start=0.0)),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Made:
    """Bodies after some cuts, and each cut with its joint."""

    bodies: list[Body]
    joined: list[tuple[BedCut, PrintedJoint]]


def _made(bodies: Sequence[Body], cuts: Sequence[BedCut], every: Sequence[BedCut], play: Clearances) -> _Made:
    """Make some cuts of all, the holes of their joints before them."""
    import manifold3d

    if not bodies or not cuts:
        return _Made(bodies=[one for body in bodies for one in loose_bodies(body)], joined=[])
    whole = bodies[0] if len(bodies) == 1 else manifold3d.Manifold.compose(list(bodies))
    joined = [(cut, _joint(whole, cut, every, play)) for cut in cuts]
    sides = [_drilled(body, [joint for _, joint in joined], play) for body in bodies]
    for cut, joint in joined:
        sides = [side for one in sides for side in _parted(one, cut, joint, play)]
    return _Made(bodies=[body for side in sides for body in loose_bodies(side)], joined=joined)


def _drilled(body: Body, joints: Sequence[PrintedJoint], play: Clearances) -> Body:
    for joint in joints:
        for hole in dowel_holes(joint, play.across_m):
            body = body - hole
    return body


def _from_tip(body: Body) -> tuple[float, float, float]:
    low_x, low_y, low_z, high_x, high_y, high_z = body.bounding_box()
    return round(-(low_x + high_x), 6), round(low_y + high_y, 6), round(low_z + high_z, 6)


def _joint(solid: Body, cut: BedCut, every: Sequence[BedCut], play: Clearances) -> PrintedJoint:
    """Lay a joint out: what there is no room for is glue alone."""
    import math

    import shapely

    flat = cut.plane.flat(_slab(solid, cut))
    touching = contact(flat)
    kind, places, dowels, lip = cut.kind, (), cut.dowels, 0.0
    if dowels is not None and kind is not JointKind.LIP:
        places = dowel_places(_away_from(flat, cut, every), dowels, play.wall_m)
    if kind is JointKind.LIP:
        lip = cut.lip_m if lip_region(flat, cut.lip_m, play.wall_m) is not None else 0.0
        kind = kind if lip else JointKind.GLUE
    if kind is JointKind.DOWELS and not places:
        kind = JointKind.GLUE
    radius = (dowels.diameter_m + play.across_m) / 2 if dowels else 0.0
    return PrintedJoint(
        plane=cut.plane,
        kind=kind,
        glue_area_m2=float(shapely.area(touching)) - len(places) * math.pi * radius**2,
        places_m=places,
        dowels=dowels if places else None,
        lip_m=lip,
        room_for=len(places),
    )


def _slab(solid: Body, cut: BedCut) -> Body:
    """Take what a joint can reach: sections of the whole part take longer than all the rest."""
    deep = _BEYOND_M + max(cut.dowels.depth_m if cut.dowels else 0.0, cut.lip_m)
    ahead = solid.trim_by_plane(cut.plane.normal, cut.plane.offset_m - deep)
    x, y, z = cut.plane.normal
    return ahead.trim_by_plane((-x, -y, -z), -cut.plane.offset_m - deep)


def _away_from(flat: Body, cut: BedCut, every: Sequence[BedCut]) -> Body:
    """Take out strips along the cuts that cross this one, so that no dowel is cut in two."""
    import manifold3d
    import numpy as np

    for other in every:
        if other is cut or abs(float(np.dot(other.plane.normal, cut.plane.normal))) > 0.999:
            continue
        slab = manifold3d.Manifold.cube((10.0, 10.0, 2 * _CROSSING_M), True)
        flat = flat - cut.plane.flat(other.plane.back(slab))
    return flat


def _parted(one: Body, cut: BedCut, joint: PrintedJoint, play: Clearances) -> list[Body]:
    fore, aft = one.split_by_plane(cut.plane.normal, cut.plane.offset_m)
    if joint.lip_m and not fore.is_empty() and not aft.is_empty():
        region = lip_region(cut.plane.flat(_slab(one, cut)), joint.lip_m, play.wall_m)
        if region is not None:
            tongue, groove = lip_bodies(cut.plane, region, joint.lip_m, play.across_m)
            fore, aft = fore + (tongue ^ one), aft - groove
    return [side for side in (fore, aft) if not side.is_empty()]
