"""What a wall still carries after it has wrinkled."""

from collections.abc import Iterable, Sequence
from functools import partial

from finial.core.corners import over_corners
from finial.structure.reserves import Reserve, reserve_factor
from finial.structure.walls.body import WALL_WRINKLES
from finial.structure.walls.buckling import (
    flat_wall_buckling_stress,
    round_wall_buckling_stress,
    wrinkled_wall_strength,
)
from finial.structure.walls.cuts import SectionSpec, WallSection

WALL_COLLAPSES = "wall collapses after wrinkling"


def collapse_reserves(reserves: Iterable[Reserve], specs: Sequence[SectionSpec]) -> tuple[Reserve, ...]:
    r"""Judge each wrinkling wall again by the load at which it collapses.

    .. math::  \sigma_u = \sigma_y r (1 - 0.22 r), \qquad r = \sqrt{\sigma_{cr} / \sigma_y}

    Parameters
    ----------
    reserves : iterable of Reserve
        As :func:`finial.structure.walls.body.body_reserves` gives them; only wrinkling walls count.
    specs : sequence of SectionSpec
        The cuts they belong to.

    Returns
    -------
    reserves : tuple of Reserve
        One for each wrinkling wall.

    Raises
    ------
    OutsideRange
        If a section's numbers are not.

    Notes
    -----
    Holds for flat walls between straight corners, which go on carrying; a nearly round tube collapses as it
    wrinkles and keeps its onset. Layers that part while the wall wrinkles are not included.

    References
    ----------
    .. [1] As :func:`finial.structure.walls.buckling.wrinkled_wall_strength`.

    Examples
    --------
    >>> collapse_reserves([], [])
    ()
    """
    walls = {spec.station_m: spec.walls for spec in specs if spec.walls is not None}
    found: list[Reserve] = []
    for entry in reserves:
        wall = walls.get(entry.station_m)
        if entry.what != WALL_WRINKLES or wall is None:
            continue
        strength = over_corners(
            partial(_collapse, wall),
            {"modulus_pa": wall.modulus, "crushing_pa": wall.compression_strength},
            method="effective width of a wrinkled flat wall",
            source="Winter's effective width, from memory",
        )
        found.append(
            Reserve(
                what=WALL_COLLAPSES,
                station_m=entry.station_m,
                load=entry.load,
                strength=strength,
                unit="Pa",
                reserve=reserve_factor(strength, entry.load),
                rod_share=entry.rod_share,
            )
        )
    return tuple(found)


def _collapse(walls: WallSection, modulus_pa: float, crushing_pa: float) -> float:
    area = walls.area
    flat = flat_wall_buckling_stress(modulus_pa, area.wall_m, area.flat_width_m)
    tube = round_wall_buckling_stress(modulus_pa, area.wall_m, area.round_radius_m)
    if tube <= flat:
        return min(tube, crushing_pa)
    return min(wrinkled_wall_strength(flat, crushing_pa), max(tube, flat))
