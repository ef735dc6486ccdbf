"""A body that turns about its axis like a screw is told from one whose outline only changes."""

import math
from dataclasses import replace

import numpy as np
import pytest

from finial.findings.finding import Verdict
from finial.findings.rules.shape_rules import shape_findings
from finial.report.finding_words import title, what_to_change, why
from finial.shape.skin import Section, Skin
from finial.shape.turned import turn_of

STATIONS = np.linspace(0.0, 1.0, 41)


def polygon(sides: int, radius_m: float = 0.1, turned_rad: float = 0.0) -> np.ndarray:
    rolls = turned_rad + 2.0 * math.pi * np.arange(sides) / sides
    return radius_m * np.column_stack([np.cos(rolls), np.sin(rolls)])


def stack(outlines: list[np.ndarray]) -> Skin:
    def cut(station: float, loop: np.ndarray) -> Section:
        here, there = loop, np.roll(loop, -1, axis=0)
        area = 0.5 * float((here[:, 0] * there[:, 1] - here[:, 1] * there[:, 0]).sum())
        middle = tuple(map(float, loop.mean(axis=0)))
        return Section(station_m=station, loops=(loop,), area_m2=area, perimeter_m=1.0, centroid_m=middle)

    sections = tuple(cut(float(station), loop) for station, loop in zip(STATIONS, outlines, strict=True))
    return Skin(sections=sections, length_m=1.0, volume_m3=0.03, wetted_area_m2=0.6)


@pytest.mark.parametrize("sides", [3, 4, 5, 6, 8])
@pytest.mark.parametrize("degrees", [-120.0, -8.0, 12.0, 200.0])
def test_a_twisted_prism_turns_by_its_twist(sides: int, degrees: float) -> None:
    skin = stack([polygon(sides, 0.1 - 0.05 * at, math.radians(degrees) * at) for at in STATIONS])
    turn = turn_of(skin)
    assert math.degrees(turn.angle_rad) == pytest.approx(degrees, abs=1e-6)
    assert (turn.steadiness, turn.share) == (pytest.approx(1.0), pytest.approx(1.0))


def test_it_turns_about_its_own_middle_wherever_that_lies() -> None:
    aside = [polygon(4, 0.1, 0.5 * at) + np.array([0.3 * at, -0.2]) for at in STATIONS]
    assert turn_of(stack(aside)).angle_rad == pytest.approx(0.5)


def test_round_bodies_tell_nothing() -> None:
    assert turn_of(stack([polygon(180, 0.1, 3.0 * at) for at in STATIONS])).share == 0.0


def test_what_turns_there_and_back_is_no_screw() -> None:
    swaying = stack([polygon(4, 0.1, 0.4 * math.sin(2 * math.pi * at)) for at in STATIONS])
    assert turn_of(swaying).steadiness < 0.05


def test_an_octagon_on_a_square_that_stands_otherwise_is_no_screw() -> None:
    """One turn of 22.5 degrees at once, as of a spire on a storey."""
    spire = [polygon(8, 0.1, math.pi / 8) if at < 0.3 else polygon(8, 0.12) for at in STATIONS]
    turn = turn_of(stack(spire))
    assert turn.angle_rad == pytest.approx(0.0)


@pytest.mark.parametrize(
    ("degrees", "verdict"),
    [(0.0, Verdict.GO), (9.9, Verdict.GO), (10.1, Verdict.NOT_KNOWN), (-150.0, Verdict.NOT_KNOWN)],
)
def test_a_screw_is_not_known_to_fly_straight(answered, degrees: float, verdict: Verdict) -> None:
    skin = stack([polygon(4, 0.1, math.radians(degrees) * at) for at in STATIONS])
    (found,) = (
        one for one in shape_findings(replace(answered.shape, skin=skin)) if one.key == "turned-shape"
    )
    assert found.verdict is verdict
    assert "like a screw" in title(found)
    if verdict is not Verdict.GO:
        assert "canted fins" in why(found)
        assert "roll log" in what_to_change(found)


@pytest.mark.parametrize("sharp", [0.15, 0.25])
def test_a_short_screw_amid_a_round_body_counts_by_its_share(answered, sharp: float) -> None:
    loops = [
        polygon(4, 0.1, 5.0 * at) if abs(at - 0.5) < sharp / 2 + 0.013 else polygon(180, 0.1)
        for at in STATIONS
    ]
    turn = turn_of(stack(loops))
    assert turn.share == pytest.approx(sharp, abs=0.03)
    (found,) = (
        one for one in shape_findings(replace(answered.shape, skin=stack(loops))) if one.key == "turned-shape"
    )
    assert (found.verdict is Verdict.NOT_KNOWN) is (sharp > 0.2)
