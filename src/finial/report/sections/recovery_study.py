"""Sections of ``finial recovery``: events, canopies, packs, charges, tests, pins, vents."""

import math

from finial.assemble.recovery.records import BurstStudy, RecoveryStudy
from finial.assemble.recovery.results import RecoveryResult
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.recovery.charges.ports import RULE_VOLUME_M3, port_diameter
from finial.report.document import ReportSection, Table
from finial.report.recovery_words import (
    FITS,
    accelerometer_words,
    barometer_words,
    doubt_words,
    event_words,
    kind_words,
    order_notes,
    pins_words,
    planned_words,
    pull_words,
    shot_words,
    told_words,
)
from finial.report.sections.descent import landing_table
from finial.report.shown import Shown

POWDER_CAUTION = (
    "Black powder burns hands and eyes and takes fingers. These amounts only say where a ground test "
    "begins; loading is for people licensed and practised in it, with nothing powered and nobody in line. "
    "Nothing here says how powder or igniters are made."
)
BLANKS = ("____",) * 5 + ("________",)
"""What is written down by hand after a shot."""


def order_section(recovery: RecoveryResult, study: RecoveryStudy, shown: Shown) -> ReportSection:
    """Time line of events, with what each sensor sees."""
    rows = tuple(
        (
            f"{row.time_s:.2f}",
            event_words(row, shown),
            shown.height(row.height_m),
            shown.speed(row.speed_m_s),
            barometer_words(row, shown),
            accelerometer_words(row),
        )
        for row in study.order.rows
    )
    table = Table(
        title="The flight of the day; times from ignition in seconds",
        columns=("time", "what", "height", "speed", "the barometer sees", "the accelerometer feels"),
        rows=rows,
        numbers=(0, 2, 3),
    )
    return ReportSection(
        key="order",
        title="Order of events",
        facts=(("kind", kind_words(study.order)),),
        tables=(table,),
        notes=tuple(order_notes(study.order, recovery, shown)),
    )


def canopies_section(recovery: RecoveryResult, study: RecoveryStudy, shown: Shown) -> ReportSection:
    """Each canopy: descent, swing, opening computed twice; and the landing."""
    force = Dimension.FORCE
    coming = Table(
        title="Coming down",
        columns=("canopy", "kind", "drag area", "falls at", "as a drop from", "swings"),
        rows=tuple(
            (
                one.name,
                one.kind,
                shown.between(one.drag_area, Dimension.AREA),
                shown.between(one.descent_speed, Dimension.SPEED),
                shown.between(one.drop_height, Dimension.LENGTH),
                f"{math.degrees(one.swing_rad[0]):.0f} to {math.degrees(one.swing_rad[1]):.0f} deg",
            )
            for one in study.canopies
        ),
        numbers=(2, 3, 4, 5),
    )
    opening = Table(
        title="Opening load, twice computed",
        columns=("canopy", "reefed by", "fills in", "by filling time", "coupled equation", "with a slider"),
        rows=tuple(
            (
                one.name,
                one.reefing,
                shown.between(one.filling_time, Dimension.TIME),
                shown.between(one.closed_form, force),
                shown.between(one.coupled, force),
                shown.between(one.with_slider, force),
            )
            for one in study.canopies
        ),
        numbers=(2, 3, 4, 5),
    )
    notes = (
        "The coupled equation fills by distance flown and takes the air in the canopy along; the closed form "
        "fills by the clock. Where they differ, believe the larger until a drop test decides.",
        "Swing is to either side; a swinging canopy lands faster at the bottom of a swing.",
    )
    return ReportSection(
        key="canopies",
        title="Canopies",
        tables=(coming, opening, landing_table(recovery, shown)),
        notes=notes,
    )


def packs_section(study: RecoveryStudy, shown: Shown) -> ReportSection:
    """Whether each pack can leave its bay."""
    rows = tuple(
        (
            pack.bay,
            shown.plain(pack.contents_kg, Dimension.MASS),
            shown.between(pack.density, Dimension.DENSITY),
            FITS[pack.fit],
            shown.length(pack.length_m),
            shown.length(pack.room_m),
            "yes" if pack.comes_out else "in doubt",
        )
        for pack in study.packs
    )
    table = Table(
        title="",
        columns=("bay", "contents", "pack density", "how it lies", "length", "by hand it needs", "can leave"),
        rows=rows,
        numbers=(1, 2, 4, 5),
    )
    moved = Table(
        title="What moves it out, over what holds it",
        columns=("bay", "friction holds", "pull of the cord", "push of the gas behind it"),
        rows=tuple(
            (one.bay, shown.between(one.friction, Dimension.FORCE), _times(one.pull), _times(one.push))
            for one in study.exits
        ),
        numbers=(1, 2, 3),
    )
    doubts = tuple(doubt_words(doubt, shown) for pack in study.packs for doubt in pack.doubts)
    routing = ("How the cord is led cannot be read from a sheet: it must not lie over or round the pack.",)
    return ReportSection(
        key="packs",
        title="Does the pack leave its bay",
        tables=(table, moved),
        notes=(*doubts, *(routing if study.packs else ())),
    )


def _times(ratio: Estimate | None) -> str:
    """Show how often over the friction."""
    return "none" if ratio is None else f"{ratio.value:.1f} ({ratio.low:.1f} to {ratio.high:.1f})"


def charge_section(burst: BurstStudy, shown: Shown) -> ReportSection:
    """Show the charges of one bay in time, at other heights, against wall and joint."""
    pressure, speed = Dimension.PRESSURE, Dimension.SPEED
    shots = Table(
        title="Followed in time, from the weak to the strong end of all that is assumed",
        columns=("what fires", "powder", "closed form", "peak in the bay", "parts at", "opens"),
        rows=tuple(
            (
                shot_words(shot),
                shown.plain(shot.powder_kg, Dimension.MASS),
                shown.between(shot.closed_form_pa, pressure),
                shown.between(shot.peak, pressure),
                shown.between(shot.speed, speed),
                "even at the weak end"
                if shot.opens
                else "not at the weak end"
                if shot.speed.value
                else "stays shut",
            )
            for shot in burst.shots
        ),
        numbers=(1, 2, 3, 4),
    )
    heights = Table(
        title="The first charge at other heights above the pad",
        columns=("height", "air", "peak in the bay", "parts at"),
        rows=tuple(
            (
                shown.height(height),
                shown.plain(air, pressure),
                shown.plain(peak, pressure),
                shown.speed(parts),
            )
            for height, air, peak, parts in burst.by_height
        ),
        numbers=(0, 1, 2, 3),
    )
    facts = (
        ("the wall yields at", shown.judged(burst.wall_holds_pa, pressure)),
        ("largest force on the joint", shown.plain(burst.joint_peak_n, Dimension.FORCE)),
        ("the trade stops at", shown.plain(burst.joint_cap_n, Dimension.FORCE)),
        ("loose powder burns badly above", shown.height(burst.loose_powder_ends_m)),
    )
    return ReportSection(
        key="charges",
        title=f"Charges of {burst.bay}",
        facts=facts,
        tables=(shots, heights),
        notes=(*(told_words(told, shown) for told in burst.tested), POWDER_CAUTION),
    )


def ground_test_section(burst: BurstStudy, shown: Shown) -> ReportSection:
    """Write the steps of the ground test and a table to fill in."""
    steps = (
        "1. With someone licensed and practised; people clear, eyes covered, means against fire at hand.",
        "2. The flight's own bay, pack, protector, cord, pins and igniter; motor out, batteries out.",
        "3. Lay the vehicle level on soft ground, nothing ahead of the joint or behind it, both sides free.",
        "4. Load the charge last and step out of line. Fire from a distance, from behind cover.",
        "5. Film across the joint, with a scale in the picture: the model needs the speed of parting.",
        "6. After a failure wait, disconnect, and treat the charge as live.",
        "7. Write every shot down. A test counts only if canopy and protector are out and unhurt.",
    )
    table = Table(
        title="To fill in",
        columns=("shot", "powder", "parted", "speed", "canopy out", "burns", "pins found", "date, who"),
        rows=tuple(
            (planned_words(shot), shown.plain(shot.powder_kg, Dimension.MASS), *BLANKS) for shot in burst.plan
        ),
        numbers=(1,),
    )
    return ReportSection(
        key="ground test",
        title=f"Ground test of {burst.bay}",
        tables=(table,),
        notes=(
            *steps,
            "Enter each shot in the sheet under its charge: "
            'ground_test = [{ powder = "...", parted = true, speed = "..." }]. A speed sets the share of the '
            "powder that does work; parted or not narrows what the joint holds.",
        ),
    )


def pins_section(study: RecoveryStudy, shown: Shown) -> ReportSection:
    """Show what holds each joint and what pulls at it, and the vents."""
    force = Dimension.FORCE
    pulls = Table(
        title="What pulls at the pins before the charge",
        columns=("bay", "pins", "they hold", "what pulls", "with"),
        rows=tuple(
            (
                pin.bay,
                pins_words(pin),
                shown.between(pin.holds, force) if pin.holds else "",
                pull_words(pull),
                shown.between(pull.force, force),
            )
            for pin in study.pins
            for pull in pin.pulls
        )
        + tuple(
            (pin.bay, "", "", "trapped air, were there no vent", shown.plain(pin.sealed_n, force))
            for pin in study.pins
        ),
        numbers=(2, 4),
    )
    others = Table(
        title="Fewest pins of each screw that hold half again what pulls",
        columns=("bay", "pins", "they hold", "the charge breaks them with a quarter to spare"),
        rows=tuple(
            (
                pin.bay,
                f"{other.count} x {other.screw}",
                shown.between(other.holds, force),
                "no charge entered"
                if other.breaks is None
                else "yes"
                if other.breaks
                else "not at its weak end",
            )
            for pin in study.pins
            for other in pin.others
        ),
        numbers=(2,),
    )
    vents = Table(
        title="Vents and what a barometer behind them would read",
        columns=("bay", "free volume", "vent", "lag in the climb", "in height", "the rule's holes"),
        rows=tuple(
            (
                vent.bay,
                shown.plain(vent.volume_m3, Dimension.VOLUME),
                "none" if vent.vent_m2 is None else shown.plain(vent.vent_m2, Dimension.AREA),
                "sealed" if vent.lag_pa is None else shown.plain(vent.lag_pa, Dimension.PRESSURE),
                "" if vent.lag_m is None else shown.length(vent.lag_m),
                ", ".join(f"{count} of {shown.offset(hole)}" for count, hole in vent.rule_holes),
            )
            for vent in study.vents
        ),
        numbers=(1, 2, 3, 4),
    )
    return ReportSection(
        key="pins",
        title="Pins and vents",
        tables=(pulls, others, vents),
        notes=(
            _port_rule(shown),
            "Nylon scatters by a quarter, more in heat, damp and soft holes: break three from the same bag.",
        ),
    )


def _port_rule(shown: Shown) -> str:
    hole = shown.offset(port_diameter(RULE_VOLUME_M3, 1))
    room = shown.plain(RULE_VOLUME_M3, Dimension.VOLUME)
    return f"The rule is a hole of {hole} for {room}, split by area; others take four times that."
