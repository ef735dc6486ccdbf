"""Air loads and stability: where the air pushes, and whether that is behind the balance point."""

import math

import numpy as np
from numpy.typing import NDArray

from finial.aero.band.worst import LEAST_FORCE
from finial.aero.drag.sources import DragKind, DragSource
from finial.assemble.air.results import AirResult, Straightness
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.core.units import show
from finial.findings.readiness import Readiness
from finial.report.document import ReportSection, Table
from finial.report.guess_words import reason_words
from finial.report.outline import Outlined
from finial.report.shown import Shown

_STRAIGHT_RAD = math.radians(0.05)
_SLOWEST_TURN = 1e-3
"""Fewer turns per metre than this are none [1/m]."""
_ASIDE_DEG = 10.0
_BASE_FIRST_DEG = 150.0
_HARDLY_ASIDE = 0.01
_ANGLES_DEG = (0.0, 5.0, 10.0, 20.0, 30.0)


def air_section(readiness: Outlined) -> ReportSection:
    """Pressure band by angle, why it has width, and the drag build-up."""
    air, shown = readiness.air, Shown(us_units=readiness.us_units)
    return ReportSection(
        key="air",
        title="Air loads",
        facts=(
            ("force slope with fins, per radian", shown.judged(air.slope_per_rad, None)),
            ("force slope without fins, per radian", shown.judged(air.bare_slope_per_rad, None)),
            ("coefficients stand on", shown.plain(air.table.reference_area_m2, Dimension.AREA)),
            *_damping(air),
            ("pushed aside at most", _pushed_aside(air)),
            *_straightness(air.straightness, shown),
        ),
        tables=(_bands(readiness, shown), _reasons(readiness, shown), _drag(readiness)),
        notes=_by_moment(readiness),
    )


def _by_moment(readiness: Outlined) -> tuple[str, ...]:
    """Say what an end off the body stands for, where the force may be too small to have a centre."""
    air = readiness.air
    if min(air.slope_per_rad.low, air.bare_slope_per_rad.low) >= LEAST_FORCE:
        return ()
    what = "Without its fins the force" if air.slope_per_rad.low >= LEAST_FORCE else "The force"
    return (
        f"{what} on this shape may nearly vanish, and then it has no centre of pressure. An end of the band"
        f" stands there for the moment about the balance point, over a force slope of {LEAST_FORCE:g}: it may"
        " lie off the body, and only says which way the shape is turned and how hard.",
    )


def _damping(air: AirResult) -> tuple[tuple[str, str], ...]:
    """Moments that resist turning, about each axis."""
    table = air.table
    pitch, roll = (_at_drag_mach(air, column) for column in (table.pitch_damping, table.roll_damping))
    yaw = pitch if table.yaw_damping is None else _at_drag_mach(air, table.yaw_damping)
    unit = "per unit of rate x width / (2 x speed)"
    return (
        ("damping in pitch, yaw", f"{pitch:.3g}, {yaw:.3g} {unit}"),
        ("damping in roll", f"{roll:.3g} {unit}"),
    )


def _at_drag_mach(air: AirResult, column: NDArray[np.float64]) -> float:
    return float(np.interp(air.drag_mach, air.table.mach, column))


def _pushed_aside(air: AirResult) -> str:
    """Largest side force in a wind between the axes of the shape, against the force along the wind."""
    table = air.table
    angle = int(np.abs(table.alpha_rad - math.radians(_ASIDE_DEG)).argmin())
    mach = int(np.abs(table.mach - air.drag_mach).argmin())
    strongest = max(float(np.abs(table.along[angle, :, mach]).max()), 1e-12)
    share = table.across[angle, :, mach] / strongest
    worst = int(np.abs(share).argmax())
    if abs(share[worst]) < _HARDLY_ASIDE:
        return "hardly"
    toward = math.degrees(table.roll_rad[worst]) % 360.0
    return (
        f"{100 * abs(share[worst]):.0f} % of the largest force along the wind, at {_ASIDE_DEG:.0f} deg "
        f"with the wind towards roll {toward:.0f} deg"
    )


def _straightness(straight: Straightness | None, shown: Shown) -> tuple[tuple[str, str], ...]:
    """How far off straight it coasts, in words."""
    if straight is None:
        return ()
    if straight.trim_rad is None:
        angle = f"{_holding(straight.holds_rad)}: it does not straighten itself"
    else:
        toward = math.degrees(straight.trim_roll_rad) % 360.0
        # Half a degree of roll is beyond what the method knows, and an angle near nothing has none.
        side = f", cross wind towards roll {toward:.0f} deg" if straight.trim_rad > _STRAIGHT_RAD else ""
        angle = f"{math.degrees(straight.trim_rad):.1f} deg{side}"
    turns = abs(straight.turns_per_m)
    spin = shown.length(1.0 / turns) if turns > _SLOWEST_TURN else "hardly"
    return (("coasts off straight by", angle), ("one turn about the axis in", spin))


def _holding(angle_rad: float) -> str:
    """Say at what angle a shape that does not fly straight may hold."""
    if angle_rad >= math.radians(_BASE_FIRST_DEG):
        return "no angle holds"
    return f"it may hold at {math.degrees(angle_rad):.0f} deg"


def stability_section(readiness: Readiness) -> ReportSection:
    """Margins with and without fins at each moment, judged at the bad end."""
    shown, points = Shown(us_units=readiness.us_units), readiness.stability
    margins = tuple(
        (
            point.moment,
            shown.between(point.margin, Dimension.LENGTH, point.length_m),
            f"{point.margin.low / point.width_m:.2f}",
            f"{100 * point.margin.low / point.length_m:.1f} %",
            shown.between(point.bare_margin, Dimension.LENGTH, point.length_m),
        )
        for point in points
    )
    where = tuple(
        (
            point.moment,
            f"{point.time_s:.2f} s",
            shown.speed(point.speed_m_s),
            shown.angle(point.alpha_rad),
            shown.between(point.balance, Dimension.LENGTH),
            shown.between(point.pressure, Dimension.LENGTH),
            shown.angle(point.worst_roll_rad),
        )
        for point in points
    )
    return ReportSection(
        key="stability",
        title="Stability",
        tables=(
            Table(
                title="Margin from balance point to pressure band; the low end is the worst",
                columns=("moment", "with fins", "worst, in widths", "worst, of length", "without fins"),
                rows=margins,
                numbers=(1, 2, 3, 4),
            ),
            Table(
                title="What it is judged from",
                columns=("moment", "time", "speed", "angle to", "balance point", "pressure band", "at roll"),
                rows=where,
                numbers=(1, 2, 3, 4, 5, 6),
            ),
        ),
        notes=(_width_note(readiness, shown),),
        pictures=("margin_by_angle", "pressure_by_roll"),
    )


def _width_note(readiness: Readiness, shown: Shown) -> str:
    skin = readiness.shape.skin
    wide_as = "what stands round its posts" if skin.breadth_m > skin.width_m else "the largest section"
    return (
        f"A width is the diameter of a circle as large as {wide_as}, "
        f"{shown.length(skin.breadth_m)} here. The trade's rule of one calibre was made for slender "
        "round bodies; this shape is "
        f"{skin.length_m / skin.breadth_m:.1f} widths long, so read the margin in % of its length too. "
        "The bad end is the pressure band's forward end at the worst roll angle against the balance "
        "point's aft end."
    )


def _bands(readiness: Outlined, shown: Shown) -> Table:
    air = readiness.air
    rows: list[tuple[str, ...]] = []
    for degrees in _ANGLES_DEG:
        if math.radians(degrees) > air.angles_rad[-1] * (1 + 1e-9):
            continue
        row = int(np.abs(air.angles_rad - math.radians(degrees)).argmin())
        worst = int(air.pressure_forward_m[row].argmin())
        bare = int(air.bare_forward_m[row].argmin())
        rows.append(
            (
                shown.angle(float(air.angles_rad[row])),
                _span(shown, air.pressure_forward_m[row, worst], air.pressure_aft_m[row, worst]),
                shown.angle(float(air.rolls_rad[worst])),
                _span(shown, air.bare_forward_m[row, bare], air.bare_aft_m[row, bare]),
            )
        )
    return Table(
        title="Pressure band at the worst roll angle, station",
        columns=("angle of attack", "with fins", "worst roll", "without fins"),
        rows=tuple(rows),
        numbers=(0, 1, 2, 3),
    )


def _span(shown: Shown, forward_m: float, aft_m: float) -> str:
    ends = [shown.length(float(end)) for end in (forward_m, aft_m)]
    number, _, unit = ends[0].rpartition(" ")
    return f"{number if ends[1].endswith(f' {unit}') else ends[0]} to {ends[1]}"


def _reasons(readiness: Outlined, shown: Shown) -> Table:
    rows = sorted(readiness.air.contributions, key=lambda row: -(row.forward_m + row.aft_m))
    width = readiness.shape.skin.breadth_m
    return Table(
        title="Why the band has width",
        columns=("reason", "towards the tip", "aft", "in widths"),
        rows=tuple(
            (
                reason_words(row.name, row.step_m, row.gathered, shown),
                shown.offset(row.forward_m),
                shown.offset(row.aft_m),
                f"{(row.forward_m + row.aft_m) / width:.2f}",
            )
            for row in rows
        ),
        numbers=(1, 2, 3),
    )


def _drag(readiness: Outlined) -> Table:
    air = readiness.air
    us_units = readiness.us_units
    rows = [
        (drag_words(row, us_units), _coefficient(row.coefficient), row.coefficient.known_by.word)
        for row in air.drag_rows
    ]
    if air.drag_rows:
        parts = [row.coefficient for row in air.drag_rows]
        whole = Estimate(
            value=math.fsum(part.value for part in parts),
            low=math.fsum(part.low for part in parts),
            high=math.fsum(part.high for part in parts),
            known_by=max(part.known_by for part in parts),
        )
        rows.append(("all", _coefficient(whole), whole.known_by.word))
        if air.base_burning is not None:
            burning = air.base_burning
            rows.append(("base alone, motor burning", _coefficient(burning), burning.known_by.word))
    return Table(
        title=f"Drag coefficient on the largest section, motor out, Mach {air.drag_mach:.2f}",
        columns=("from", "coefficient", "known by"),
        rows=tuple(rows),
        numbers=(1,),
    )


def _coefficient(drag: Estimate) -> str:
    """Write a drag coefficient to a thousandth, whatever its size: the rows add up by eye."""
    return f"{drag.value:.3f} ({drag.low:.3f} to {drag.high:.3f})"


def drag_words(row: DragSource, us_units: bool) -> str:
    """Say what drags."""
    if row.station_m is not None:
        if row.kind is DragKind.FRONT and row.station_m <= 0.0:
            return "front of the tip"
        what = {
            DragKind.RING_FRICTION: "friction of the ring",
            DragKind.RING_EDGES: "edges and struts of the ring",
            DragKind.DUCT_FRICTION: "friction in the duct",
            DragKind.DUCT_MOUTH: "push that goes through the duct",
            DragKind.OUTLYING: "parts beside the body",
        }.get(row.kind, f"{row.kind} of the ledge")
        return f"{what} at {show(row.station_m, Dimension.LENGTH, us_units=us_units)}"
    words = {
        DragKind.SKIN_FRICTION: "friction of the skin",
        DragKind.OBLIQUE: "faces that stand oblique",
        DragKind.SMALL_FACES: f"{row.count} small ledges",
        DragKind.FIN_FRICTION: f"friction of {row.subject}",
        DragKind.SQUARE_EDGES: f"square edges of {row.subject}",
        DragKind.ROUNDED_EDGES: f"rounded edges of {row.subject}",
        DragKind.BASE: "base, motor off",
        DragKind.SMALL_PART: row.subject,
    }
    return words[row.kind]
