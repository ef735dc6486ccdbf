"""A tower's file turned into solids: every part one closed body, standing on the one below it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import Fault, MeshError, OutsideRange, TowerError
from finial.core.units import Dimension, show
from finial.files.meshes import LARGEST_M, SMALLEST_M
from finial.files.source import TomlSource
from finial.files.svg_outline import read_svg_outline
from finial.files.tower import RECTANGLE, SIDES, SVG, StoreyEntry, Tower, TowerBoreEntry, TowerPartEntry
from finial.printing.sound import Sound, sound
from finial.shape.storeys import Bore, Ledge, Pocket, Roof, Shoulder, Storey, rectangle, rounded, tower
from finial.shape.tiers import unit_ring
from finial.shape.united import Body


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DrawnPart:
    """One part of a tower, as its file will hold it."""

    name: str
    heights_m: tuple[float, float]
    """From and to over the ground, its shoulder included [m]."""
    sides_m: tuple[float, float]
    """Extents along mesh x and y [m]."""
    volume_m3: float
    sound: Sound
    """In its place in the tower [mm]."""


def drawn_tower(told: Tower, source: TomlSource) -> tuple[DrawnPart, ...]:
    """Draw every part, the first standing on the ground and each other one on the part before it.

    Raises
    ------
    TowerError
        With every part that makes no closed body, and why.
    OutsideRange
        Of one part alone: it comes out as the fault of that part.
    """
    faults: list[Fault] = []
    drawn: list[DrawnPart] = []
    ground = 0.0
    for number, part in enumerate(told.part):
        try:
            _refuse_twin(told, part, number)
            drawn.append(_drawn(part, _solid(part, source).translate((0.0, 0.0, ground))))
        except (OutsideRange, MeshError) as error:
            accepted = "outlines, windows and bores that leave one closed body"
            faults.append(source.fault(("part", number), given=f"{part.name}: {error}", accepted=accepted))
        ground += sum(storey.height.value for storey in part.tiers)
    if faults:
        raise TowerError(faults)
    return tuple(drawn)


def _refuse_twin(told: Tower, part: TowerPartEntry, number: int) -> None:
    if any(other.name == part.name for other in told.part[:number]):
        raise OutsideRange("a second part of that name")


def _solid(part: TowerPartEntry, source: TomlSource) -> Body:
    shoulder = part.shoulder
    return tower(
        [_storey(storey, source) for storey in part.tiers],
        bores=[_bore(bore) for bore in part.bores],
        shoulder=None
        if shoulder is None
        else Shoulder(across_m=shoulder.across.value, length_m=shoulder.length.value),
    )


def _drawn(part: TowerPartEntry, solid: Body) -> DrawnPart:
    low_x, low_y, low_z, high_x, high_y, high_z = solid.bounding_box()
    longest = max(high_x - low_x, high_y - low_y, high_z - low_z)
    if not SMALLEST_M <= longest <= LARGEST_M:
        ends = " and ".join(show(end, Dimension.LENGTH) for end in (SMALLEST_M, LARGEST_M))
        raise OutsideRange(f"{show(longest, Dimension.LENGTH)} long: parts between {ends} are drawn")
    return DrawnPart(
        name=part.name,
        heights_m=(low_z, high_z),
        sides_m=(high_x - low_x, high_y - low_y),
        volume_m3=float(solid.volume()),
        sound=sound(solid.scale((1e3, 1e3, 1e3)), part.name),
    )


def _storey(told: StoreyEntry, source: TomlSource) -> Storey:
    across, height = told.across.value, told.height.value
    return Storey(
        outline_m=_outline(told, source),
        height_m=height,
        top=1.0 if told.across_top is None else told.across_top.value / across,
        twist_rad=told.twist.value,
        roof=Roof.FLAT if told.roof is None else Roof(told.roof),
        ledges=tuple(
            Ledge(
                out_m=one.out.value,
                from_m=height - one.height.value if one.sill is None else one.sill.value,
                height_m=one.height.value,
            )
            for one in told.ledges
        ),
        pockets=tuple(
            Pocket(
                count=one.count,
                first_rad=one.first_at.value,
                width_m=one.width.value,
                height_m=one.height.value,
                sill_m=one.sill.value,
                depth_m=one.depth.value,
                is_arched=one.arched,
            )
            for one in told.windows
        ),
    )


def _outline(told: StoreyEntry, source: TomlSource) -> NDArray[np.float64]:
    across = told.across.value
    if told.outline == RECTANGLE:
        if told.deep is None:
            raise OutsideRange("a rectangle without deep, its side along y")
        drawn = rectangle(across, told.deep.value)
    elif told.outline.endswith(SVG):
        drawn = _own(told, source)
    elif told.deep is not None:
        raise OutsideRange(
            f"a {told.outline} with deep: that goes with a rectangle or an outline of your own"
        )
    else:
        drawn = unit_ring(_sides(told.outline)) * (across / 2)
    return drawn if told.corner is None else rounded(drawn, told.corner.value)


def _sides(outline: str) -> int:
    return SIDES[outline] if outline in SIDES else int(outline.removesuffix("-gon"))


def _own(told: StoreyEntry, source: TomlSource) -> NDArray[np.float64]:
    """Scale an outline of the builder's own; by the same both ways where one size is told."""
    corners = read_svg_outline(source.path.parent / told.outline)
    wide, deep = np.ptp(corners, axis=0).tolist()
    if not (wide > 0.0 and deep > 0.0):
        raise OutsideRange(f"{told.outline}: an outline that encloses nothing")
    share = told.across.value / wide
    return corners * (share, share if told.deep is None else told.deep.value / deep)


def _bore(told: TowerBoreEntry) -> Bore:
    if (told.across is None) == (told.sides is None):
        raise OutsideRange("a bore has either across or two sides")
    heights = (told.heights[0].value, told.heights[1].value)
    if heights[0] >= heights[1]:
        raise OutsideRange("a bore that ends below where it begins: the lower height first")
    offset = (told.offset[0].value, told.offset[1].value)
    if told.sides is not None:
        sides = (told.sides[0].value, told.sides[1].value)
        return Bore(heights_m=heights, sides_m=sides, is_round=False, offset_m=offset)
    across = told.across.value if told.across is not None else 0.0
    return Bore(heights_m=heights, sides_m=(across, across), offset_m=offset)
