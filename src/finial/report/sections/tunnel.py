"""What the tunnel read, beside the sections: forces, places, where and why they part, what it is good for."""

import math

from finial.assemble.air.results import StudyState, TunnelBeside, TunnelRow
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.report.document import ReportSection, Table
from finial.report.pictures.tunnel_places import has_places
from finial.report.shown import NOT_KNOWN, Shown

_SLOW = 0.5
"""A lattice below this share of the flight's Reynolds number is told apart from it."""
STATES = {
    StudyState.HOLDS: "of this very shape",
    StudyState.OTHER_SHAPE: "of another shape: not used",
    StudyState.BESIDE: "of this very shape, beside the sheet: flown with once [air] names it",
    StudyState.TOO_FEW: "too few runs of this shape for a table: not used",
}


def tunnel_section(beside: TunnelBeside, shown: Shown) -> ReportSection:
    """Tunnel and sections side by side, with how far to trust the tunnel."""
    return ReportSection(
        key="tunnel",
        title="In the tunnel, beside the sections",
        facts=_facts(beside),
        tables=(_places(beside, shown), _forces(beside), _axial(beside)) if beside.rows else (),
        notes=_notes(beside, shown),
        pictures=("tunnel_places",) if has_places(beside) else (),
    )


def _facts(beside: TunnelBeside) -> tuple[tuple[str, str], ...]:
    if not beside.rows:
        return (("study", STATES[beside.state]),)
    lattice = [row.reynolds for row in beside.rows]
    span = (
        f"{min(lattice):.2g}" if min(lattice) == max(lattice) else f"{min(lattice):.2g} to {max(lattice):.2g}"
    )
    return (
        ("study", STATES[beside.state]),
        (
            "Reynolds number on the width",
            f"on the lattice {span}, of the flight {beside.flight_reynolds:.2g}",
        ),
        ("cells to a width", _grids(beside.rows)),
        ("friction and small parts, added", _drag(beside.friction)),
        (
            "largest section of the shape",
            f"{100 * max(row.section_share for row in beside.rows):.1f} % of the tunnel's section",
        ),
        *((("left out", f"{beside.left_out} of the angles and rolls"),) if beside.left_out else ()),
    )


def _drag(estimate: Estimate | None) -> str:
    return NOT_KNOWN if estimate is None else _coefficient(estimate)


def _coefficient(one: Estimate) -> str:
    return f"{one.value:.3f} ({one.low:.3f} to {one.high:.3f})"


def _where(row: TunnelRow, shown: Shown) -> tuple[str, str]:
    return shown.angle(row.angle_rad), f"{math.degrees(row.roll_rad):.0f} deg"


def _places(beside: TunnelBeside, shown: Shown) -> Table:
    rows = [row for row in beside.rows if row.angle_rad > 0.0]
    return Table(
        title="Centre of pressure, station",
        columns=("angle", "wind to roll", "tunnel", "sections", "they"),
        rows=tuple(
            (*_where(row, shown), _tunnel_place(row, shown), _band(row, shown), _agree(row, shown))
            for row in rows
        ),
        numbers=(0, 1, 2, 3),
    )


def _tunnel_place(row: TunnelRow, shown: Shown) -> str:
    return "no clear force" if row.place is None else shown.between(row.place, Dimension.LENGTH)


def _band(row: TunnelRow, shown: Shown) -> str:
    if row.sections_place_m is None:
        return NOT_KNOWN
    fore, _, aft = row.sections_place_m
    return f"{shown.length(fore)} to {shown.length(aft)}"


def _agree(row: TunnelRow, shown: Shown) -> str:
    if row.place is None or row.sections_place_m is None:
        return NOT_KNOWN
    if row.meets:
        return "meet"
    ahead = row.sections_place_m[0] - row.place.high
    apart, side = (ahead, "ahead") if ahead > 0.0 else (row.place.low - row.sections_place_m[2], "behind")
    return f"part: tunnel {shown.length(apart)} {side}"


def _forces(beside: TunnelBeside) -> Table:
    return Table(
        title="Force along the cross wind, and across it, on the largest section",
        columns=("angle", "wind to roll", "tunnel", "not corrected", "sections", "aside"),
        rows=tuple(
            (
                f"{math.degrees(row.angle_rad):.1f} deg",
                f"{math.degrees(row.roll_rad):.0f} deg",
                _coefficient(row.force),
                f"{row.force_read:.3f}",
                f"{row.sections_force:.3f}",
                _coefficient(row.aside),
            )
            for row in beside.rows
        ),
        numbers=(0, 1, 2, 3, 4, 5),
    )


def _axial(beside: TunnelBeside) -> Table:
    return Table(
        title="Force along the axis, motor out: pressure on the lattice and flat-plate friction",
        columns=("angle", "wind to roll", "tunnel", "pressure, not corrected", "sections"),
        rows=tuple(
            (
                f"{math.degrees(row.angle_rad):.1f} deg",
                f"{math.degrees(row.roll_rad):.0f} deg",
                _coefficient(row.axial),
                f"{row.pressure_axial:.3f}",
                f"{row.sections_axial:.3f}",
            )
            for row in beside.rows
        ),
        numbers=(0, 1, 2, 3, 4),
    )


def _grids(rows: tuple[TunnelRow, ...]) -> str:
    """Cells to a width, finest first where runs differ."""
    each = sorted({(row.cells, row.coarse_cells) for row in rows}, reverse=True)
    restarts = sum(row.restarts for row in rows)
    again = f"; {restarts} restarts, slower, of runs that diverged" if restarts else ""
    return ", ".join(f"{fine:.3g} and {coarse:.3g}" for fine, coarse in each) + again


def _notes(beside: TunnelBeside, shown: Shown) -> tuple[str, ...]:
    if not beside.rows:
        return ()
    return (
        "Intervals are two standard errors of the mean by batches and the difference of the two grids, end "
        "to end; of forces at least 15 %, what most shapes with edges were off by; of the place 0.06 "
        "widths.",
        *_fins(beside),
        *_trust(beside),
        *_parted(beside, shown),
    )


def _fins(beside: TunnelBeside) -> tuple[str, ...]:
    if not beside.finned:
        return ()
    return (
        "On the one slim finned body that was measured the lattice's fins added 0.90 to 1.03 of their "
        "measured force, and its centre lay 0.6 widths aft of the measured one at 4 degrees, 0.1 ahead at 8. "
        "So with fins a study only widens the sections' force, drag and band; it moves no centre, "
        "narrows nothing, and strength keeps the sections' loads. Fins are blown thicker than they are: "
        "their drag is high.",
    )


def _trust(beside: TunnelBeside) -> tuple[str, ...]:
    slowest = min(row.reynolds for row in beside.rows)
    if beside.flight_reynolds <= 0.0 or slowest > _SLOW * beside.flight_reynolds:
        return ()
    return (
        f"The lattice ran at {100 * slowest / beside.flight_reynolds:.2g} % of the flight's Reynolds number. "
        "Where the air leaves at edges, flat fronts, steps and fins that changes little; where it leaves "
        "smooth round flanks, domes and shoulders is what the lattice knows least (it has it leave late), so "
        "trust the sections there. It knows nothing of a speed of sound: what that does is the sections'.",
    )


def _parted(beside: TunnelBeside, shown: Shown) -> tuple[str, ...]:
    apart = [row for row in beside.rows if not row.meets and row.parts_most_m is not None]
    if not apart:
        return ()
    row = max(
        apart, key=lambda one: abs((one.place or one.axial).value - (one.sections_place_m or (0, 0, 0))[1])
    )
    fore, aft = row.parts_most_m or (0.0, 0.0)
    return (
        f"They part most at {shown.angle(row.angle_rad)}, roll {math.degrees(row.roll_rad):.0f} deg: what "
        f"moves the centres apart is the load between stations {shown.length(fore)} and {shown.length(aft)}.",
    )
