"""Drag at zero angle, source by source."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from finial.aero.drag.friction import laminar_friction, surface_friction
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
from finial.aero.fins.plate_lift import subsonic_beta
from finial.aero.steps.ledges import Face, Outside, Wake, outside_of
from finial.aero.steps.separation import STREAMLINE_SLOPE
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy, spread, total
from finial.shape.skin import Skin

FACE_PRESSURE = 0.72
"""Mean pressure coefficient on a flat face with a sharp edge (Aeronautical Engineer's Data
Book p. 95: cylinders end-on, 0.85 to 0.99 in all, seen; less base and friction)."""
_SMALL_ROW = 0.01
_STEP_M = 1e-3
"""A face shorter than this is a step: it acts at one station [m]."""
_HAIR_M = 1e-6
_HOERNER = "from memory of Hoerner, Fluid-Dynamic Drag, 1965"
_DATA_BOOK = "Aeronautical Engineer's Data Book p. 95"


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """How the outside was made."""

    layer_height_m: float = 0.2e-3
    smooth: bool = False
    """Sanded and painted: no roughness from layers."""

    @property
    def roughness_m(self) -> float:
        """Sand-grain height [m]: a fifth of the layer height, common practice 20 to 60 um."""
        return 0.0 if self.smooth else self.layer_height_m / 5


@dataclass(frozen=True, slots=True, kw_only=True)
class SmallPart:
    """A rail button, a wire, a switch cover: anything small that stands in the flow."""

    name: str
    stations_m: tuple[float, ...]
    """Where it hands its drag to the body [m], in equal shares."""
    frontal_area_m2: float
    drag_coefficient: Estimate | None = None
    """On its own frontal area; without it 1.0, 0.8 to 1.2 (rail buttons, common practice)."""


def base_drag_fit(mach: float) -> float:
    """Return the base drag coefficient on the base area from the Mach number.

    .. math::  C = 0.12 + 0.13 M^2

    Parameters
    ----------
    mach : float
        Mach number, up to 0.9 [-].

    Returns
    -------
    coefficient : float
        On the base area, motor off [-].

    Notes
    -----
    For bodies several widths long; 30 %. The other fit, ``base_drag_behind``, differs by up to 1.7 times.

    References
    ----------
    .. [1] Common practice of the trade; no source found.

    Examples
    --------
    >>> base_drag_fit(0.5)
    0.1525
    """
    return 0.12 + 0.13 * mach**2


def base_drag_behind(forebody_drag: float) -> float:
    r"""Return the base drag coefficient from the forebody's drag on the base area.

    .. math::  C = 0.029 / \sqrt{C_f}

    Parameters
    ----------
    forebody_drag : float
        Drag of everything but the base, on the base area, :math:`C_f` [-].

    Returns
    -------
    coefficient : float
        On the base area [-].

    Raises
    ------
    OutsideRange
        If the forebody drag is not positive.

    Notes
    -----
    Drawn through bodies of revolution, incompressible: a thicker boundary layer feeds the wake. How far the
    data reach is not remembered; bluff bodies, with most of their drag in front, lie beyond.

    References
    ----------
    .. [1] S. F. Hoerner, Fluid-Dynamic Drag, 1965, chapter 3 (from memory, not re-read).

    Examples
    --------
    >>> round(base_drag_behind(0.10), 4)
    0.0917
    """
    if not forebody_drag > 0:
        raise OutsideRange(f"forebody drag must be positive: got {forebody_drag}")
    return 0.029 / float(np.sqrt(forebody_drag))


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
    rise = _stagnation_rise(mach)
    area = skin.reference_area_m2
    details = details or DragDetails()
    surface = details.surface
    rows = [_friction_row(skin, surface, mach, reynolds_per_m)]
    outside = outside or outside_of(skin)
    faces, wake = outside.faces, outside.wake
    pushing = [face for face in faces if face.area_m2 * face.steepness > 1e-3 * area]
    rows += _gathered(
        [
            _front_row(skin, face, area, rise) if face.front else _back_row(skin, face, area, (mach, wake))
            for face in pushing
        ]
    )
    rows += _oblique_rows(skin, outside, mach, rise)
    for fin in fins:
        rows += _fin_rows(fin, area, surface, mach, reynolds_per_m)
    rows += [_small_row(part, area) for part in details.small_parts]
    forebody = sum(row.coefficient.value for row in rows) * area / max(skin.base_area_m2, 1e-12)
    off, on = (
        _base_row(skin, mach, forebody, (open_area, wake.suction))
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


def _stagnation_rise(mach: float) -> float:
    """Stagnation pressure rise over dynamic pressure, isentropic; refuses Mach above 0.9."""
    subsonic_beta(mach)
    return 1 + mach**2 / 4 + mach**4 / 40


def _slower(mach: float) -> float:
    """Friction falls with Mach number as (1 + 0.144 M^2)^-0.65 (from memory of van Driest, 1951)."""
    return float((1 + 0.144 * mach**2) ** -0.65)


def _friction_row(skin: Skin, surface: Surface, mach: float, reynolds_per_m: float) -> DragSource:
    reynolds = max(reynolds_per_m * skin.length_m, 1e4)
    scale = skin.wetted_area_m2 / skin.reference_area_m2 * _slower(mach)
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
    girth = np.array([section.perimeter_m for section in skin.sections])
    return acting_by(skin.stations_m, girth)


def _front_row(skin: Skin, face: Face, area: float, rise: float) -> DragSource:
    value = FACE_PRESSURE * face.steepness * face.area_m2 / area * rise
    return _pressure_row(DragKind.FRONT, value, _DATA_BOOK, (face.start_m, _on_face(skin, face)))


def _back_row(skin: Skin, face: Face, area: float, wind: tuple[float, Wake]) -> DragSource:
    mach, wake = wind
    suction = base_drag_fit(mach) + (wake.suction if face.start_m >= wake.start_m else 0.0)
    value = suction * face.area_m2 / area
    return _pressure_row(DragKind.BACK, value, _HOERNER, (face.start_m, _on_face(skin, face)))


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


def _oblique_rows(skin: Skin, outside: Outside, mach: float, rise: float) -> list[DragSource]:
    """Faces that come out on one side while others draw back: the section does not grow by them."""
    walls, wake = outside.walls, outside.wake
    slope_squared = walls.slopes**2
    push = FACE_PRESSURE * rise * slope_squared / (1 + slope_squared)
    suction = base_drag_fit(mach) + wake.suction * (skin.stations_m >= wake.start_m)
    each = walls.hidden_m2 * (push + suction * (walls.slopes > STREAMLINE_SLOPE))
    value = float(each.sum()) / skin.reference_area_m2
    if value < 1e-3:
        return []
    return [_pressure_row(DragKind.OBLIQUE, value, _DATA_BOOK, (None, _at_each(skin, each)))]


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


def _fin_rows(
    fin: FinAir, area: float, surface: Surface, mach: float, reynolds_per_m: float
) -> list[DragSource]:
    plan, fins = fin.planform, fin.fins
    reynolds = max(reynolds_per_m * plan.mean_chord_m, 1e4)
    wetted = 2 * fins.count * plan.area_m2 / area
    friction = float(surface_friction(reynolds, plan.mean_chord_m, 0.0)) * wetted * _slower(mach)
    edge = fins.count * fins.thickness_m * plan.span_m / area
    lead = FACE_PRESSURE * np.cos(plan.lead_sweep_rad) ** 2 if fins.square_edges else 0.05
    pressure = float(lead * _stagnation_rise(mach) + base_drag_fit(mach)) * edge
    along_the_root = acting_between(fins.station_m, fins.station_m + plan.root_chord_m)
    return [
        DragSource(
            kind=DragKind.FIN_FRICTION,
            subject=fins.name,
            acts=along_the_root,
            coefficient=spread(
                friction,
                0.25,
                known_by=KnownBy.HANDBOOK,
                method="turbulent plate",
                source="Schlichting, Boundary-Layer Theory, 1979",
            ),
        ),
        DragSource(
            kind=DragKind.SQUARE_EDGES if fins.square_edges else DragKind.ROUNDED_EDGES,
            subject=fins.name,
            acts=along_the_root,
            coefficient=spread(
                pressure,
                0.3,
                known_by=KnownBy.HANDBOOK,
                method="blunt leading and trailing edge",
                source=_HOERNER,
            ),
        ),
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


def _base_row(skin: Skin, mach: float, forebody: float, base: tuple[float, float]) -> Estimate:
    """Return the base drag from the open area and what a short body's wake sucks beyond a long one's."""
    open_area, extra = base
    fit, other = base_drag_fit(mach) + extra, base_drag_behind(max(forebody, 1e-3)) + extra
    size = open_area / skin.reference_area_m2
    value = fit * size
    return Estimate(
        value=value,
        low=min(0.8 * value, min(other, fit) * size),
        high=max(1.3 * value, min(other, 3 * fit) * size),
        known_by=KnownBy.HANDBOOK,
        method="two base-pressure fits",
        source=f"{_HOERNER}; common practice",
    )


def wire_drag_n(
    diameter_m: float, length_m: float, dynamic_pressure_pa: float, drag_coefficient: float = 1.1
) -> float:
    r"""Drag of a round wire across the flow.

    .. math::  D = q \, C_D \, d \, L

    Parameters
    ----------
    diameter_m, length_m : float
        Of the wire [m].
    dynamic_pressure_pa : float
        Dynamic pressure, :math:`q` [Pa].
    drag_coefficient : float
        On the frontal area, :math:`C_D` [-].

    Returns
    -------
    drag_n : float
        Drag [N].

    Notes
    -----
    Drag coefficient 1.1 to 1.2 from Reynolds number 1e3 to 1e5.

    References
    ----------
    .. [1] S. F. Hoerner, Fluid-Dynamic Drag, 1965 (from memory, not re-read).

    Examples
    --------
    >>> round(wire_drag_n(1.5e-3, 0.25, 6000.0), 3)
    2.475
    """
    return dynamic_pressure_pa * drag_coefficient * diameter_m * length_m
