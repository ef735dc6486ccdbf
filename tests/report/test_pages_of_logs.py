"""Pages of what logs and videos tell, doubts about meshes, and air in the tunnel, each read once."""

import math
import re
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from report import studies_by_hand as studies
from report.as_drawn import BOTH, same_as_drawn, same_as_told
from tunnel_solver import made_up_flow

from finial.flight.trace import EventKind
from finial.flown.falls import Fall
from finial.flown.happening import Certainty, LogEvent, Seen
from finial.flown.peaks import FeltPeak
from finial.flown.turning import Turning
from finial.report.lines import section_lines
from finial.report.log_json import story_plain
from finial.report.log_text import story_sections, watched_section
from finial.report.pictures.tunnel_air import tunnel_air, tunnel_moments
from finial.report.shown import Shown
from finial.report.start_text import doubt_words, likely_unit, sizes_words
from finial.shape.pieces.upright import Sureness
from finial.tunnel_study.flows import FlowTold, KeptFlow

HERE = Path(__file__).parent / "drawn"
guess = studies.guess


def page(sections: Any) -> str:
    return "\n".join(line.text for one in sections for line in section_lines(one, width=110))


def happened(kind: Seen, time_s: float, height_m: float, certainty: Certainty) -> LogEvent:
    return LogEvent(
        kind=kind,
        time=guess(time_s, time_s - 0.1, time_s + 0.2),
        height_m=height_m,
        speed_m_s=25.0 - time_s,
        certainty=certainty,
    )


def story(**changed: Any) -> Any:
    """Up to 312 m, felt 9.5 g, noise of 0.4 m and 0.3 m/s2."""
    sensed = {
        "has_heights": True,
        "heights_by_satellites": False,
        "has_places": False,
        "has_axial": True,
        "has_turning": True,
        "height_noise_m": 0.4,
        "felt_noise_m_s2": 0.3,
    }
    happenings = tuple(
        happened(kind, 2.0 * n, 30.0 * n, list(Certainty)[n % 3]) for n, kind in enumerate(Seen)
    )

    def when(kind: Seen) -> LogEvent | None:
        return next((one for one in happenings[:4] if one.kind is kind), None)

    told: dict[str, Any] = {
        "reading": SimpleNamespace(
            file="logs/first.csv",
            rows=1234,
            step_s=0.0125,
            clock_at_lift_off_s=61.238,
            sensed=SimpleNamespace(**sensed),
        ),
        "climb": SimpleNamespace(
            speeds_m_s=np.array([0.0, 80.0, -20.0]),
            heights_m=np.array([0.0, 150.0, 312.0]),
            height_sigmas_m=np.array([1.0, 2.0, 3.0]),
            speed_sigmas_m_s=np.array([0.1, 0.5, 0.9]),
        ),
        "happenings": happenings,
        "falls": (
            Fall(start_s=10.0, end_s=20.0, from_m=300.0, to_m=150.0, rate=guess(15.0, 14.0, 16.0)),
            Fall(start_s=20.0, end_s=50.0, from_m=150.0, to_m=0.0, rate=guess(5.0, 4.8, 5.3)),
        ),
        "push": FeltPeak(time_s=0.35, felt_g=9.52, at_least=False),
        "snatch": FeltPeak(time_s=8.4, felt_g=16.0, at_least=True),
        "opening": None,
        "turning": Turning(fastest_roll_rad_s=-3.0, swings_hz=1.25, cone_rad=math.radians(4.0)),
        "lean": guess(0.2, 0.1, 0.3),
        "notes": (),
        "when": when,
    }
    return SimpleNamespace(**{**told, **changed})


def by_satellites() -> Any:
    plain = story(push=None, turning=None, lean=None, falls=())
    plain.reading.sensed = SimpleNamespace(
        **{
            **vars(plain.reading.sensed),
            "heights_by_satellites": True,
            "has_axial": False,
            "has_turning": False,
        }
    )
    return plain


@BOTH
def test_a_log_is_told_by_what_was_read_what_happened_and_how_hard(us_units: bool, us: str) -> None:
    # Nine in ten: 1.645 times 3 m of the highest, 0.5 m/s of the fastest.
    shown = Shown(us_units=us_units)
    told = [page(story_sections(one, shown)) for one in (story(), by_satellites())]
    same_as_told("\n".join(told), HERE / f"log{us}.txt")


def test_a_log_is_plain_numbers_at_its_highest_and_its_fastest() -> None:
    told = story_plain(story())
    assert (told["highest_m"], told["highest_sigma_m"]) == (312.0, 3.0)
    assert (told["fastest_m_s"], told["fastest_sigma_m_s"]) == (80.0, 0.5)
    assert (told["height_noise_m"], told["felt_noise_m_s2"], told["rows"]) == (0.4, 0.3, 1234)
    other = by_satellites()
    other.reading.sensed.has_heights = False
    assert story_plain(other)["height_noise_m"] is None
    assert story_plain(other)["felt_noise_m_s2"] is None


@BOTH
def test_a_video_stands_beside_the_log_and_the_prediction(us_units: bool, us: str) -> None:
    # Apogee by the log at 6 s, by the video at 9 s: another flight, or a wrong frame.
    video: Any = SimpleNamespace(
        file="videos/pad.csv",
        events=(
            SimpleNamespace(kind=Seen.RAIL_EXIT, time=guess(2.1, 2.0, 2.2)),
            SimpleNamespace(kind=Seen.APOGEE, time=guess(9.0, 8.9, 9.1)),
            SimpleNamespace(kind=Seen.LANDING, time=guess(50.0, 49.9, 50.1)),
        ),
    )
    events = (
        SimpleNamespace(kind=EventKind.LIFT_OFF, time_s=0.1),
        SimpleNamespace(kind=EventKind.APOGEE, time_s=6.35),
    )

    def event(kind: EventKind) -> Any:
        return next((one for one in events if one.kind is kind), None)

    trace = SimpleNamespace(events=events, event=event)
    found: Any = SimpleNamespace(stories=(story(),), prediction=SimpleNamespace(trace=trace))
    section = watched_section(video, found, Shown(us_units=us_units))
    same_as_told(page([section]), HERE / f"video{us}.txt")


def arranged(**changed: Any) -> Any:
    told: dict[str, Any] = {
        "stack": None,
        "doubtful": False,
        "order": (1, 0),
        "upright": SimpleNamespace(
            up="+z", axis=Sureness.SURE, tip=Sureness.SURE, sureness=Sureness.SURE, signs=(), against=()
        ),
    }
    return SimpleNamespace(**{**told, **changed})


def stacked(**changed: Any) -> Any:
    return SimpleNamespace(**{"upside_down": (), "matches": True, **changed})


def test_what_nobody_can_tell_from_meshes_is_asked_with_what_settles_it() -> None:
    names = ("tail", "nose")
    assert doubt_words(arranged(), names) == ""
    assert doubt_words(arranged(stack=stacked()), names) == ""
    turned = doubt_words(arranged(stack=stacked(upside_down=(0,)), doubtful=True), names)
    assert "match far better with tail turned over" in turned
    hardly = doubt_words(arranged(stack=stacked(matches=False), doubtful=True), names)
    assert "some ends hardly match, not even in the best order, nose, tail" in hardly
    several = doubt_words(arranged(stack=stacked(), doubtful=True), names)
    assert "several orders match as well: perhaps nose, tail" in several
    upright: Any = arranged().upright
    usual: dict[str, Any] = {**vars(upright)}
    for axis, asked in ((Sureness.UNSURE, "--up, such as --up=+z"), (Sureness.SURE, "--up=+z or --up=-z")):
        upright = SimpleNamespace(**{**usual, "axis": axis, "sureness": Sureness.UNSURE})
        said = doubt_words(arranged(upright=upright), names)
        what = "axis" if axis is Sureness.UNSURE else "end"
        assert said.startswith(f"the shape does not show which {what}")
        assert asked in said


@pytest.mark.parametrize(
    ("size", "unit"),
    [
        *((1500.0, "mm"), (1501.0, ""), (120.0, "mm"), (119.0, "cm")),
        *((59.0, "in"), (1.5, "m"), (0.12, "m"), (0.119, "")),
    ],
)
def test_a_unit_is_likely_where_a_piece_is_as_long_as_a_printer_makes_them(size: float, unit: str) -> None:
    assert likely_unit(size) == unit


def test_a_size_is_told_in_every_unit() -> None:
    assert sizes_words(10.0) == (
        "The longest piece would be in mm 10 mm, in cm 100 mm, in m 10 m, in in 254 mm, in ft 3.05 m"
    )


def air(angle_deg: float, roll_deg: float) -> KeptFlow:
    angle, roll = math.radians(angle_deg), math.radians(roll_deg)
    flow = made_up_flow(angle, roll, 0.15)
    told = FlowTold(
        shape="0" * 32,
        bare=False,
        angle_rad=angle,
        roll_rad=roll,
        cells=10.0,
        width_m=0.15,
        travel_widths=24.0,
        moments=len(flow.moments),
    )
    return KeptFlow(told=told, flow=flow)


def frame(svg: str) -> str:
    """Return a picture without the long paths of its bands and specks."""
    return re.sub(r'd="[^"]{60,}"', 'd=""', svg)


@pytest.mark.parametrize("what", ["speed", "pressure"])
def test_air_on_two_planes_lies_on_the_page_with_its_key_and_the_wind(what: str) -> None:
    # Planes 400 by 160 squares: 70 mm of height, not the width of the page, bound their scale.
    same_as_drawn(frame(tunnel_air(air(10.0, 45.0), what)), HERE / f"air-{what}.svg")


def test_moments_stand_two_in_a_row_with_the_travel_between_them() -> None:
    same_as_drawn(frame(tunnel_moments(air(10.0, 0.0), us_units=True)), HERE / "air-moments.svg")
