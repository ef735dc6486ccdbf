"""The map of the day as text, and as JSON."""

import json
import math
from collections.abc import Iterator
from typing import Any

from finial.core.version import __version__
from finial.findings.field_map import FieldMap
from finial.findings.finding import Finding
from finial.findings.landing_map import LandingMap
from finial.findings.latest_wind import LatestWind
from finial.range_safety.hazards import OnMark
from finial.range_safety.leaning import Lean
from finial.report.document import ReportSection, Table
from finial.report.finding_words import title
from finial.report.json_records import SCHEMA_VERSION, opening_plain, plain
from finial.report.lines import WIDTH, TextLine, caution_lines, section_lines
from finial.report.shown import NOT_KNOWN, Shown, bearing
from finial.report.words import CAUTION, Answered


def field_map_lines(found: FieldMap, *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Whole answer line by line."""
    lines: list[TextLine] = []
    for section in field_map_sections(found):
        lines += section_lines(section, width=width)
    return (*lines, *caution_lines(width=width))


def field_map_sections(found: FieldMap) -> tuple[ReportSection, ...]:
    """Sections of the answer, in the units of the sheet."""
    shown = Shown(us_units=found.drawn.us_units)
    return (
        ReportSection(key="down", title="Where it comes down", facts=tuple(_down(found, shown))),
        ReportSection(
            key="under",
            title="What lies there",
            tables=(under_table(found.on_marks),),
            notes=under_notes(found.on_marks),
        ),
        ReportSection(
            key="lean",
            title="Which way to lean the rail",
            tables=(_leans(found.leans, shown),),
            notes=_lean_notes(found, shown),
        ),
        ReportSection(key="wind", title="Which wind", facts=tuple(_wind(found.wind, shown))),
    )


def _down(found: FieldMap, shown: Shown) -> Iterator[tuple[str, str]]:
    yield from walk_facts(found.drawn, shown)
    yield (
        "without a canopy",
        (
            f"within {shown.height(found.bare.value)} of the pad in 95 % of the flights, "
            f"the farthest {shown.height(found.farthest_bare_m)}"
        ),
    )
    yield "flights", f"{found.flown.flights}, and as many without a canopy"
    if found.tops is not None:
        yield (
            "backup clock",
            f"99 % of the tops come within {found.tops.value:.1f} s of the firing signal; no clock before",
        )


def walk_facts(drawn: LandingMap, shown: Shown) -> Iterator[tuple[str, str]]:
    """Say where to walk, and where to look."""
    far, towards = drawn.walk
    yield "walk from the pad", f"{shown.height(far)} towards {bearing(towards)} true"
    if drawn.ellipse is not None:
        half = " x ".join(shown.height(2 * one) for one in drawn.ellipse.half_axes_m)
        lies = bearing(drawn.ellipse.bearing_rad)
        yield (
            "look within",
            f"an ellipse of {half}, along {lies}; holds {100 * drawn.ellipse.held:.0f} % of them",
        )
    else:
        yield "look within", NOT_KNOWN


def under_table(counts: tuple[OnMark, ...]) -> Table:
    """Count what comes down on each thing of the map; a column more of flights without a canopy."""
    bare = any(one.bare is not None for one in counts)
    return Table(
        title="",
        columns=("what", "flights that come down there", *("without a canopy",) * bare),
        rows=tuple((*_on_mark(one), *(str(one.bare),) * bare) for one in counts),
        numbers=(1, 2)[: 1 + bare],
    )


def under_notes(counts: tuple[OnMark, ...]) -> tuple[str, ...]:
    """Say where nothing was there to be counted."""
    return () if counts else ("The field's file tells of no people, roads or buildings.",)


def _on_mark(one: OnMark) -> tuple[str, str]:
    bounds = f"{100 * one.low:.1f} to {100 * one.high:.1f} %"
    return f"{one.kind} {one.name}".strip(), f"{one.count} of {one.flights} ({bounds})"


def _leans(found: tuple[Lean, ...], shown: Shown) -> Table:
    return Table(
        title="Clears most, in today's wind at both its ends, with canopies and without",
        columns=("tilt", "towards", "stays off field's edge, people, roads by"),
        rows=tuple(
            (shown.angle(one.tilt_rad), bearing(one.toward_rad), _clear(one.clearance_m, shown))
            for one in _best_of_each(found)
        ),
        numbers=(0, 1, 2),
    )


def _best_of_each(found: tuple[Lean, ...]) -> tuple[Lean, ...]:
    """Of every tilt the bearing that clears most: nobody leans a rail farther than it buys something."""
    best: dict[float, Lean] = {}
    for one in found:
        best.setdefault(one.tilt_rad, one)
    return tuple(sorted(best.values(), key=lambda one: one.tilt_rad))


def _clear(metres: float, shown: Shown) -> str:
    if metres == -math.inf:
        return "a flight is lost"
    return shown.height(metres) if metres >= 0.0 else f"reached, by {shown.height(-metres)}"


def _lean_notes(found: FieldMap, shown: Shown) -> tuple[str, ...]:
    if not found.leans:
        return ("Neither field nor people are told: nothing to keep off.",)
    own = found.own_clearance_m
    stands = f"As the rail stands the worst of all flights here stays off by {shown.height(own)}."
    if own < 0.0:
        stands = f"As the rail stands the worst of all flights here reaches it, by {shown.height(-own)}."
    return (stands, "A lean moves more than the landing: put it into the sheet and check the whole again.")


def _wind(found: LatestWind, shown: Shown) -> Iterator[tuple[str, str]]:
    if found.in_a_calm:
        yield "no wind is go", f"in a calm too: {_named(found.in_a_calm, shown)}"
    label = "no more fails up to" if found.in_a_calm else "go up to"
    give = f", give or take {shown.wind(found.tolerance_m_s)}" if found.tolerance_m_s else ""
    yield label, f"{shown.wind(found.wind_m_s)} at {shown.height(10.0)}{give}, by the quick look"
    if found.then_fails:
        yield "then", _named(found.then_fails, shown)
    else:
        yield (
            "then",
            f"nothing more, up to the code's largest, {shown.wind(found.most_m_s)}",
        )


def _named(findings: tuple[Finding, ...], shown: Shown) -> str:
    return "; ".join(dict.fromkeys(title(one, shown) for one in findings))


def field_map_json(found: FieldMap, checked: Answered) -> str:
    """Return the map's answer as JSON text in SI units and radians, under the verdict of the whole check."""
    opening = {
        "schema_version": SCHEMA_VERSION,
        "finial_version": __version__,
        "caution": CAUTION,
        "name": found.drawn.name,
        **opening_plain(checked),
        "verdict": checked.verdict.words,
    }
    return json.dumps({**opening, "map": _plain(found)}, allow_nan=False, ensure_ascii=False, indent=1)


def _plain(found: FieldMap) -> dict[str, Any]:
    wind = found.wind
    return {
        "flights": found.flown.flights,
        "walk_m": found.drawn.walk[0],
        "walk_bearing_rad": found.drawn.walk[1] % (2 * math.pi),
        "ellipse": plain(found.drawn.ellipse),
        "without_canopy_95_m": found.bare.value,
        "without_canopy_farthest_m": found.farthest_bare_m,
        "people_minimum_m": found.drawn.minimum_m,
        "on_marks": [plain(one) for one in found.on_marks],
        "leans": [
            {"tilt_rad": one.tilt_rad, "toward_rad": one.toward_rad, "clearance_m": _finite(one.clearance_m)}
            for one in found.leans
        ],
        "own_clearance_m": _finite(found.own_clearance_m),
        "tops_99_s": found.tops.value if found.tops else None,
        "wind": {
            "latest_m_s": wind.wind_m_s,
            "tolerance_m_s": wind.tolerance_m_s,
            "fails_in_a_calm": [one.key for one in wind.in_a_calm],
            "then_fails": [one.key for one in wind.then_fails],
            "code_most_m_s": wind.most_m_s,
        },
    }


def _finite(metres: float) -> float | None:
    """Return nothing for what has no number: a lost flight, nothing to keep off."""
    return metres if math.isfinite(metres) else None
