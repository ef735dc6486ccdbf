"""Sections of ``finial recovery`` on the cord: its pull over time, and whether it cuts the tube."""

import math

from finial.assemble.recovery.records import PulledCase, TetherStudy
from finial.assemble.recovery.zipper import SPEEDS_M_S
from finial.core.dimensions import Dimension
from finial.report.cord_words import DOUBTS, EDGES, cord_notes, lip_words, meeting_words, remedy_words
from finial.report.document import ReportSection, Table
from finial.report.shown import Shown

SHOWN_S = (-3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0, 4.0, 5.0)
_PLENTY = 10.0
_MODEL = (
    "No published limit for a cord on a lip was found. Assumed: the cord bites into the edge over its width, "
    "or tears a tongue as wide as itself and half as deep out of the wall, whichever is weaker; half to one "
    "and a half of that for all the doubt. Left out: bending of the mouth out of round, friction, old "
    "cracks, heat."
)
_HOW = (
    "Followed: both sides as rigid pieces, cord in two parts that only pull, a knot, lines and a canopy that "
    "fills once they are stretched; in one plane, with gravity and drag, from the state of a flight with its "
    "bays shut. Single cases late in a fall differ by a third for small "
    "changes of the start. Left out: wakes, contact, air in the canopy, twist out of the plane."
)


def cord_section(tether: TetherStudy, shown: Shown) -> ReportSection:
    """Peak tension on time, by the model and by the closed form."""
    force = Dimension.FORCE
    on_time = next(case for case in tether.cases if case.offset_s == 0.0)
    meeting = "never within 5 s, in any case followed"
    if tether.meeting is not None:
        meeting = meeting_words(tether.meeting, shown)
    facts = (
        ("sides part at", shown.judged(tether.parting_m_s, Dimension.SPEED)),
        ("peak by energy, two bodies", shown.judged(tether.closed_form, force)),
        ("peak followed in time", shown.plain(on_time.peak_n, force)),
        ("pull of the canopy's lines", shown.plain(on_time.snatch_n, force)),
        ("cord holds, at its knots", shown.judged(tether.strength, force)),
        ("rated for", f"{tether.rated_over_weight:.0f} times what comes down; the trade takes 100"),
        ("length", f"{tether.length_over_vehicle:.1f} times the vehicle's; the trade takes 2 to 5"),
        ("the sides meet again", meeting),
    )
    return ReportSection(
        key="cord",
        title=f"{tether.cord[:1].upper()}{tether.cord[1:]}: pull over time",
        facts=facts,
        notes=(_HOW, *cord_notes(tether, shown)),
    )


def zipper_section(tether: TetherStudy, shown: Shown) -> ReportSection:
    """Margin of the lip against event time, against speed across at apogee, and remedies."""
    across = [(_speed(case, shown), case) for case in tether.by_speed]
    ends = [(DOUBTS[case.doubt], case) for case in tether.spread]
    tables = (
        _cases("By event time, in the wind of the day", _by_time(tether, "day"), shown),
        _cases("The same in the strongest wind entered", _by_time(tether, "windy"), shown),
        _cases("On time, with the start at its ends", ends, shown),
        _cases("By horizontal speed at apogee, on time", across, shown),
        _remedies(tether, shown),
    )
    lip = tether.lip
    facts = (
        (
            "the lip",
            lip_words(lip, shown) if lip else "not known: enter wall and material of the bay or of its lip",
        ),
        ("starts to tear at, cord bent square", shown.judged(lip and lip.holds_square, Dimension.FORCE)),
        (
            "known by",
            "a pull test" if lip and lip.tested else "the model alone; enter a pull_test under the lip",
        ),
    )
    return ReportSection(
        key="zipper", title=f"Does {tether.cord} cut the tube", facts=facts, tables=tables, notes=(_MODEL,)
    )


def _by_time(tether: TetherStudy, wind: str) -> list[tuple[str, PulledCase]]:
    return [
        (
            "on time"
            if case.offset_s == 0
            else f"{abs(case.offset_s):.0f} s {'late' if case.offset_s > 0 else 'early'}",
            case,
        )
        for case in tether.cases
        if case.wind == wind and case.offset_s in SHOWN_S
    ]


def _speed(case: PulledCase, shown: Shown) -> str:
    nearest = min(SPEEDS_M_S, key=lambda speed: abs(speed - case.across_m_s))
    return f"{shown.speed(nearest)} across"


def _cases(title: str, cases: list[tuple[str, PulledCase]], shown: Shown) -> Table:
    force = Dimension.FORCE
    return Table(
        title=title,
        columns=("event", "airspeed", "peak pull", "on the lip", "bent by", "edge", "strength over pull"),
        rows=tuple(
            (
                label,
                shown.speed(case.speed_m_s),
                shown.plain(round(case.peak_n), force),
                shown.plain(round(case.lip_tension_n), force),
                f"{math.degrees(case.lip_bend_rad):.0f} deg",
                EDGES[case.lip_edge],
                _ratio(case),
            )
            for label, case in cases
        ),
        numbers=(1, 2, 3, 4, 6),
    )


def _ratio(case: PulledCase) -> str:
    """Strength over pull, central and at the low end."""
    if case.margin is None or case.margin_low is None:
        return "not known"
    if case.margin_low + 1 > _PLENTY:
        return f"over {_PLENTY:.0f}"
    return f"{case.margin + 1:.1f} (low {case.margin_low + 1:.1f})"


def _remedies(tether: TetherStudy, shown: Shown) -> Table:
    return Table(
        title="Remedies tried over 3 s early to 5 s late in the strongest wind, best first",
        columns=("remedy", "strength over pull, low end", "peak pull", "note"),
        rows=tuple(
            (
                remedy_words(remedy, shown)[0],
                "not known" if remedy.margin is None else f"{remedy.margin + 1:.2f}",
                shown.plain(round(remedy.peak_n), Dimension.FORCE),
                remedy_words(remedy, shown)[1],
            )
            for remedy in tether.remedies
        ),
        numbers=(1, 2),
    )
