"""Every cut along the body as arrays: stiffness at every corner of its intervals, and what it bears."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np
from numpy.typing import NDArray

from finial.core.corners import over_corners
from finial.core.estimates import Estimate, KnownBy, exact
from finial.structure.reserves import FailureMode
from finial.structure.rods.columns import column_load_estimate
from finial.structure.walls.buckling import (
    INFILL_STIFFNESS,
    flat_wall_buckling_stress,
    infill_support,
    round_wall_buckling_stress,
    wrinkled_wall_strength,
)
from finial.structure.walls.cuts import SectionSpec, WallSection
from finial.structure.walls.sandwich import core_shear, sandwich_wall_stress
from finial.structure.walls.section import SectionResponse, rods_alone_strain, section_response

_NONE = exact(0.0)
THINNEST_TUBE = 1500.0
"""Radius over wall up to which round tubes were squeezed in tests [-]: as ``round_wall_buckling_stress``."""
_FIELDS = ("preload", "ea", "wall_ea", "rod_ea", "wall_strain", "rod_strain", "off_axis")

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class CutStack:
    """Cuts of one body, fore to aft: shape (n,) over cuts, (n, 9) over corners, central ones first."""

    specs: tuple[SectionSpec, ...]
    stations_m: Array
    preload: Array
    """Tension in each rod [N], (n, 9)."""
    ea: Array
    """Axial stiffness [N], (n, 9)."""
    wall_ea: Array
    rod_ea: Array
    wall_strain: Array
    """Largest strain of the walls per bending moment [1/(N m)], (n, 9)."""
    rod_strain: Array
    off_axis: Array
    """Distance of the elastic centre from the axis [m], (n, 9)."""
    wall_m2: Array
    """Wall area, 1 where there are no walls [m^2]."""
    rod_count: Array
    rods_alone: Array
    """Pull in the hardest pulled rod per bending moment with the rods alone [1/m]; 0 but at butt joints."""
    walled: Flags
    rodded: Flags
    butt: Flags
    """Parts only butt together there."""
    tube_m3: Array
    """Twice the enclosed area times the wall [m^3]; infinite where shear is not judged."""
    tube_m2: Array
    """Half the tube's own area [m^2]; infinite where shear is not judged."""
    strengths: dict[FailureMode, tuple[Estimate | None, ...]]
    """Of every cut [Pa] or [N]; ``None`` where a cut cannot fail so."""
    known_by: tuple[KnownBy, ...]
    """How well stiffness and preload are known."""

    def ends_of(self, mode: FailureMode) -> Array:
        """Return a strength at every cut.

        Parameters
        ----------
        mode : FailureMode
            Which way to fail.

        Returns
        -------
        ends : ndarray, shape (n, 3)
            Value, low and high end [Pa] or [N]; ``nan`` where a cut cannot fail so.
        """
        nothing = (np.nan, np.nan, np.nan)
        return np.array(
            [(one.value, one.low, one.high) if one else nothing for one in self.strengths[mode]]
        ).reshape(-1, 3)


def cut_stack(specs: Sequence[SectionSpec]) -> CutStack:
    """Work out every cut at every corner of its moduli and preload; slow, and done once for all load cases.

    Parameters
    ----------
    specs : sequence of SectionSpec
        What crosses each cut [Pa], [m], [N].

    Returns
    -------
    stack : CutStack
        Arrays over cuts and corners.

    Raises
    ------
    OutsideRange
        If a section cannot carry bending.

    Notes
    -----
    Range: as :func:`finial.structure.walls.section.section_response`.

    References
    ----------
    .. [1] As :func:`finial.structure.walls.section.section_response`.

    Examples
    --------
    >>> cut_stack([]).stations_m.shape
    (0,)
    """
    built = [_built(spec) for spec in specs]
    arrays = {name: np.array([one[name] for one in built]).reshape(-1, 9) for name in _FIELDS}
    tubes = [spec.walls.tube if spec.walls else None for spec in specs]
    return CutStack(
        specs=tuple(specs),
        stations_m=np.array([spec.station_m for spec in specs]),
        **arrays,
        wall_m2=np.array([spec.walls.area.area_m2 if spec.walls else 1.0 for spec in specs]),
        rod_count=np.array([float(spec.rods.count) if spec.rods else 0.0 for spec in specs]),
        rods_alone=np.array([_rods_alone(spec) for spec in specs]),
        walled=np.array([spec.walls is not None for spec in specs], dtype=bool),
        rodded=np.array([spec.rods is not None for spec in specs], dtype=bool),
        butt=np.array([_is_butt(spec) for spec in specs], dtype=bool),
        tube_m3=np.array([2 * tube.enclosed_m2 * tube.wall_m if tube else np.inf for tube in tubes]),
        tube_m2=np.array([tube.area_m2 / 2 if tube else np.inf for tube in tubes]),
        strengths={mode: tuple(_bears(mode, spec) for spec in specs) for mode in _STRENGTHS},
        known_by=tuple(_known_by(spec) for spec in specs),
    )


def _bears(mode: FailureMode, spec: SectionSpec) -> Estimate | None:
    """Strength of a cut, its ends moved by the scatter of its walls' thickness.

    Stress goes as one over the thickness, wrinkling stress as its square, collapse nearly as itself: the
    strength answers for both.
    """
    found, power = _STRENGTHS[mode](spec), _THICKNESS_POWER.get(mode, 0)
    if found is None or spec.walls is None or not power:
        return found
    scatter = spec.walls.wall_scatter
    return replace(found, low=found.low * (1 - scatter) ** power, high=found.high * (1 + scatter) ** power)


def _inputs(spec: SectionSpec) -> tuple[Estimate, Estimate, Estimate]:
    """Modulus of walls, of rods, and preload."""
    walls, rods = spec.walls, spec.rods
    return (
        walls.modulus if walls else _NONE,
        rods.modulus if rods else _NONE,
        rods.preload if rods and walls else _NONE,
    )


def _known_by(spec: SectionSpec) -> KnownBy:
    return max(KnownBy.COMPUTED, *(part.known_by for part in _inputs(spec)))


def _built(spec: SectionSpec) -> dict[str, list[float]]:
    wall, rod, preload = _inputs(spec)
    ends = product((wall.low, wall.high), (rod.low, rod.high), (preload.low, preload.high))
    corners = [(wall.value, rod.value, preload.value), *ends]
    found = {(one, other): _response(spec, one, other) for one, other, _ in corners}
    each = [found[one, other] for one, other, _ in corners]
    return {
        "preload": [tension for _, _, tension in corners],
        "ea": [one.ea_n for one in each],
        "wall_ea": [one.wall_ea_n for one in each],
        "rod_ea": [one.rod_ea_n for one in each],
        "wall_strain": [one.wall_strain_per_n_m for one in each],
        "rod_strain": [one.rod_strain_per_n_m for one in each],
        "off_axis": [one.off_axis_m for one in each],
    }


def _response(spec: SectionSpec, wall_modulus: float, rod_modulus: float) -> SectionResponse:
    area = spec.walls.area if spec.walls else None
    if spec.rods is None:
        return section_response(area, wall_modulus)
    return section_response(area, wall_modulus, spec.rods.positions_m, spec.rods.stress_area_m2, rod_modulus)


def _is_butt(spec: SectionSpec) -> bool:
    return spec.walls is not None and spec.walls.tension_strength is None


def _rods_alone(spec: SectionSpec) -> float:
    return rods_alone_strain(spec.rods.positions_m) if spec.rods and _is_butt(spec) else 0.0


def _wrinkling(spec: SectionSpec) -> Estimate | None:
    return _over_walls(spec.walls, _wrinkling_stress) if spec.walls else None


def _collapse(spec: SectionSpec) -> Estimate | None:
    return _over_walls(spec.walls, _collapse_stress) if spec.walls else None


def _over_walls(walls: WallSection, find: Callable[[WallSection, float, float, float], float]) -> Estimate:
    """Stress by modulus, crushing strength and stiffness of the infill, over the corners of all three."""
    filled = walls.infill > 0.0
    return over_corners(
        lambda modulus, crushing, stiffness: find(walls, modulus, crushing, stiffness),
        {
            "modulus": walls.modulus,
            "crushing": walls.compression_strength,
            "stiffness": INFILL_STIFFNESS if filled else exact(1.0),
        },
        method="walls between corners and ledges, infill behind them"
        if filled
        else "walls between corners and ledges",
        source="Timoshenko and Gere, Theory of Elastic Stability; NASA SP-8007; from memory",
    )


def _onsets(walls: WallSection, modulus_pa: float, stiffness: float) -> tuple[float, float]:
    """Stress at which flat walls and a round tube of this outline wrinkle [Pa]."""
    support = infill_support(modulus_pa, walls.infill, walls.infill_depth_m, stiffness)
    sandwich, both = walls.sandwich, walls.area.wall_m
    if sandwich is None:
        return _flat(walls, modulus_pa, both, support), _tube(walls, modulus_pa, both, support)
    shear = core_shear(sandwich, modulus_pa, stiffness)

    def onset(find: Callable[[WallSection, float, float, float], float]) -> float:
        facing, alone = (find(walls, modulus_pa, sandwich.skin_m, behind) for behind in (support, 0.0))
        return sandwich_wall_stress(find(walls, modulus_pa, both, 0.0), (facing, alone), sandwich, shear)

    return onset(_flat), onset(_tube)


def _flat(walls: WallSection, modulus_pa: float, wall_m: float, support_pa_m: float) -> float:
    width, length = walls.area.flat_width_m, walls.flat_length_m
    return flat_wall_buckling_stress(modulus_pa, wall_m, width, length_m=length, support_pa_m=support_pa_m)


def _tube(walls: WallSection, modulus_pa: float, wall_m: float, support_pa_m: float) -> float:
    radius = walls.area.round_radius_m
    tested = min(radius, THINNEST_TUBE * wall_m)
    # Nobody has tested thinner tubes: beyond, what is left falls with the square, faster than theory has it.
    left = (tested / radius) ** 2
    return left * round_wall_buckling_stress(modulus_pa, wall_m, tested, support_pa_m=support_pa_m)


def _wrinkling_stress(walls: WallSection, modulus_pa: float, _crushing_pa: float, stiffness: float) -> float:
    """Lower of flat wall and round tube: a polygon of many sides is nearly round, one of few is flat."""
    return min(_onsets(walls, modulus_pa, stiffness))


def _collapse_stress(walls: WallSection, modulus_pa: float, crushing_pa: float, stiffness: float) -> float:
    flat, tube = _onsets(walls, modulus_pa, stiffness)
    if tube <= flat:
        return min(tube, crushing_pa)
    return min(wrinkled_wall_strength(flat, crushing_pa), max(tube, flat))


def _rod_holds(spec: SectionSpec) -> Estimate | None:
    return spec.rods.strength.scaled(spec.rods.stress_area_m2) if spec.rods else None


def _column(spec: SectionSpec) -> Estimate | None:
    rods = spec.rods
    if rods is None or rods.free_length_m is None:
        return None
    return column_load_estimate(rods.root_diameter_m, rods.free_length_m, rods.modulus, rods.strength)


def _held_shut(spec: SectionSpec) -> Estimate | None:
    """Preload over the wall's area at a joint that only butts together [Pa]."""
    walls, rods = spec.walls, spec.rods
    if walls is None or walls.tension_strength is not None:
        return None
    return rods.preload.scaled(rods.count / walls.area.area_m2) if rods else exact(0.0)


_THICKNESS_POWER = {
    FailureMode.WALL_CRUSHED: 1,
    FailureMode.WALL_WRINKLES: 3,
    FailureMode.WALL_COLLAPSES: 2,
    FailureMode.WALL_PULLED: 1,
    FailureMode.WALL_SHEARED: 1,
}

_STRENGTHS: dict[FailureMode, Callable[[SectionSpec], Estimate | None]] = {
    FailureMode.WALL_CRUSHED: lambda spec: spec.walls and spec.walls.compression_strength,
    FailureMode.WALL_WRINKLES: _wrinkling,
    FailureMode.WALL_COLLAPSES: _collapse,
    FailureMode.WALL_PULLED: lambda spec: spec.walls and spec.walls.tension_strength,
    FailureMode.WALL_SHEARED: lambda spec: spec.walls and spec.walls.shear_strength,
    FailureMode.JOINT_OPENS: _held_shut,
    FailureMode.ROD_PULLED: _rod_holds,
    FailureMode.ROD_BUCKLES: _column,
}
