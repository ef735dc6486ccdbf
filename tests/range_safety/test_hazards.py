"""What lies round the field, counted; leans of the rail, by what they clear."""

import math
from dataclasses import replace

import numpy as np
import pytest

from finial.assemble.spread.case import flight_case
from finial.assemble.vehicle.field import MarkOnField
from finial.campaign.spot import Crowd, Spot
from finial.core.errors import OutsideRange
from finial.files.geojson import MarkKind
from finial.flight.fly import fly
from finial.range_safety.hazards import MapFlights, distance_to_mark, fly_for_map, nearest_to_mark, on_marks
from finial.range_safety.leaning import TILT_STEP_RAD, clearance_m, leans

SQUARE = np.array([[100.0, 100.0], [200.0, 100.0], [200.0, 200.0], [100.0, 200.0], [100.0, 100.0]])
HOLE = np.array([[140.0, 140.0], [160.0, 140.0], [160.0, 160.0], [140.0, 160.0], [140.0, 140.0]])


def mark(kind: MarkKind, *rings, is_area: bool = True) -> MarkOnField:
    return MarkOnField(kind=kind, name="it", rings_m=tuple(map(np.array, rings)), is_area=is_area)


def flown(landings, bare=((0.0, 0.0),)) -> MapFlights:
    return MapFlights(
        flights=len(landings),
        landings_m=np.array(landings, dtype=float),
        bare_m=np.array(bare, dtype=float),
        apogees_s=np.empty(0),
    )


def test_distances_to_an_area_with_a_hole_to_a_line_and_to_a_point() -> None:
    points = np.array([[150.0, 110.0], [150.0, 150.0], [230.0, 240.0]])
    assert distance_to_mark(mark(MarkKind.PEOPLE, SQUARE, HOLE), points).tolist() == [0.0, 10.0, 50.0]
    lane = mark(MarkKind.ROAD, [[0.0, 0.0], [0.0, 500.0]], is_area=False)
    assert distance_to_mark(lane, points).tolist() == [150.0, 150.0, 230.0]
    barn = mark(MarkKind.BUILDING, [[150.0, 150.0]], is_area=False)
    assert distance_to_mark(barn, points).tolist() == [40.0, 0.0, pytest.approx(math.hypot(80.0, 90.0))]


@pytest.mark.parametrize("seed", range(5))
def test_the_nearest_of_many_points_is_the_least_of_all_their_distances(seed: int) -> None:
    """Points beside a slanted outline: near its box in a corner, far from itself."""
    slanted = mark(MarkKind.PEOPLE, np.array([[0.0, 0.0], [100.0, 90.0], [100.0, 100.0], [0.0, 10.0]]))
    points = np.random.default_rng(seed).uniform(-150.0, 250.0, (400, 2))
    for track in (points, points[points[:, 0] - points[:, 1] > 30.0], points[:1]):
        assert nearest_to_mark(slanted, track) == distance_to_mark(slanted, track).min()


@pytest.mark.parametrize(
    ("kind", "reach_m"),
    [
        (MarkKind.PEOPLE, 3.0),
        (MarkKind.BUILDING, 3.0),
        (MarkKind.ROAD, 5.0),
        (MarkKind.WATER, 0.0),
        (MarkKind.TREES, 0.0),
    ],
)
def test_a_landing_counts_within_the_reach_of_its_kind(kind: MarkKind, reach_m: float) -> None:
    near, far = (200.0 + reach_m - 0.1, 150.0), (200.0 + reach_m + 0.1, 150.0)
    inside = near if reach_m else (150.0, 150.0)
    (one,) = on_marks((mark(kind, SQUARE),), flown([inside, far, far], bare=[inside, inside, far]))
    assert (one.count, one.flights, one.bare) == (1, 3, 2)
    # Clopper-Pearson for 1 of 3: 0.0084 to 0.9057, any table.
    assert (one.low, one.high) == (pytest.approx(0.0084, abs=1e-4), pytest.approx(0.9057, abs=1e-4))


def test_other_pads_are_no_hazard_and_no_landings_are_no_count() -> None:
    assert on_marks((mark(MarkKind.PAD, SQUARE),), flown([(0.0, 0.0)])) == ()
    with pytest.raises(OutsideRange, match="no flight landed"):
        on_marks((), flown(np.empty((0, 2))))


def test_what_is_kept_off_is_the_nearest_of_edge_people_and_roads() -> None:
    spot = Spot(field_radius_m=500.0, crowd=Crowd(near_m=100.0, bearing_rad=math.pi, across_m=50.0))
    points = np.array([[0.0, 300.0]])
    assert clearance_m(points, spot, ()) == pytest.approx(200.0)
    lane = mark(MarkKind.ROAD, [[-500.0, 380.0], [500.0, 380.0]], is_area=False)
    assert clearance_m(points, spot, (lane,)) == pytest.approx(75.0)
    pond = mark(MarkKind.WATER, [[-1.0, 299.0], [1.0, 299.0], [1.0, 301.0], [-1.0, 299.0]])
    assert clearance_m(points, spot, (lane, pond)) == pytest.approx(75.0)
    assert clearance_m(np.array([[0.0, -99.0]]), spot, ()) < 0.0
    assert clearance_m(points, Spot(), ()) == math.inf


@pytest.fixture(scope="module")
def case(lighthouse):
    return flight_case(lighthouse)


def test_flights_without_a_canopy_come_down_as_the_nominal_one_does_without(case) -> None:
    found = fly_for_map(case, flights=200, seed=3)
    bare = fly(replace(case.inputs, canopies=())).positions_m[-1, :2]
    middle = found.bare_m.mean(axis=0)
    scatter = found.bare_m.std(axis=0)
    assert np.all(np.abs(middle - bare) < 0.5 * scatter + 10.0)
    open_ = fly(case.inputs).positions_m[-1, :2]
    assert np.hypot(*(found.landings_m.mean(axis=0) - open_)) < np.hypot(*(middle - open_)) / 2
    # A mean flight's top is inside what the many have.
    top = fly(case.inputs)
    when = float(top.times_s[np.argmax(top.positions_m[:, 2])])
    assert found.apogees_s.min() < when < found.apogees_s.max()


def test_the_rail_leans_into_the_wind_where_the_field_is_round(case) -> None:
    # Drift under the canopy beats the lean: into the wind, at 250 deg, and as far as is tried.
    found = leans({"one": case.inputs}, Spot(field_radius_m=900.0), (), math.radians(20.0))
    assert len(found) == 1 + 6 * 12
    best = found[0]
    assert best.tilt_rad > TILT_STEP_RAD
    wind = math.radians(250.0)
    assert abs(math.remainder(best.toward_rad - wind, 2 * math.pi)) < math.radians(50.0)
    assert found[-1].clearance_m < best.clearance_m
    upright = next(one for one in found if one.tilt_rad == 0.0)
    assert upright.clearance_m < best.clearance_m


def test_no_lean_beyond_the_code_and_none_where_nothing_is_to_keep_off(case) -> None:
    found = leans({"one": case.inputs}, Spot(field_radius_m=900.0), (), math.radians(4.0))
    assert max(one.tilt_rad for one in found) == pytest.approx(math.radians(4.0))
    assert leans({"one": case.inputs}, Spot(), (), math.radians(4.0)) == ()
