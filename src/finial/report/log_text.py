"""A flight's log as text: what was read, what happened when, how hard it pulled."""

import math

from finial.core.dimensions import Dimension
from finial.flown.falls import Fall
from finial.flown.happening import Happening
from finial.flown.peaks import Peak
from finial.logbook.story import Story
from finial.report.document import ReportSection, Table
from finial.report.log_words import CERTAINTY, SEEN, note_words
from finial.report.shown import NOT_KNOWN, Shown


def story_sections(story: Story, shown: Shown) -> tuple[ReportSection, ...]:
    """Sections of what one log tells."""
    return (
        ReportSection(
            key="read",
            title="What was read",
            facts=_read(story),
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


def _read(story: Story) -> tuple[tuple[str, str], ...]:
    reading, sensed = story.reading, story.reading.sensed
    aboard = [
        name
        for name, there in (
            ("barometer", sensed.has_heights),
            ("accelerometer", sensed.has_axial),
            ("gyroscopes", sensed.has_turning),
        )
        if there
    ]
    noise = [f"heights {sensed.height_noise_m:.2f} m"] if sensed.has_heights else []
    noise += [f"felt along the axis {sensed.felt_noise_m_s2:.2f} m/s2"] if sensed.has_axial else []
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


def _row(one: Happening, shown: Shown) -> tuple[str, ...]:
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
    half = 1.645 * float(climb.speed_sigmas_m_s[fastest])
    top, reach = int(climb.heights_m.argmax()), 1.645
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
    if turn is not None:
        roll = shown.plain(turn.fastest_roll_rad_s, Dimension.TURN_RATE)
        cone = f"{math.degrees(turn.cone_rad):.1f} deg at {turn.swings_hz:.2f} Hz"
        facts += [("fastest roll in the coast", roll), ("swings in the coast", cone)]
    return tuple(facts)


def _peak(peak: Peak | None) -> str:
    if peak is None:
        return NOT_KNOWN
    least = "at least " if peak.at_least else ""
    return f"{least}{peak.felt_g:.1f} g at {peak.time_s:.2f} s"


def _fall(number: int, fall: Fall, shown: Shown) -> tuple[str, str]:
    rate = shown.between(fall.rate, Dimension.SPEED)
    return f"fall {number}", f"{rate}, from {shown.height(fall.from_m)} to {shown.height(fall.to_m)}"
