"""Flat and stepped fronts: what the bubble behind their lip takes of the body and of the fins."""

from itertools import pairwise

import numpy as np
import pytest
import shapely
from bench.load_range import load_range

from finial.aero.band.band import PressureBand, pressure_band
from finial.aero.band.load_parts import Flow, all_parts
from finial.aero.body import BodyAir, body_air
from finial.aero.damping import turning_damping
from finial.aero.fins.on_body import FinAir, fin_air
from finial.aero.sections.added_mass import added_mass_tensor
from finial.aero.sections.outlines import ellipse, regular_polygon, section_of, skin_of, tapered_skin
from finial.aero.steps.fronts import compactness, front_lips, standing_heights
from finial.aero.steps.separation import body_growth
from finial.aero.table.build import TableInputs, air_table
from finial.shape.fin_set import FinSet

WIDTH = 0.1


def round_(across: float) -> np.ndarray:
    return ellipse(across / 2, across / 2)


def square(across: float) -> np.ndarray:
    return regular_polygon(4, across, np.pi / 4)


def prism(lengths: float, section: object = square, radius: float = 0.0, chamfer: float = 0.0) -> BodyAir:
    """A straight body so many widths long, its front edge rounded or chamfered by shares of the width."""
    front = [(0.0, WIDTH)]
    if radius > 0:
        turn = np.linspace(0.0, np.pi / 2, 16)
        along, cut = radius * WIDTH * (1 - np.cos(turn)), 2 * radius * WIDTH * (1 - np.sin(turn))
        front = [(float(x), float(WIDTH - c)) for x, c in zip(along, cut, strict=True)]
    if chamfer > 0:
        front = [(0.0, WIDTH * (1 - 2 * chamfer)), (chamfer * WIDTH, WIDTH)]
    return body_air(tapered_skin(section, [*front, (lengths * WIDTH, WIDTH)]))


def fins(body: BodyAir, span: float = 0.5) -> tuple[FinAir, ...]:
    outline = np.array([[0.0, 0.0], [0.02, span * WIDTH], [0.06, span * WIDTH], [0.06, 0.0]])
    four = FinSet(
        name="fins", outline_m=outline, station_m=body.length_m - 0.06, root_radius_m=WIDTH / 2, count=4,
        first_at_rad=0.0, thickness_m=0.004,
    )  # fmt: skip
    return fin_air(body, [four])


def band(body: BodyAir, *, finned: bool = True) -> PressureBand:
    sets = fins(body) if finned else ()
    return pressure_band(body, sets, np.radians([0.0, 5.0, 10.0]), np.radians(np.arange(0.0, 360.0, 45.0)))


def ends(body: BodyAir, *, finned: bool = True) -> np.ndarray:
    """Forward end, middle and aft end in widths, worst roll of each."""
    found = band(body, finned=finned)
    places = found.forward_m.min(axis=1), found.central_m.mean(axis=1), found.aft_m.max(axis=1)
    return np.array(places) / body.width_m


def test_a_bubble_is_as_long_as_measured_behind_round_and_flat_fronts() -> None:
    # 1.73 diameters at a Reynolds number of 1e5: JSME Int. J. B 39, 1996, p. 354 (abstract seen).
    (lip,) = prism(10.0, round_).growth.fronts
    assert lip.reach_m == pytest.approx(1.73 * WIDTH, rel=0.05)
    # 4.9 thicknesses of a plate: Cherry, Hillier, Latour, J. Fluid Mechanics 144, 1984 (from memory).
    plate = body_air(
        tapered_skin(lambda d: regular_polygon(4, d, np.pi / 4) * [12.0, 1.0], [(0.0, 0.01), (1.0, 0.01)])
    )
    (lip,) = plate.growth.fronts
    assert lip.reach_m == pytest.approx(4.9 * 0.01, rel=0.1)


@pytest.mark.parametrize("thick", [0.012, 0.029])
def test_the_edges_of_plates_have_bubbles_of_their_thickness(thick: float) -> None:
    # 4.9 thicknesses: Cherry, Hillier, Latour, J. Fluid Mechanics 144, 1984 (from memory); as high as the
    # whole cross they would be 10 and 22. The tube between the thinnest plates adds half as much again.
    tube = shapely.Polygon(ellipse(0.056, 0.056))
    bars = [
        shapely.box(-thick / 2, -0.156, thick / 2, 0.156),
        shapely.box(-0.156, -thick / 2, 0.156, thick / 2),
    ]
    cross = shapely.union_all([tube, *bars])
    finned = np.array(shapely.geometry.polygon.orient(cross).exterior.coords)[:-1]
    sections = [(0.0, ellipse(0.056, 0.056)), (0.5, ellipse(0.056, 0.056)), (0.5, finned), (1.0, finned)]
    body = body_air(skin_of([section_of(x, [loop]) for x, loop in sections]))
    (lip,) = [each for each in body.growth.fronts if each.station_m > 0.4]
    assert 3.0 * thick < lip.reach_m < 8.5 * thick


@pytest.mark.parametrize("ratio", [1.0, 1e2, 1e4])
def test_a_plate_is_compact_however_thin(ratio: float) -> None:
    plate = regular_polygon(4, 1.0, np.pi / 4) * [1.0, 1.0 / ratio]
    tensor = added_mass_tensor([plate])
    assert compactness([section_of(0.0, [plate])], tensor[None])[0] == pytest.approx(1.0, abs=1e-6)


def test_a_front_that_is_flat_is_not_known_as_well_as_one_that_is_round() -> None:
    flat, rounded = (band(prism(4.0, round_, radius), finned=False).slope for radius in (0.0, 0.2))
    assert rounded.high - rounded.low < 0.01
    assert flat.high - flat.low > 0.5
    assert flat.value < rounded.value < flat.high


def test_the_slope_of_a_bare_cube_may_be_negative() -> None:
    slope = band(prism(1.0), finned=False).slope
    assert slope.low < 0.0 < slope.value < 1.0
    assert band(prism(4.0), finned=False).slope.low > 1.0


def test_the_centre_of_a_flat_prism_lies_half_a_width_farther_aft() -> None:
    # A trial with flow on a lattice saw half a width on a square prism four widths long.
    for finned in (False, True):
        flat, rounded = (ends(prism(4.0, square, radius), finned=finned) for radius in (0.0, 0.2))
        assert 0.15 < flat[1, 0] - rounded[1, 0] < 0.75
        assert flat[2, 0] - rounded[2, 0] > 0.5


@pytest.mark.parametrize(
    ("lengths", "degrees", "force", "centre"),
    [(4.0, 5.0, 0.299, 2.208), (4.0, 10.0, 0.671, 2.029), (7.0, 5.0, 0.356, 3.049)],
)
def test_the_band_holds_what_our_tunnel_found_on_flat_prisms(
    lengths: float, degrees: float, force: float, centre: float
) -> None:
    # Our own computed flow at 36 cells a width, bench/tunnel/results.jsonl: no measurement of one was read.
    body, angle = prism(lengths), np.radians([degrees])
    assert load_range(body, (), angle, [0.0], body.length_m / 2).force[2][0, 0] > force
    found = pressure_band(body, (), angle, [0.0])
    # In widths of the square; the body's own is that of a circle as large.
    assert found.forward_m[0, 0] < centre * WIDTH < found.aft_m[0, 0]


def test_lift_added_behind_a_bubble_acts_far_aft_on_the_rest_of_the_run() -> None:
    (lip,) = prism(10.0, round_).growth.fronts
    assert lip.opened == 0.0
    assert lip.beyond_m == pytest.approx(lip.reach_m + 0.75 * (1.0 - lip.reach_m))
    (short,) = prism(0.5, round_).growth.fronts
    assert short.beyond_m == 0.0


def test_only_square_bodies_may_have_lift_added_behind_their_bubble() -> None:
    # What our tunnel blew at was square.
    angle = np.radians([5.0])

    def added(sides: int) -> float:
        body = prism(7.0, lambda across: regular_polygon(sides, across, np.pi / sides))
        parts = [each for each in all_parts(body, (), angle, np.zeros(1), Flow())[0] if "added" in each.name]
        return sum(float(each.high * each.force[0, 0]) for each in parts)

    square = added(4)
    # 0.4 of the front's 2 x 1.188 per radian, at its sharpness, on the section.
    assert square == pytest.approx(0.4 * 2 * 1.188, rel=0.06)
    assert 0.2 * square < added(6) < 0.6 * square
    assert added(8) == pytest.approx(0.0, abs=1e-6)


def test_fins_close_behind_a_blunt_front_may_lose_most_of_their_force() -> None:
    rounded = fins(prism(2.0, square, 0.2))[0].factor
    for lengths in (1.0, 1.5, 2.0):
        low, central, _ = fins(prism(lengths))[0].factor
        assert low < rounded[1] / 3
        assert central < 0.55 * rounded[1]
    near, far, beyond = (fins(prism(lengths))[0].factor[0] for lengths in (3.0, 6.0, 12.0))
    assert near < far < beyond


def test_fins_that_reach_out_of_the_bubble_keep_more() -> None:
    body = prism(1.5)
    short, long = (fins(body, span)[0].fronted for span in (0.4, 2.0))
    assert short[1] > 2.5 * long[1]


def test_a_short_flat_box_is_not_promised_three_times_its_damping() -> None:
    def damping(body: BodyAir) -> float:
        return -float(turning_damping(body, fins(body), body.length_m / 2)[0, 0])

    for lengths in (1.0, 1.5, 2.0):
        assert damping(prism(lengths)) < damping(prism(lengths, square, 0.2)) / 1.9


def test_rounding_an_edge_narrows_the_band_step_by_step() -> None:
    radii = np.linspace(0.0, 0.16, 17)
    found = [ends(prism(4.0, round_, float(radius))) for radius in radii]
    widths = [each[2, 0] - each[0, 0] for each in found]
    assert widths[-1] < 0.4 * widths[0]
    for before, after in pairwise(found):
        # One per cent of the width more radius.
        assert np.abs(after - before).max() < 0.2
    # An eighth of the diameter: from memory of Koenig and Roshko, J. Fluid Mechanics 156, 1985.
    assert np.abs(found[-1] - found[-4]).max() < 0.02


def test_a_chamfer_and_the_angle_of_a_cone_move_the_band_continuously() -> None:
    chamfers = [ends(prism(4.0, round_, chamfer=float(cut))) for cut in np.linspace(0.002, 0.15, 16)]
    cones = []
    for degrees in np.arange(30.0, 90.0, 4.0):
        nose = [(0.0, 0.0), (WIDTH / 2 / np.tan(np.radians(degrees)), WIDTH), (0.4, WIDTH)]
        cones.append(ends(body_air(tapered_skin(round_, nose))))
    # A per cent of the width more chamfer, four degrees more.
    for found in (chamfers, cones):
        for before, after in pairwise(found):
            assert np.abs(after - before).max() < 0.2


def test_a_slim_nose_has_no_bubble_and_a_base_is_no_lip() -> None:
    slim = body_air(tapered_skin(round_, [(0.0, 0.0), (0.3, WIDTH), (1.0, WIDTH)]))
    cone = body_air(tapered_skin(round_, [(0.0, 0.0), (0.05, WIDTH)]))
    for body in (slim, cone):
        taken = sum(float(np.trace(lip.growth_m2)) for lip in body.growth.fronts)
        assert taken < 1e-3 * body.reference_area_m2


def test_flight_and_band_have_the_same_central_guess() -> None:
    body = prism(4.0)
    sets = fins(body)
    table, found = air_table(body, sets, TableInputs(damping_centre_m=0.2)), band(body)
    assert table.along[0, 0, 0] == pytest.approx(found.slope.value, rel=0.01)
    place = table.along_moment[0, 0, 0] / table.along[0, 0, 0] * body.width_m
    assert place == pytest.approx(found.central_m[0, 0], abs=0.002)


def test_cuts_behind_a_lip_are_no_lips_of_their_own() -> None:
    answers = []
    for number in (2, 12, 200):
        stations = np.concatenate([[0.0], np.linspace(0.0, 6.0, number)])
        areas = np.pi * np.eye(2) * np.ones((len(stations), 1, 1))
        growth = body_growth(stations, areas)
        assert [lip.station_m for lip in growth.fronts if np.trace(lip.growth_m2) > 1e-9] == [0.0]
        felt = growth.felt_m2[:, 0, 0]
        answers.append((felt.sum(), felt @ growth.stations_m))
    assert answers[1] == pytest.approx(answers[2], rel=2e-3)


def test_a_corner_stands_out_of_a_streamline_that_falls_by_a_sixth_behind_what_rose() -> None:
    run, rise = np.array([0.6, 0.6, 0.6, 0.6]), np.array([0.5, -0.2, 0.3, 0.0])
    assert standing_heights(run, rise) == pytest.approx([0.4, 0.3, 0.5, 0.4])
    assert standing_heights(np.array([3.6, 0.3]), np.array([0.5, 0.0])) == pytest.approx([0.0, 0.0])


def test_a_sliver_at_the_tip_does_not_tell_how_compact_a_front_is() -> None:
    areas = np.pi * np.eye(2) * np.ones((4, 1, 1))
    stations, line = np.array([0.0, 0.01, 0.2, 10.0]), np.ones(4)
    growth = stations, np.stack([areas[0], *np.zeros((3, 2, 2))])
    (sliver, *_), _ = front_lips(stations, areas, line, growth, np.array([0.1, 1.0, 1.0, 1.0]))
    assert sliver.height_m == pytest.approx(1.0, rel=0.02)
    # Behind a deck that ends at once nothing else is looked at.
    falls = np.array([1.0, 0.2, 0.2, 0.2])
    (deck, *_), _ = front_lips(
        np.array([0.0, 1e-4, 0.2, 10.0]), areas, falls, growth, np.array([0.4, 1, 1, 1])
    )
    assert deck.height_m == pytest.approx(0.4, rel=0.02)
