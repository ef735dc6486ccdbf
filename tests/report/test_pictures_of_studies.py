"""Pictures of searches, the tunnel, a flight and a cut as a whole, each measured once against its scene."""

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from report import scenes_by_hand
from report import studies_by_hand as studies
from report.as_drawn import same_as_drawn

from finial.assemble.stability.results import StabilityPoint
from finial.findings.readiness import Readiness
from finial.report.pictures.campaign_tracks import campaign_tracks
from finial.report.pictures.card_section import card_section, round_scale
from finial.report.pictures.exploded import exploded
from finial.report.pictures.flight_traces import flight_traces
from finial.report.pictures.inside_section import inside_section
from finial.report.pictures.search_front import search_front
from finial.report.pictures.section_cut import Extent, extent, roll_drawn, side_of_rail
from finial.report.pictures.tunnel_places import tunnel_places
from finial.sizing.judged import Aim

scenes: Any = scenes_by_hand
HERE = Path(__file__).parent / "drawn"


@pytest.fixture
def point(readiness: Readiness) -> StabilityPoint:
    return replace(
        readiness.stability[0],
        balance=studies.guess(0.3, 0.28, 0.33),
        pressure=studies.guess(0.45, 0.4, 0.5),
        margin=studies.guess(0.15, 0.07, 0.22),
        bare_margin=studies.guess(-0.1, -0.2, -0.05),
    )


def test_a_front_without_odds_is_mass_against_apogee() -> None:
    # 5, 6 and 8 kg on 130 mm with 6 % of 3 kg to spare; 800 to 1000 m.
    found, _ = studies.searched()
    same_as_drawn(
        search_front(found.front, Aim.HIGHEST, studies.looked_whole(found).goes, 3), HERE / "front-found.svg"
    )


def test_a_front_with_odds_has_what_is_sought_to_the_right_and_the_odds_up() -> None:
    found = studies.flown(studies.searched()[0])
    goes = studies.looked_whole(found).goes
    same_as_drawn(search_front(found.front, Aim.HIGHEST, goes, us_units=True), HERE / "front-odds-us.svg")
    same_as_drawn(search_front(found.front, Aim.LIGHTEST, goes, 1), HERE / "front-odds.svg")


@pytest.mark.parametrize(("us_units", "name"), [(False, "tunnel-places"), (True, "tunnel-places-us")])
def test_bars_of_the_tunnel_stand_in_the_band_of_the_sections(us_units: bool, name: str) -> None:
    # Four of five rolls; the widest angle that has a place is 15 degrees, on the page 15.75.
    same_as_drawn(tunnel_places(studies.tunnel_rows(), us_units=us_units), HERE / f"{name}.svg")


@pytest.mark.parametrize(("us_units", "name"), [(False, "flight"), (True, "flight-us")])
def test_a_flight_is_drawn_to_its_apogee_and_to_the_ground(us_units: bool, name: str) -> None:
    # Apogee at 4 s: the left column ends at 4.6 s; events 0.1 s apart step up in turn.
    same_as_drawn(flight_traces(studies.short_flight(), us_units=us_units), HERE / f"{name}.svg")


@pytest.mark.parametrize(("us_units", "name"), [(False, "card-section"), (True, "card-section-us")])
def test_the_card_has_the_cut_at_a_round_scale_with_what_decides_stability(
    us_units: bool, name: str, point: StabilityPoint
) -> None:
    # 0.61 m, the lead 10 mm ahead of the tip: 1 to 4 takes 152.5 of 160 mm.
    inside = studies.inside_on_rail()
    drawn = card_section(inside, (scenes.plate_fins(),), point, us_units=us_units)
    same_as_drawn(drawn, HERE / f"{name}.svg")


@pytest.mark.parametrize(("side", "name"), [(1.0, "on-rail"), (-1.0, "under-rail")])
def test_a_cut_shows_its_rail_what_it_misses_and_what_meets(side: float, name: str) -> None:
    inside = studies.inside_on_rail(side=side)
    same_as_drawn(inside_section(inside, (), roll_rad=0.0, us_units=side < 0), HERE / f"{name}.svg")


def test_the_plane_that_tells_most_cuts_the_rods_and_the_rail_runs_in_it_or_not() -> None:
    inside = studies.inside_on_rail()
    assert roll_drawn(inside) == pytest.approx(math.pi / 2)
    assert side_of_rail(inside, math.pi / 2) == 0.0
    assert side_of_rail(inside, 0.0) == 1.0
    assert side_of_rail(inside, math.pi) == -1.0
    assert side_of_rail(inside, 0.05) == 0.0
    assert inside.guide is not None
    beside = replace(inside.guide, rail=replace(inside.guide.rail, aside_m=0.002))
    assert side_of_rail(replace(inside, guide=beside), 0.0) == 0.0
    assert side_of_rail(replace(inside, guide=None), 0.0) == 0.0


def test_a_cut_reaches_from_what_stands_foremost_to_the_aftmost_and_as_wide_as_its_fins() -> None:
    inside = studies.inside_on_rail()
    found = extent(inside, (scenes.plate_fins(),), 0.0)
    # The lead begins 10 mm ahead of the tip; plates stand 50 + 60 mm out on both sides.
    assert (found.start_m, found.aft_m) == pytest.approx((-0.01, 0.6))
    assert (found.low_m, found.high_m) == pytest.approx((-0.11, 0.11))
    bare = extent(replace(inside, things=()), (), 0.0)
    assert (bare.start_m, bare.aft_m, bare.low_m, bare.high_m) == pytest.approx((0.0, 0.6, -0.05, 0.05))


@pytest.mark.parametrize(
    ("long_m", "wide_m", "scale"),
    [(0.16, 0.05, 1), (0.161, 0.05, 2), (0.1, 0.06, 2), (1.55, 0.2, 10), (31.0, 1.0, 200), (99.0, 1.0, 200)],
)
def test_the_scale_of_the_card_is_the_largest_that_fits(long_m: float, wide_m: float, scale: int) -> None:
    reach = Extent(start_m=-0.05, aft_m=long_m - 0.05, low_m=-wide_m / 4, high_m=wide_m * 3 / 4)
    assert round_scale(reach) == scale


@pytest.mark.parametrize(("us_units", "name"), [(False, "tracks"), (True, "tracks-us")])
def test_flights_of_a_campaign_are_seen_from_the_side(us_units: bool, name: str) -> None:
    # 30 m east and 40 m north are 50 m away; what dips below the ground is drawn on it.
    flight = studies.short_flight()
    flight.positions_m[:, 0] = np.linspace(0.0, 30.0, 13)
    flight.positions_m[:, 1] = np.linspace(0.0, -40.0, 13)
    flight.positions_m[-1, 2] = -3.0
    same_as_drawn(campaign_tracks((flight, studies.short_flight()), us_units=us_units), HERE / f"{name}.svg")


def test_pieces_wider_than_high_are_as_large_as_the_room_beside_their_words() -> None:
    # A slab 400 mm wide: the picture's width, not its height, bounds the scale.
    plan = scenes.print_plan()
    for piece in plan.pieces:
        piece.mesh = replace(piece.mesh, vertices_m=piece.mesh.vertices_m * [0.2, 10.0, 10.0])
    same_as_drawn(exploded(plan), HERE / "exploded-wide.svg")
