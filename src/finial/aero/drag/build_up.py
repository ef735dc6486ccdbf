"""Drag at zero angle, source by source."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from finial.aero.drag.friction import Surface, laminar_friction, surface_friction
from finial.aero.drag.plates import fin_rows, ring_rows
from finial.aero.drag.pressure import (
    DATA_BOOK,
    FACE_PRESSURE,
    HOERNER,
    Suction,
    blunt_share,
    friction_at_mach,
    stagnation_rise,
    suction_behind,
)
from finial.aero.drag.sources import (
    Acting,
    DragBuildUp,
    DragKind,
    DragSource,
    acting_at,
    acting_between,
    acting_by,
    acting_together,
)
from finial.aero.fins.on_body import FinAir
from finial.aero.sections.crossflow import smooth_reynolds_factor, smooth_reynolds_range
from finial.aero.steps.ledges import Face, Outside, Wake, outside_of
from finial.aero.steps.recesses import drag_shares
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy, spread, total
from finial.core.kept_parts import kept
from finial.shape.lips import STREAMLINE_SLOPE
from finial.shape.skin import Skin

_SMALL_ROW = 0.01
_LAMINAR_BACK = 1.35
"""Suction behind a smooth ball's back below the critical Reynolds number over that behind an edge: a
ball of 0.47 in all (from memory of Hoerner, Fluid-Dynamic Drag, 1965)."""
_STANDS_OUT = (0.8, 1.1, 1.4)
"""Drag of what stands beside the body, on the area it shows: bars across the flow have 1.1 to 1.2 (from
memory of Hoerner, 1965), in the body's slow air less, with sharp corners more."""
_STEP_M = 1e-3
"""A face shorter than this is a step: it acts at one station [m]."""
_HAIR_M = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class SmallPart:
    """A rail button, a wire, a switch cover: anything small that stands in the flow."""

    name: str
    stations_m: tuple[float, ...]
    """Where it hands its drag to the body [m], in equal shares."""
    frontal_area_m2: float
    drag_coefficient: Estimate | None = None
    """On its own frontal area; without it 1.0, 0.8 to 1.2 (rail buttons, common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DragDetails:
    """What adds drag besides the shape."""

    surface: Surface = field(default_factory=Surface)
    small_parts: tuple[SmallPart, ...] = ()
    exhaust_area_m2: float = 0.0
    """Area of the base that the motor's jet fills while it burns [m^2]."""


def drag_build_up(
    skin: Skin,
    fins: Sequence[FinAir],
    *,
    mach: float,
    reynolds_per_m: float,
    details: DragDetails | None = None,
    outside: Outside | None = None,
) -> DragBuildUp:
    r"""Zero-angle drag of the vehicle from each of its sources.

    .. math::  C_D = \sum_i C_i S_i / S, \qquad C_{face}(M) = C_{face} (1 + M^2/4 + M^4/40)

    Parameters
    ----------
    skin : Skin
        Outer outlines without fins.
    fins : sequence of FinAir
    mach, reynolds_per_m : float
        Flight Mach number [-] and Reynolds number per metre [1/m].
    details : DragDetails
        Surface, small parts, exhaust area; plain layers and nothing else if left out.
    outside : Outside
        Faces of the skin (``outside_of``); without it, faces that come out on one side while
        others draw back are not seen.

    Returns
    -------
    build_up : DragBuildUp
        Every coefficient on the skin's reference area.

    Raises
    ------
    OutsideRange
        If Mach is outside 0 to 0.9 or the Reynolds number is not positive.

    Notes
    -----
    Handbook data on other shapes: 15 to 30 % a row, stated row by row. End-on cylinders
    from L/D 1 to 7 come out within 7 % of measurement. Interference between rows is left out.

    References
    ----------
    .. [1] S. F. Hoerner, Fluid-Dynamic Drag, 1965 (from memory, not re-read).
    .. [2] Aeronautical Engineer's Data Book, p. 95.

    Examples
    --------
    A cylinder end-on, as long as it is wide: 0.91 measured.

    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> short = tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.1), (0.1, 0.1)])
    >>> smooth = DragDetails(surface=Surface(smooth=True))
    >>> drag = drag_build_up(short, (), mach=0.0, reynolds_per_m=5e6, details=smooth)
    >>> round(drag.power_off.value, 2)
    0.91
    """
    if not reynolds_per_m > 0:
        raise OutsideRange(f"the Reynolds number per metre must be positive: got {reynolds_per_m}")
    area, details = skin.reference_area_m2, details or DragDetails()
    body = _body_drag(skin, details, outside, mach, reynolds_per_m)
    rows = list(body.rows)
    for fin in fins:
        rows += fin_rows(fin, area, mach, reynolds_per_m)
    for ring in skin.rings:
        rows += ring_rows(ring, area, mach, reynolds_per_m)
    rows += [_small_row(part, area) for part in details.small_parts]
    return replace(body, rows=tuple(rows))


# On the page fins change and ballast moves under one body, which drags as before.
@kept(32)
def _body_drag(
    skin: Skin, details: DragDetails, outside: Outside | None, mach: float, reynolds_per_m: float
) -> DragBuildUp:
    """Build-up of the body alone: what stands on it is not among the rows."""
    rise, area = stagnation_rise(mach), skin.reference_area_m2
    outside = outside or outside_of(skin)
    rubbing = _friction_row(skin, details.surface, mach, reynolds_per_m)
    pushing = [face for face in outside.faces if face.area_m2 * face.steepness > 1e-3 * area]
    fronts = [_front_row(skin, face, area, rise) for face in pushing if face.front]
    backs = [face for face in pushing if not face.front]
    front = sum(row.coefficient.value for row in fronts)
    torn = (skin.base_area_m2 + sum(face.area_m2 for face in backs)) / area
    behind = _Behind(
        suction=suction_behind(mach, rubbing.coefficient.value, front, torn),
        wake=outside.wake,
        crisis=_rounded_factor(reynolds_per_m * skin.width_m, details.surface, blunt_share(front)),
    )
    rows = [rubbing, *_gathered([*fronts, *(_back_row(skin, face, area, behind) for face in backs)])]
    rows += _oblique_rows(skin, outside, rise, behind)
    rows += _outlying_rows(outside, area, rise)
    off, on = (
        behind.suction.on(open_area, area, outside.wake.suction, outside.wake.cornered)
        for open_area in (skin.base_area_m2, max(skin.base_area_m2 - details.exhaust_area_m2, 0.0))
    )
    return DragBuildUp(
        mach=mach,
        reynolds_per_m=reynolds_per_m,
        reference_area_m2=area,
        rows=tuple(rows),
        base_power_off=_base_source(skin, off),
        base_power_on=_base_source(skin, on),
    )


def _friction_row(skin: Skin, surface: Surface, mach: float, reynolds_per_m: float) -> DragSource:
    reynolds = max(reynolds_per_m * skin.length_m, 1e4)
    scale = skin.wetted_area_m2 / skin.reference_area_m2 * friction_at_mach(mach)
    rough = float(surface_friction(reynolds, skin.length_m, surface.roughness_m)) * scale
    smooth = float(surface_friction(reynolds, skin.length_m, 0.0)) * scale
    smoother = 0.5 * (smooth + min(smooth, float(laminar_friction(reynolds)) * scale))
    coefficient = Estimate(
        value=rough,
        low=smoother,
        high=1.2 * rough,
        known_by=KnownBy.HANDBOOK,
        method="rough turbulent plate on the wetted area",
        source="Schlichting, Boundary-Layer Theory, 1979",
    )
    return DragSource(kind=DragKind.SKIN_FRICTION, coefficient=coefficient, acts=_along_the_girth(skin))


def _along_the_girth(skin: Skin) -> Acting:
    return acting_by(skin.stations_m, skin.perimeters_m)


def _front_row(skin: Skin, face: Face, area: float, rise: float) -> DragSource:
    value = FACE_PRESSURE * face.steepness * face.area_m2 / area * rise
    row = _pressure_row(DragKind.FRONT, value, DATA_BOOK, (face.start_m, _on_face(skin, face)))
    return _less_bridged(row, face)


def _less_bridged(row: DragSource, face: Face) -> DragSource:
    """Take off what the air leaves out where it bridges a recess."""
    if not face.bridged:
        return row
    return replace(row, coefficient=_times(row.coefficient, drag_shares(face.bridged)))


def _times(one: Estimate, shares: tuple[float, float, float]) -> Estimate:
    """Scale each end, and the value between, by a share of its own."""
    low, value, high = shares
    return replace(one, low=low * one.low, value=value * one.value, high=high * one.high)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Behind:
    """What sucks behind backs and base."""

    suction: Suction
    wake: Wake
    crisis: tuple[float, float, float]
    """Factor on the suction behind rounded backs: low, central, high [-]."""


def _rounded_factor(reynolds: float, surface: Surface, blunt: float) -> tuple[float, float, float]:
    """Suction behind a rounded back over that behind an edge, from the Reynolds number on the width.

    The air leaves a smooth ball before its widest section while its boundary layer is laminar, and well
    behind it beyond the critical Reynolds number; grain of printed layers takes half of that gain away.
    Behind a blunt front it has left already.
    """
    central = float(smooth_reynolds_factor(reynolds))
    low, high = smooth_reynolds_range(reynolds)
    central = central if surface.smooth else (1.0 + central) / 2
    free = [_LAMINAR_BACK * each for each in (min(low, central), central, max(high, central))]
    least, usual, most = (blunt + (1.0 - blunt) * each for each in free)
    return least, usual, most


def _back_row(skin: Skin, face: Face, area: float, behind: _Behind) -> DragSource:
    wake = behind.wake.suction if face.start_m >= behind.wake.start_m else 0.0
    least, usual, most = (1.0 + face.rounded * (each - 1.0) for each in behind.crisis)
    sucks = behind.suction.on(face.area_m2, area, wake, behind.wake.cornered)
    row = DragSource(
        kind=DragKind.BACK,
        station_m=face.start_m,
        acts=_on_face(skin, face),
        coefficient=_times(sucks, (least, usual, most)),
    )
    return _less_bridged(row, face)


def _on_face(skin: Skin, face: Face) -> Acting:
    """Along a slope by how its section grows; a step belongs to the part whose face it is."""
    if face.end_m - face.start_m < _STEP_M:
        # A hair to the side, so that a cut at the step itself leaves each face on its own part.
        return acting_at(face.end_m + _HAIR_M if face.front else face.start_m - _HAIR_M)
    within = (skin.stations_m > face.start_m) & (skin.stations_m < face.end_m)
    stations = np.array([face.start_m, face.start_m, *skin.stations_m[within], face.end_m])
    areas = np.interp(stations, skin.stations_m, skin.areas_m2)
    # Ahead of the tip there is nothing: a blunt tip acts at its station, the slope behind it along.
    areas[0] = 0.0 if face.front and face.start_m <= 0.0 else areas[0]
    risen = np.maximum.accumulate(np.abs(areas - areas[0]))
    if not risen[-1] > 0:
        return acting_between(face.start_m, face.end_m)
    return Acting(stations_m=stations, ahead=risen / risen[-1])


def _oblique_rows(skin: Skin, outside: Outside, rise: float, behind: _Behind) -> list[DragSource]:
    """Faces that come out on one side while others draw back: the section does not grow by them."""
    walls, wake = outside.walls, outside.wake
    slope_squared = walls.slopes**2
    push = FACE_PRESSURE * rise * slope_squared / (1 + slope_squared)
    suction = behind.suction.value + wake.suction * (skin.stations_m >= wake.start_m)
    each = walls.hidden_m2 * (push + suction * (walls.slopes > STREAMLINE_SLOPE))
    value = float(each.sum()) / skin.reference_area_m2
    if value < 1e-3:
        return []
    return [_pressure_row(DragKind.OBLIQUE, value, DATA_BOOK, (None, _at_each(skin, each)))]


def _at_each(skin: Skin, sizes: NDArray[np.float64]) -> Acting:
    there = sizes > 0
    return acting_together(
        [(acting_at(x), size) for x, size in zip(skin.stations_m[there], sizes[there], strict=True)]
    )


def _pressure_row(
    kind: DragKind, value: float, source: str, place: tuple[float | None, Acting]
) -> DragSource:
    station, acts = place
    return DragSource(
        kind=kind,
        station_m=station,
        acts=acts,
        coefficient=spread(value, 0.3, known_by=KnownBy.HANDBOOK, method="pressure on faces", source=source),
    )


def _gathered(rows: list[DragSource]) -> list[DragSource]:
    """Rows of one ledge taken together, and all small ones, so that a spire of rings is one row."""
    ledges: dict[tuple[DragKind, int], list[DragSource]] = {}
    for row in rows:
        ledges.setdefault((row.kind, round(1e3 * (row.station_m or 0.0))), []).append(row)
    rows = [_joined(one, one[0].kind) for one in ledges.values()]
    large = [row for row in rows if row.coefficient.value >= _SMALL_ROW]
    small = [row for row in rows if row.coefficient.value < _SMALL_ROW]
    if len(small) < 2:
        return rows
    gathered = _joined(small, DragKind.SMALL_FACES)
    return [*large, replace(gathered, station_m=None, count=len(small))]


def _joined(rows: list[DragSource], kind: DragKind) -> DragSource:
    coefficients = [row.coefficient for row in rows]
    sources = "; ".join(dict.fromkeys(each.source for each in coefficients))
    return DragSource(
        kind=kind,
        coefficient=total(coefficients, method=coefficients[0].method, source=sources),
        acts=acting_together([(row.acts, row.coefficient.value) for row in rows]),
        station_m=rows[0].station_m,
    )


def _outlying_rows(outside: Outside, area: float, rise: float) -> list[DragSource]:
    """Return handles, spouts and railings, each on the area it shows."""
    low, value, high = (each * rise for each in _STANDS_OUT)
    return [
        DragSource(
            kind=DragKind.OUTLYING,
            station_m=part.start_m,
            acts=acting_between(part.start_m, part.end_m),
            coefficient=Estimate(
                value=value,
                low=low,
                high=high,
                known_by=KnownBy.HANDBOOK,
                method="own frontal area",
                source=HOERNER,
            ).scaled(part.area_m2 / area),
        )
        for part in outside.outlying
    ]


def _small_row(part: SmallPart, area: float) -> DragSource:
    own = part.drag_coefficient or Estimate(
        value=1.0,
        low=0.8,
        high=1.2,
        known_by=KnownBy.HANDBOOK,
        method="own frontal area",
        source="common practice for rail guides",
    )
    return DragSource(
        kind=DragKind.SMALL_PART,
        subject=part.name,
        coefficient=own.scaled(part.frontal_area_m2 / area),
        acts=acting_at(*part.stations_m),
    )


def _base_source(skin: Skin, coefficient: Estimate) -> DragSource:
    return DragSource(kind=DragKind.BASE, coefficient=coefficient, acts=acting_at(skin.length_m))
