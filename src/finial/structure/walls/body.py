"""Stress, rod share and reserve at every cut along the body."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from finial.core.estimates import Estimate, KnownBy, exact
from finial.structure.bounds import need_positive
from finial.structure.loads.along_body import BodyLoads
from finial.structure.reserves import Reserve, reserve_factor
from finial.structure.rods.columns import column_load_estimate
from finial.structure.walls.buckling import flat_wall_buckling_stress, round_wall_buckling_stress
from finial.structure.walls.cuts import Rods, SectionSpec, WallSection
from finial.structure.walls.outline import WallArea
from finial.structure.walls.section import SectionResponse, rods_alone_strain, section_response

WALL_SQUEEZED = "wall crushed"
WALL_WRINKLES = "wall wrinkles"
WALL_PULLED = "wall pulled apart across layers"
JOINT_OPENS = "joint opens"
ROD_PULLED = "rod pulled"
ROD_BUCKLES = "rod buckles"

_SOURCE = "beam theory on a transformed section (Gere and Timoshenko, Mechanics of Materials)"
_NONE = exact(0.0)
_ONE = exact(1.0)

Array = NDArray[np.float64]


def body_reserves(
    loads: BodyLoads,
    sections: Sequence[SectionSpec],
    *,
    axial_factor: Estimate = _ONE,
    bending_factor: Estimate = _ONE,
) -> tuple[Reserve, ...]:
    r"""Every way to fail at every cut along the body, with its reserve factor.

    .. math::
        \sigma = E_w \left(\pm \frac{N}{EA} + (M + |N| e) \max_p |J^{-1} r_p|\right) \pm \sigma_{preload},
        \qquad R = S / \sigma

    with :math:`e` the distance of the elastic centre from the axis.

    Parameters
    ----------
    loads : BodyLoads
        Axial force [N] and bending [N m] along the stations.
    sections : sequence of SectionSpec
        Cuts to judge; those outside the body carry nothing.
    axial_factor, bending_factor : Estimate
        Factors on the loads, with their intervals: spread of thrust and of gust, dynamic overshoot [-].

    Returns
    -------
    reserves : tuple of Reserve
        In the order of the sections; see ``worst_of_each`` in :mod:`finial.structure.reserves`.

    Raises
    ------
    OutsideRange
        If a factor is not above zero, or a section cannot carry bending.

    Notes
    -----
    Holds for slender bodies with plane sections. The moment is taken at its worst roll angle. At a butt joint
    rods are also judged as if they alone held it shut. Stress raisers at corners, holes and windows, creep,
    heat and impact are not included; printed walls scatter more than their data sheets say.

    References
    ----------
    .. [1] Gere and Timoshenko, Mechanics of Materials, chapter 6 (composite beams).
    .. [2] Shigley, Mechanical Engineering Design, bolted joints (preload and separation); from memory.

    Examples
    --------
    >>> from finial.structure.loads.forces import PointForce
    >>> from finial.structure.loads.along_body import free_body_loads
    >>> from finial.mass.lumps import even_bar
    >>> from finial.structure.walls.outline import wall_area
    >>> box = np.array([[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]])
    >>> walls = WallSection(area=wall_area([box], 0.003), modulus=exact(2.3e9),
    ...     compression_strength=exact(30e6), tension_strength=exact(15e6))
    >>> push = free_body_loads(even_bar(2.0, 0.0, 1.0, count=100), [PointForce(station_m=1.0, aft_n=-600.0)])
    >>> answer = body_reserves(push, [SectionSpec(station_m=0.5, walls=walls)])
    >>> [(entry.what, entry.reserve and round(entry.reserve.value)) for entry in answer]
    [('wall crushed', 116), ('wall wrinkles', 30), ('wall pulled apart across layers', None)]
    """
    need_positive(axial_factor=axial_factor.low, bending_factor=bending_factor.low)
    answer: list[Reserve] = []
    for spec in sections:
        axial, bending = loads.near(spec.station_m)
        corners = _corners(spec, (axial_factor, bending_factor), (axial, np.abs(bending)))
        if spec.walls is not None:
            answer.extend(_wall_reserves(spec, spec.walls, corners))
        if spec.rods is not None:
            answer.extend(_rod_reserves(spec, spec.rods, corners))
    return tuple(answer)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Corners:
    """A section under its loads at every corner of their intervals, the central values first.

    Loads have shape (k, 2), both sides of a step; everything else shape (k, 1).
    """

    axial: Array
    bending: Array
    preload: Array
    ea: Array
    wall_ea: Array
    rod_ea: Array
    wall_strain: Array
    rod_strain: Array
    off_axis: Array
    rod_share: float
    known_by: KnownBy

    def strain(self, per_moment: Array, side: Literal[1, -1]) -> Array:
        """Largest strain, shape (k,): ``side`` 1 for squeezing, -1 for stretching."""
        bent = (self.bending + np.abs(self.axial) * self.off_axis) * per_moment
        return np.max(side * self.axial / self.ea + bent, axis=1)


def _corners(spec: SectionSpec, factors: tuple[Estimate, Estimate], loads: tuple[Array, Array]) -> _Corners:
    built = _built(spec)
    axial, bending = _with_centre([(factor.value, factor.low, factor.high) for factor in factors]).T
    # Every corner of the section meets every corner of the loads; the centres meet each other once.
    one = np.concatenate([[0], np.repeat(np.arange(1, len(built.preload)), len(axial) - 1)])
    other = np.concatenate([[0], np.tile(np.arange(1, len(axial)), len(built.preload) - 1)])
    return _Corners(
        axial=axial[other, None] * loads[0],
        bending=bending[other, None] * loads[1],
        preload=built.preload[one],
        ea=built.ea[one],
        wall_ea=built.wall_ea[one],
        rod_ea=built.rod_ea[one],
        wall_strain=built.wall_strain[one],
        rod_strain=built.rod_strain[one],
        off_axis=built.off_axis[one],
        rod_share=built.rod_share,
        known_by=max(built.known_by, *(factor.known_by for factor in factors)),
    )


def _with_centre(parts: Sequence[tuple[float, float, float]]) -> Array:
    """Rows (k, n) of n inputs given as value, low, high: the values, then every corner."""
    ends = [sorted({low, high}) for _, low, high in parts]
    return np.array([tuple(value for value, _, _ in parts), *product(*ends)], dtype=float)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Built:
    """A section at every corner of its stiffness and preload, shape (k, 1), the central values first."""

    preload: Array
    ea: Array
    wall_ea: Array
    rod_ea: Array
    wall_strain: Array
    rod_strain: Array
    off_axis: Array
    rod_share: float
    known_by: KnownBy


# Every load case asks the same cuts again, and so does every change of ballast on the page.
@lru_cache(maxsize=1024)
def _built(spec: SectionSpec) -> _Built:
    parts = (
        spec.walls.modulus if spec.walls else _NONE,
        spec.rods.modulus if spec.rods else _NONE,
        spec.rods.preload if spec.rods and spec.walls else _NONE,
    )
    rows = _with_centre([(part.value, part.low, part.high) for part in parts])
    each = [_response(spec, float(wall), float(rod)) for wall, rod, _ in rows]

    def column(values: Sequence[float]) -> Array:
        return np.array(values, dtype=float)[:, None]

    return _Built(
        preload=column(rows[:, 2].tolist()),
        ea=column([response.ea_n for response in each]),
        wall_ea=column([response.wall_ea_n for response in each]),
        rod_ea=column([response.rod_ea_n for response in each]),
        wall_strain=column([response.wall_strain_per_n_m for response in each]),
        rod_strain=column([response.rod_strain_per_n_m for response in each]),
        off_axis=column([response.off_axis_m for response in each]),
        rod_share=each[0].rod_share,
        known_by=max(KnownBy.COMPUTED, *(part.known_by for part in parts)),
    )


def _response(spec: SectionSpec, wall_modulus: float, rod_modulus: float) -> SectionResponse:
    area = spec.walls.area if spec.walls else None
    if spec.rods is None:
        return section_response(area, wall_modulus)
    return section_response(area, wall_modulus, spec.rods.positions_m, spec.rods.stress_area_m2, rod_modulus)


def _wall_reserves(spec: SectionSpec, walls: WallSection, corners: _Corners) -> list[Reserve]:
    modulus = corners.wall_ea[:, 0] / walls.area.area_m2
    held = corners.preload[:, 0] * (spec.rods.count if spec.rods else 0) / walls.area.area_m2
    squeezed = _over(corners, modulus * corners.strain(corners.wall_strain, 1) + held)
    pull = modulus * corners.strain(corners.wall_strain, -1)
    wrinkling = _wrinkling(spec)
    answer = [
        _entry(spec, corners, WALL_SQUEEZED, (squeezed, walls.compression_strength), "Pa"),
        _entry(spec, corners, WALL_WRINKLES, (squeezed, wrinkling), "Pa"),
    ]
    if walls.tension_strength is None:
        last = _entry(spec, corners, JOINT_OPENS, (_over(corners, pull), _over(corners, held)), "Pa")
    else:
        last = _entry(spec, corners, WALL_PULLED, (_over(corners, pull - held), walls.tension_strength), "Pa")
    return [*answer, last]


def _rod_reserves(spec: SectionSpec, rods: Rods, corners: _Corners) -> list[Reserve]:
    each = corners.rod_ea[:, 0] / rods.count
    preload = corners.preload[:, 0]
    pulled = preload + each * corners.strain(corners.rod_strain, -1)
    if spec.walls is not None and spec.walls.tension_strength is None:
        alone = np.maximum(-corners.axial, 0.0) / rods.count
        alone = alone + corners.bending * _rods_alone(spec)
        pulled = np.maximum(pulled, alone.max(axis=1))
    bears = rods.strength.scaled(rods.stress_area_m2)
    answer = [_entry(spec, corners, ROD_PULLED, (_over(corners, pulled), bears), "N")]
    if rods.free_length_m is None:
        return answer
    column = column_load_estimate(rods.root_diameter_m, rods.free_length_m, rods.modulus, rods.strength)
    pushed = _over(corners, each * corners.strain(corners.rod_strain, 1) - preload)
    return [*answer, _entry(spec, corners, ROD_BUCKLES, (pushed, column), "N")]


def _over(corners: _Corners, reached: Array) -> Estimate:
    return Estimate(
        value=float(reached[0]),
        low=float(reached.min()),
        high=float(reached.max()),
        known_by=corners.known_by,
        method="axial force and bending on walls and rods together",
        source=_SOURCE,
    )


def _entry(
    spec: SectionSpec,
    corners: _Corners,
    what: str,
    load_and_strength: tuple[Estimate, Estimate],
    unit: Literal["Pa", "N"],
) -> Reserve:
    load, strength = load_and_strength
    return Reserve(
        what=what,
        station_m=spec.station_m,
        load=load,
        strength=strength,
        unit=unit,
        reserve=reserve_factor(strength, load),
        rod_share=corners.rod_share if spec.rods is not None else None,
    )


@lru_cache(maxsize=1024)
def _rods_alone(spec: SectionSpec) -> float:
    """Pull in the hardest pulled rod per bending moment, with the rods alone [1/m]."""
    assert spec.rods is not None
    return rods_alone_strain(spec.rods.positions_m)


@lru_cache(maxsize=1024)
def _wrinkling(spec: SectionSpec) -> Estimate:
    """Stress at which the walls of a cut wrinkle [Pa]."""
    assert spec.walls is not None
    area = spec.walls.area
    return spec.walls.modulus.mapped(lambda stiffness: _wrinkling_stress(area, stiffness))


def _wrinkling_stress(area: WallArea, modulus_pa: float) -> float:
    """Lower of flat wall and round tube: a polygon of many sides is nearly round, one of few is flat."""
    flat = flat_wall_buckling_stress(modulus_pa, area.wall_m, area.flat_width_m)
    return min(flat, round_wall_buckling_stress(modulus_pa, area.wall_m, area.round_radius_m))
