"""A flight's log as text: what was read, what happened when, how hard it pulled."""

import math
from pathlib import PurePath

from finial.core.dimensions import Dimension
from finial.core.statistics import NINETY
from finial.findings.today import Today
from finial.flown.falls import Fall
from finial.flown.happening import LogEvent
from finial.flown.peaks import FeltPeak
from finial.logbook.debrief import Debrief
from finial.logbook.story import Story
from finial.logbook.watched import Watched, clashes, event_in
from finial.report.document import ReportSection, Table
from finial.report.lines import WIDTH, TextLine, caution_lines, section_lines
from finial.report.log_words import CERTAINTY, SEEN, note_words
from finial.report.logbook_text import logbook_section
from finial.report.refit_text import (
    changes_section,
    comparison_section,
    cords_section,
    next_section,
    refit_section,
)
from finial.report.shown import NOT_KNOWN, Shown
from finial.report.text import findings_lines


def debrief_lines(
    found: Debrief, following: Today | None, *, written: bool, width: int = WIDTH
) -> tuple[TextLine, ...]:
    """Whole debrief line by line, the caution last; with the next flight where it was asked for."""
    shown = Shown(us_units=found.vehicle.us_units)
    lines: list[TextLine] = []
    for section in debrief_sections(found, following, shown, written=written):
        lines += section_lines(section, width=width)
    if following is not None:
        lines += [TextLine(""), TextLine("Findings on the next flight", "heading")]
        lines += findings_lines(following.today.findings, shown, width=width)
    return (*lines[1:], *caution_lines(width=width))


def debrief_sections(
    found: Debrief, following: Today | None, shown: Shown, *, written: bool
) -> tuple[ReportSection, ...]:
    """Sections of a debrief: each log, log beside prediction, the model, the sheet, the next flight."""
    told = [section for story in found.stories for section in story_sections(story, shown)]
    ahead = () if following is None else (next_section(following, shown),)
    return (
        *told,
        *(watched_section(video, found, shown) for video in found.videos),
        comparison_section(found.comparison, found.refit, shown),
        *((cords_section(found.cords, shown),) if found.cords else ()),
        refit_section(found.refit, shown),
        *((logbook_section(found.joints, shown),) if found.joints else ()),
        changes_section(found.changes, written=written),
        *ahead,
    )


def story_sections(story: Story, shown: Shown) -> tuple[ReportSection, ...]:
    """Sections of what one log tells."""
    return (
        ReportSection(
            key="read",
            title=f"What was read: {PurePath(story.reading.file).name}",
            facts=_read(story, shown),
            notes=tuple(note_words(note, shown) for note in story.notes),
        ),
        ReportSection(
            key="happened",
            title="What happened",
            tables=(_happened(story, shown),),
            notes=("Times count from lift-off; the ends hold about nine in ten.",),
        ),
        ReportSection(key="felt", title="How fast and how hard", facts=_numbers(story, shown)),
    )


def watched_section(video: Watched, found: Debrief, shown: Shown) -> ReportSection:
    """Set what a video shows beside the first log and the prediction."""
    rows: list[tuple[str, ...]] = []
    for event in video.events:
        seen, foreseen = found.stories[0].when(event.kind), event_in(found.prediction.trace, event.kind)
        by_log = NOT_KNOWN if seen is None else shown.between(seen.time, Dimension.TIME)
        predicted = NOT_KNOWN if foreseen is None else shown.plain(foreseen, Dimension.TIME)
        rows.append((SEEN[event.kind], shown.between(event.time, Dimension.TIME), by_log, predicted))
    table = Table(
        title="", columns=("what", "video", "log", "predicted"), rows=tuple(rows), numbers=(1, 2, 3)
    )
    odd = [SEEN[event.kind] for event in video.events if clashes(event, found.stories)]
    said = f"Not used: {', '.join(odd)} by the log at another time. A wrong frame, or another flight?"
    return ReportSection(
        key="watched",
        title=f"What the video shows: {PurePath(video.file).name}",
        tables=(table,),
        notes=(said,) if odd else (),
    )


def _read(story: Story, shown: Shown) -> tuple[tuple[str, str], ...]:
    reading, sensed = story.reading, story.reading.sensed
    aboard = [
        name
        for name, there in (
            ("barometer", sensed.has_heights and not sensed.heights_by_satellites),
            ("satellite receiver", sensed.has_places or sensed.heights_by_satellites),
            ("accelerometer", sensed.has_axial),
            ("gyroscopes", sensed.has_turning),
        )
        if there
    ]
    height, felt = (
        shown.plain(value, kind)
        for value, kind in (
            (sensed.height_noise_m, Dimension.LENGTH),
            (sensed.felt_noise_m_s2, Dimension.ACCELERATION),
        )
    )
    noise = [f"heights {height}"] if sensed.has_heights else []
    noise += [f"felt along the axis {felt}"] if sensed.has_axial else []
    return (
        ("rows", f"{reading.rows}, usually {1e3 * reading.step_s:.3g} ms apart in flight"),
        ("aboard", ", ".join(aboard)),
        ("noise on the pad", "; ".join(noise)),
        ("lift-off", f"at {reading.clock_at_lift_off_s:.2f} s of its own clock"),
    )


def _happened(story: Story, shown: Shown) -> Table:
    return Table(
        title="",
        columns=("what", "time, s", "between, s", "height", "climbs at", "seen by"),
        rows=tuple(_row(one, shown) for one in story.happenings),
        numbers=(1, 2, 3, 4),
    )


def _row(one: LogEvent, shown: Shown) -> tuple[str, ...]:
    return (
        SEEN[one.kind],
        f"{one.time.value:.2f}",
        f"{one.time.low:.2f} to {one.time.high:.2f}",
        shown.height(one.height_m),
        shown.speed(one.speed_m_s),
        CERTAINTY[one.certainty],
    )


def _numbers(story: Story, shown: Shown) -> tuple[tuple[str, str], ...]:
    climb, turn = story.climb, story.turning
    fastest = int(climb.speeds_m_s.argmax())
    half = NINETY * float(climb.speed_sigmas_m_s[fastest])
    top, reach = int(climb.heights_m.argmax()), NINETY
    spread = reach * float(climb.height_sigmas_m[top])
    facts = [
        (
            "highest",
            f"{shown.height(float(climb.heights_m[top]))}, give or take {shown.height(spread)} of noise",
        ),
        (
            "fastest climb",
            f"{shown.speed(float(climb.speeds_m_s[fastest]))}, give or take {shown.speed(half)}",
        ),
        ("largest push", _peak(story.push)),
        ("largest kick at separation", _peak(story.snatch)),
        ("largest pull after that", _peak(story.opening)),
        *(_fall(number, fall, shown) for number, fall in enumerate(story.falls, start=1)),
    ]
    if story.lean is not None:
        facts.append(("from the vertical at apogee", shown.between(story.lean, Dimension.ANGLE)))
    if turn is not None:
        roll = shown.plain(turn.fastest_roll_rad_s, Dimension.TURN_RATE)
        cone = f"{math.degrees(turn.cone_rad):.1f} deg at {turn.swings_hz:.2f} Hz"
        facts += [("fastest roll in the coast", roll), ("swings in the coast", cone)]
    return tuple(facts)


def _peak(peak: FeltPeak | None) -> str:
    if peak is None:
        return NOT_KNOWN
    least = "at least " if peak.at_least else ""
    return f"{least}{peak.felt_g:.1f} g at {peak.time_s:.2f} s"


def _fall(number: int, fall: Fall, shown: Shown) -> tuple[str, str]:
    rate = shown.between(fall.rate, Dimension.SPEED)
    return f"fall {number}", f"{rate}, from {shown.height(fall.from_m)} to {shown.height(fall.to_m)}"
