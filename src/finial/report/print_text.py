"""The print plan as a builder reads it in the terminal."""

import math

from finial.assemble.prints.results import JointReserve, PlannedJoint, PlannedPiece, PrintPlan, Turned
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, total
from finial.printing.cuts import Barred, Why
from finial.printing.joints import JointKind
from finial.printing.numbers import Marking
from finial.report.document import ReportSection, Table
from finial.report.lines import WIDTH, TextLine, section_lines
from finial.report.shown import INCH_M, PLENTY, Shown
from finial.report.strength_words import mode_words
from finial.report.terminal import terminal_width, write

JOINT_WORDS = {
    JointKind.GLUE: "glued face to face",
    JointKind.DOWELS: "glued, with dowels",
    JointKind.LIP: "glued, with a lip",
    JointKind.RODS: "clamped by the rods",
}
_SHORT_BRIM, _SLIM = 0.15, 4.0
"""Less of its footprint on the bed, or taller by so many widths: a brim helps; common practice."""


def print_plan_text(plan: PrintPlan) -> None:
    """Write the plan to standard output."""
    write(plan_lines(plan, width=terminal_width()))


def plan_lines(plan: PrintPlan, *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Lay the plan out: totals, pieces, joints, and what to mind."""
    return section_lines(plan_section(plan), width=width)


def plan_section(plan: PrintPlan) -> ReportSection:
    """Return the plan as a section, for the terminal and for pages."""
    shown = Shown(us_units=plan.us_units)
    return ReportSection(
        key="print",
        title=f"Print plan of {plan.name}",
        facts=_facts(plan, shown),
        tables=(_pieces(plan, shown), *_joints(plan, shown)),
        notes=tuple(_notes(plan, shown)),
    )


def _facts(plan: PrintPlan, shown: Shown) -> tuple[tuple[str, str], ...]:
    efforts = [piece.effort for piece in plan.pieces]
    worst = max(plan.pieces, key=lambda piece: piece.effort.time.high)
    printer = plan.printer
    speed = _speed(plan)
    return (
        *_strength(plan),
        ("printer's bed", shown.sides(plan.bed_m)),
        (
            "holes",
            f"{shown.fine(plan.clearance_m)} wider than what goes in, on the diameter: {_measured(plan)}",
        ),
        ("lines", f"{shown.fine(printer.line_width_m)} wide, laid at {speed}"),
        ("pieces", str(len(plan.pieces))),
        ("learned", _learned(plan)),
        ("mass of all", shown.judged(total(one.mass for one in efforts), Dimension.MASS)),
        ("filament", _metres(total(one.filament_m for one in efforts), plan.us_units)),
        ("printing", hours(total(one.time for one in efforts))),
        (
            "a failed piece",
            f"costs at most {shown.plain(worst.effort.mass.high, Dimension.MASS)} of plastic and "
            f"{_hours(worst.effort.time.high)} h: that is piece {worst.number}",
        ),
    )


def _speed(plan: PrintPlan) -> str:
    metres = plan.printer.speed_m_s
    told = f"{metres / INCH_M:.2f} in/s" if plan.us_units else f"{1e3 * metres:.0f} mm/s"
    return told if plan.speed_told else f"{told}, a usual speed: enter yours under [print]"


def _measured(plan: PrintPlan) -> str:
    return "as measured on your printer" if plan.clearance_measured else "usual, not measured on your printer"


def _learned(plan: PrintPlan) -> str:
    """Say what pieces already made put on the formulas."""
    told = plan.learned
    if not told.weighed and not told.timed:
        return "nothing yet: weigh and time what is printed, and enter it under [[print.made]]"
    mass = f"mass x {told.mass.value:.2f} by {told.weighed} weighed" if told.weighed else "no mass yet"
    time = f"hours x {told.time.value:.2f} by {told.timed} timed" if told.timed else "no hours yet"
    return f"{mass}; {time}"


def _strength(plan: PrintPlan) -> tuple[tuple[str, str], ...]:
    """Say what the cuts and layers do to the least reserve along the body."""
    if plan.strength is None:
        return (("strength", "not known: the sheet has no motor or no launch yet, so no loads"),)
    before, after = (_reserve(one) for one in (plan.strength.before, plan.strength.after))
    return (
        ("least reserve", f"{before} as the sheet has it, {after} as it would be printed"),
        *(("not held", f"a seam of {part}: glue it") for part in plan.strength.unheld),
    )


def _reserve(one: JointReserve) -> str:
    if one.mode is None or not math.isfinite(one.low):
        return "not known"
    return f"{'over 100' if one.low >= PLENTY else f'{one.low:.2f}'} ({mode_words(one.mode)})"


def _metres(length: Estimate, us_units: bool) -> str:
    scale, unit = (1 / 0.3048, "ft") if us_units else (1.0, "m")
    return f"{length.value * scale:.0f} {unit} ({length.low * scale:.0f} to {length.high * scale:.0f})"


def hours(time: Estimate) -> str:
    """Say a time in hours with its interval."""
    return f"{_hours(time.value)} h ({_hours(time.low)} to {_hours(time.high)}), {time.known_by.word}"


def _hours(seconds: float) -> str:
    number = seconds / 3600
    return f"{number:.1f}" if number < 20 else f"{number:.0f}"


def _pieces(plan: PrintPlan, shown: Shown) -> Table:
    return Table(
        title="Pieces, from the tip aft",
        columns=("no", "piece", "on the bed", "up", "mass", "hours", "overhang", "on bed"),
        rows=tuple(_piece(piece, shown) for piece in plan.pieces),
        numbers=(0, 4, 5, 6, 7),
    )


def _piece(piece: PlannedPiece, shown: Shown) -> tuple[str, ...]:
    mass, time = piece.effort.mass, piece.effort.time
    return (
        str(piece.number),
        piece_words(piece),
        shown.sides(piece.lying.size_m),
        _up(piece),
        shown.plain(mass.value, Dimension.MASS),
        f"{_hours(time.value)} ({_hours(time.low)} to {_hours(time.high)})",
        shown.plain(piece.lying.overhang_m2, Dimension.AREA),
        shown.plain(piece.lying.first_layer_m2, Dimension.AREA),
    )


def piece_words(piece: PlannedPiece) -> str:
    """Name a piece: its part, and which of how many."""
    return piece.part if piece.within[1] == 1 else f"{piece.part}, {piece.within[0]} of {piece.within[1]}"


def _up(piece: PlannedPiece) -> str:
    along = piece.lying.up[0]
    way = "tip up" if along > 0.5 else "tip down" if along < -0.5 else "lying"
    turned = math.degrees(piece.lying.turned_rad)
    return way if turned == 0.0 else f"{way}, turned {turned:.0f} deg"


def _joints(plan: PrintPlan, shown: Shown) -> tuple[Table, ...]:
    if not plan.joints:
        return ()
    return (
        Table(
            title="Joints between pieces",
            columns=("part", "at", "held by", "glue area", "dowels", "load there", "reserve"),
            rows=tuple(_joint(joint, shown) for joint in plan.joints),
            numbers=(3,),
        ),
    )


def _joint(joint: PlannedJoint, shown: Shown) -> tuple[str, ...]:
    held = JOINT_WORDS[joint.kind]
    return (
        joint.part,
        joint_place(joint, shown),
        held if joint.kind is joint.wanted else f"{held}: no room for more",
        shown.plain(joint.glue_area_m2, Dimension.AREA),
        _dowels(joint, shown),
        "not known" if joint.demand is None else f"{100 * joint.demand:.0f} % of the hardest",
        "not known" if joint.reserve is None else _reserve(joint.reserve),
    )


def joint_place(joint: PlannedJoint, shown: Shown) -> str:
    """Say where a joint lies."""
    if joint.turned is Turned.ACROSS and joint.station_m is not None:
        return f"station {shown.length(joint.station_m)}" + (", at a ledge" if joint.at_ledge else "")
    return f"along the body, facing {math.degrees(joint.roll_rad or 0.0) % 360:.0f} deg"


def _dowels(joint: PlannedJoint, shown: Shown) -> str:
    if joint.dowels == 0:
        return "none"
    across, long = shown.offset(joint.dowel_diameter_m), shown.offset(2 * joint.dowel_depth_m)
    return f"{joint.dowels} of {across}, {long} long"


def _notes(plan: PrintPlan, shown: Shown) -> list[str]:
    notes: list[str] = []
    if plan.holes:
        told = ", ".join(f"{one.name} {shown.fine(one.across_m)}" for one in plan.holes)
        notes.append(f"Holes printed, play included: {told}.")
    notes += _loose(plan)
    notes += [_through(joint, bar, shown) for joint in plan.joints for bar in joint.through]
    if plan.thin:
        notes.append(
            f"Walls under two lines of {shown.fine(plan.printer.line_width_m)}: {', '.join(plan.thin)}. They "
            "print as one line or not at all."
        )
    notes += [
        f"{one.part} is drawn thinner than two lines of {shown.fine(plan.printer.line_width_m)} in "
        f"{100 * one.share:.0f} % of its cut at {shown.length(one.station_m)}: it prints as one line or not "
        "at all."
        for one in plan.drawn_thin
    ]
    made = [str(one.number) for one in plan.pieces if one.is_made]
    if made:
        notes.append(f"Already printed, as the sheet says: piece {', '.join(made)}.")
    slim = [str(one.number) for one in plan.pieces if _wants_brim(one)]
    if slim:
        notes.append(f"Little stands on the bed, or the piece is slim: a brim helps piece {', '.join(slim)}.")
    notched = [str(one.number) for one in plan.pieces if one.mark is Marking.NOTCHES]
    if notched:
        notes.append(
            f"Notches stand for the number where digits find no room, long ones for ten each, short ones for "
            f"one: piece {', '.join(notched)}."
        )
    bare = [str(one.number) for one in plan.pieces if one.mark is None]
    if bare:
        notes.append(f"No inner face has room for its number: mark piece {', '.join(bare)} by hand.")
    if plan.left_out:
        notes.append(f"Not printed, so not planned: {', '.join(plan.left_out)}.")
    if any(joint.turned is Turned.ALONG for joint in plan.joints):
        notes.append(
            "Cuts along the body are not seen by the strength look: an open tube twists far more easily."
        )
    notes.append(
        "Overhang counts every face that leans more than 45 degrees and looks down, short bridges too. Mass "
        "and hours leave out supports and brims. Hours are a guess until you enter what pieces took."
    )
    return notes


def _through(joint: PlannedJoint, bar: Barred, shown: Shown) -> str:
    """Say what a seam goes through: a motor's tube bridges it, all else should stay whole."""
    seam = f"The seam of {joint.part} at {shown.length(joint.station_m)} goes through"
    if bar.why is Why.MOTOR_TUBE:
        return (
            f"{seam} the {bar.name}, amid its length: put the tube in whole after the pieces are joined, "
            "glued on both sides of the seam; the thrust goes through that glue or the rods."
        )
    return f"{seam} {bar.why.value} of {bar.name}, which should stay whole: move it."


def _loose(plan: PrintPlan) -> list[str]:
    """Say which parts fall into more pieces than they were cut into."""
    notes: list[str] = []
    for name in dict.fromkeys(piece.part for piece in plan.pieces):
        cuts = sum(joint.part == name for joint in plan.joints)
        count = sum(piece.part == name for piece in plan.pieces)
        if cuts == 0 and count > 1:
            notes.append(
                f"{name} falls into {count} loose bodies without a cut: each is a piece of its own. Look "
                "whether a hole or a thin neck parts what should hang together."
            )
    return notes


def _wants_brim(piece: PlannedPiece) -> bool:
    lying = piece.lying
    return lying.first_layer_m2 < _SHORT_BRIM * lying.footprint_m2 or lying.size_m[2] > _SLIM * min(
        lying.size_m[:2]
    )
