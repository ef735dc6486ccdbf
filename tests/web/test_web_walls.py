"""What the walls have left: tints, words, and whether any eye can tell the colours."""

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from unittest.mock import Mock

import numpy as np
import pytest

from finial.assemble.strength.results import StationReserves
from finial.findings.readiness import Readiness
from finial.report.pressure_words import BAND_WORDS as PRESSURE_BANDS
from finial.structure.loads.case import Case, Load
from finial.structure.reserves import FailureMode
from finial.web.numbers import number_groups
from finial.web.walls import BAND_EDGES, BAND_WORDS, PageWalls, walls

PAGE_CSS = Path(__file__).parents[2] / "frontend" / "src" / "page.css"

# Full-strength matrices on linear RGB, from memory of Machado, Oliveira and Fernandes, "A physiologically-
# based model for simulation of color vision deficiency", IEEE TVCG 15 (2009), table 1, not re-read.
SEEN_BY = {
    "common eyes": np.eye(3),
    "no red cones": np.array(
        [(0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)]
    ),
    "no green cones": np.array(
        [(0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)]
    ),
    "no blue cones": np.array(
        [(1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900)]
    ),
}


def with_reserves(readiness: Readiness, stations: list[float], reserves: list[float]) -> PageWalls:
    along = StationReserves(
        stations_m=np.array(stations),
        reserves=np.array(reserves),
        modes=(FailureMode.WALL_WRINKLES,) * len(stations),
        cases=(Case(load=Load.MAX_THRUST),) * len(stations),
    )
    return walls(replace(readiness, strength=replace(readiness.strength, by_station=along)))


def stretches(told: PageWalls) -> list[tuple[float, float, int | None]]:
    return [(one.from_m, one.to_m, one.band) for one in told.stretches]


def test_each_station_speaks_half_way_to_its_neighbours(readiness: Readiness) -> None:
    assert stretches(walls(readiness)) == [
        (0.0, 0.2, 4),
        (0.2, 0.4, None),
        (0.4, 0.8, 2),
        (0.8, 1.0, 3),
    ]


def test_where_no_station_is_near_nobody_knows(readiness: Readiness) -> None:
    # Stations 0.1 m apart reach 0.1 m: nothing speaks for 0.4 to 0.7 m, nor for the last 0.1 m.
    told = with_reserves(readiness, [0.1, 0.2, 0.3, 0.8], [2.0, 2.0, 2.0, 0.5])
    assert stretches(told) == [(0.0, 0.4, 2), (0.4, 0.7, None), (0.7, 0.9, 0), (0.9, 1.0, None)]
    assert "400 mm to 700 mm, 900 mm to 1000 mm" in told.unknown
    assert "Not known never counts as go" in told.unknown


@pytest.mark.parametrize(
    ("reserve", "band"),
    [(-0.2, 0), (0.999, 0), (1.0, 1), (1.499, 1), (1.5, 2), (3.0, 3), (6.0, 4), (np.inf, 4)],
)
def test_a_band_begins_at_its_lower_edge(readiness: Readiness, reserve: float, band: int) -> None:
    told = with_reserves(readiness, [0.5], [reserve])
    assert stretches(told) == [(0.0, 0.45, None), (0.45, 0.55, band), (0.55, 1.0, None)]


def test_the_words_of_the_bands_name_their_edges() -> None:
    assert [float(number) for words in BAND_WORDS for number in re.findall(r"[\d.]+", words)] == [
        BAND_EDGES[0],
        *(edge for pair in pairwise(BAND_EDGES) for edge in pair),
        BAND_EDGES[-1],
    ]


def test_the_weakest_places_come_worst_first_each_way_to_fail_once(readiness: Readiness) -> None:
    # Wrinkling at 0.7 m (2.5) is left out: the same way to fail leaves less at 0.5 m (12 / 7.5 = 1.6).
    told = [(one.reserve, one.where, one.what, one.case) for one in walls(readiness).weakest]
    assert told == [
        ("1.60", "500 mm", "wall wrinkles", "max thrust"),
        ("4.00", "900 mm", "rods pulled", "max thrust"),
        ("8.00", "100 mm", "wall crushed", "max thrust"),
    ]


@pytest.mark.parametrize("reserve", [250.0, np.inf])
def test_a_reserve_beyond_counting_is_said_so(readiness: Readiness, reserve: float) -> None:
    told = with_reserves(readiness, [0.2, 0.4], [np.nan, reserve])
    assert [one.reserve for one in told.weakest] == ["over 100"]


def test_the_limit_is_the_one_the_check_judges_by(readiness: Readiness) -> None:
    assert walls(readiness).sentence.endswith("The check asks for at least 1.5.")
    told = walls(replace(readiness, own_limits={"reserve": 1.8}))
    assert told.sentence.endswith("The check asks for at least 1.8.")


def test_the_picture_and_the_numbers_have_the_reserves_that_the_findings_have(readiness: Readiness) -> None:
    """Findings of the whole look are of its own cases: so are tint, sentence and numbers then."""
    quick = readiness.strength
    (row,) = quick.reserves
    assert quick.by_station is not None
    assert row.reserve is not None
    worse = replace(row, reserve=replace(row.reserve, value=1.0, low=0.0, high=2.0))
    unknown = replace(row, mode=FailureMode.ROD_LOOSE, reserve=None)
    along = replace(quick.by_station, reserves=quick.by_station.reserves / 10.0)
    study = Mock(by_station=along, reserves=(worse, unknown))
    whole = replace(readiness, strength_study=study)
    assert walls(whole).weakest[0].reserve == "0.16"
    assert "quick look" in walls(readiness).sentence
    assert "quick look" not in walls(whole).sentence
    groups = [
        next(one for one in number_groups(each) if "reserves" in one.title) for each in (readiness, whole)
    ]
    assert [group.title.rpartition("by the ")[2] for group in groups] == ["quick look", "whole look"]
    assert [row.value for row in groups[1].rows] == ["not known", "1"]
    assert not {row.key for row in groups[0].rows} & {row.key for row in groups[1].rows}


def test_stations_are_told_in_the_builders_units(us_readiness: Readiness) -> None:
    # 500 mm / 25.4 mm = 19.69 in, told to three digits.
    assert walls(us_readiness).weakest[0].where == "19.7 in"


@pytest.mark.parametrize("judged", [False, True])
def test_nothing_judged_is_not_known_all_along(readiness: Readiness, judged: bool) -> None:
    if judged:
        told = with_reserves(readiness, [], [])
    else:
        told = walls(replace(readiness, strength=replace(readiness.strength, by_station=None)))
    assert stretches(told) == [(0.0, 1.0, None)]
    assert told.weakest == ()
    assert "not known anywhere" in told.sentence


def palettes(name: str, count: int) -> list[np.ndarray]:
    """Linear RGB of the bands, the first one first, in light and in dark."""
    found = re.findall(rf"--{name}-(\d): #([0-9a-f]{{6}});", PAGE_CSS.read_text(encoding="utf-8"))
    assert [int(number) for number, _ in found] == [*range(count), *range(count)]
    screen = np.array([[int(code[at : at + 2], 16) / 255 for at in (0, 2, 4)] for _, code in found])
    # Sent to the eye as IEC 61966-2-1 (sRGB) says, from memory, not re-read.
    linear = np.where(screen <= 0.04045, screen / 12.92, ((screen + 0.055) / 1.055) ** 2.4)
    return [linear[:count], linear[count:]]


@pytest.mark.parametrize("eyes", SEEN_BY)
@pytest.mark.parametrize("scheme", [0, 1], ids=["light", "dark"])
def test_lightness_alone_tells_the_order_of_the_bands(scheme: int, eyes: str) -> None:
    # Contrast as WCAG 2.2 defines it, from memory, not re-read. Without colour the luminance is all there is.
    seen = np.clip(palettes("left", len(BAND_WORDS))[scheme] @ SEEN_BY[eyes].T, 0, 1)
    luminance = seen @ (0.2126, 0.7152, 0.0722) + 0.05
    steps = luminance[1:] / luminance[:-1] if scheme == 0 else luminance[:-1] / luminance[1:]
    assert steps.min() > 1.4


@pytest.mark.parametrize("eyes", SEEN_BY)
@pytest.mark.parametrize("scheme", [0, 1], ids=["light", "dark"])
def test_the_harder_air_presses_the_lighter_its_colour(scheme: int, eyes: str) -> None:
    seen = np.clip(palettes("cp", len(PRESSURE_BANDS))[scheme] @ SEEN_BY[eyes].T, 0, 1)
    luminance = seen @ (0.2126, 0.7152, 0.0722) + 0.05
    assert (luminance[1:] / luminance[:-1]).min() > 1.4
