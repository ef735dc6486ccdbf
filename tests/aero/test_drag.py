"""Drag source by source, and the faces it stands on."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from drawn_bodies import dome_profile
from fluids.drag import drag_sphere

from finial.aero.body import BodyAir, body_air
from finial.aero.drag.build_up import DragDetails, SmallPart, drag_build_up
from finial.aero.drag.friction import (
    Surface,
    laminar_friction,
    rough_friction,
    surface_friction,
    turbulent_friction,
)
from finial.aero.drag.pressure import base_drag_behind
from finial.aero.drag.sources import (
    Acting,
    DragKind,
    acting_at,
    acting_between,
    acting_by,
    acting_together,
    drag_ahead,
    drag_behind,
)
from finial.aero.fins.on_body import fin_air
from finial.aero.sections.outlines import (
    ellipse,
    regular_polygon,
    section_of,
    skin_of,
    tapered_skin,
)
from finial.aero.sections.walls import growing_walls, standing_walls
from finial.aero.steps.ledges import outside_of, short_wake, skin_faces
from finial.core.errors import OutsideRange
from finial.shape.fin_set import FinSet


def octagon(across_m: float) -> np.ndarray:
    return regular_polygon(8, across_m)


def test_rows_add_up_and_name_their_source(lighthouse: BodyAir, four_fins: Callable[..., FinSet]) -> None:
    details = DragDetails(
        small_parts=(SmallPart(name="rail buttons", stations_m=(0.6, 1.1), frontal_area_m2=1.2e-4),)
    )
    fins = fin_air(lighthouse, [four_fins(1.0, 0.075)])
    drag = drag_build_up(lighthouse.skin, fins, mach=0.3, reynolds_per_m=6e6, details=details)
    rows = [row.coefficient for row in (*drag.rows, drag.base_power_off)]
    assert drag.power_off.value == pytest.approx(sum(row.value for row in rows))
    assert drag.power_off.low == pytest.approx(sum(row.low for row in rows))
    assert all(row.low < row.value < row.high and row.source for row in rows)
    named = {(row.kind, row.subject, row.station_m) for row in drag.rows}
    assert len(named) == len(drag.rows)
    assert {row.kind for row in drag.rows} >= {DragKind.SKIN_FRICTION, DragKind.FRONT, DragKind.FIN_FRICTION}
    assert (DragKind.SMALL_PART, "rail buttons", None) in named
    fronts = [row.station_m for row in drag.rows if row.kind is DragKind.FRONT]
    assert fronts[:2] == pytest.approx([0.0, 0.156], abs=1e-3)


def test_a_button_counts_with_its_own_area(cone_cylinder: BodyAir) -> None:
    part = SmallPart(name="button", stations_m=(0.1,), frontal_area_m2=0.01 * cone_cylinder.reference_area_m2)
    drag = drag_build_up(
        cone_cylinder.skin, (), mach=0.0, reynolds_per_m=6e6, details=DragDetails(small_parts=(part,))
    )
    assert drag.rows[-1].coefficient.value == pytest.approx(0.01)


def test_the_jet_fills_its_part_of_the_base(cone_cylinder: BodyAir) -> None:
    half = DragDetails(exhaust_area_m2=cone_cylinder.skin.base_area_m2 / 2)
    drag = drag_build_up(cone_cylinder.skin, (), mach=0.3, reynolds_per_m=6e6, details=half)
    assert drag.base_power_on.coefficient.value == pytest.approx(drag.base_power_off.coefficient.value / 2)
    assert drag.power_on.value < drag.power_off.value


def test_rounded_fin_edges_cost_less(cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]) -> None:
    square, rounded = (
        drag_build_up(
            cone_cylinder.skin,
            fin_air(cone_cylinder, [replace(four_fins(), square_edges=edges)]),
            mach=0.3,
            reynolds_per_m=6e6,
        ).power_off.value
        for edges in (True, False)
    )
    assert rounded < square


def test_a_ledge_in_the_lee_of_a_larger_one_is_not_seen() -> None:
    profile = [(0.0, 0.2), (0.1, 0.2), (0.1, 0.1), (0.15, 0.1), (0.15, 0.12), (1.0, 0.12)]
    faces = skin_faces(tapered_skin(octagon, profile))
    assert [(face.front, round(face.start_m, 3)) for face in faces] == [(True, 0.0), (False, 0.1)]


def test_faces_of_a_stepped_tower() -> None:
    profile = [(0.0, 0.1), (0.5, 0.1), (0.5, 0.14), (0.6, 0.14), (0.6, 0.1), (1.0, 0.1)]
    tip, ledge, back = skin_faces(tapered_skin(octagon, profile))
    area = tapered_skin(octagon, profile).areas_m2
    assert tip.area_m2 == pytest.approx(area.min())
    assert ledge.area_m2 == pytest.approx(area.max() - area.min())
    assert back.area_m2 == pytest.approx(area.max() - area.min())
    assert (tip.steepness, ledge.front, back.front) == (1.0, True, False)


def test_roughness_never_helps() -> None:
    for reynolds in (1e5, 1e6, 1e7):
        rough = surface_friction(reynolds, 1.0, Surface().roughness_m)
        assert rough >= turbulent_friction(reynolds)
    assert Surface(smooth=True).roughness_m == 0.0


@pytest.mark.parametrize("mach", [0.91, -0.1, float("nan")])
def test_mach_outside_its_range_is_refused(mach: float, cone_cylinder: BodyAir) -> None:
    with pytest.raises(OutsideRange, match=r"0 to 0\.9"):
        drag_build_up(cone_cylinder.skin, (), mach=mach, reynolds_per_m=6e6)


def test_refusals(cone_cylinder: BodyAir) -> None:
    with pytest.raises(OutsideRange, match="Reynolds"):
        drag_build_up(cone_cylinder.skin, (), mach=0.3, reynolds_per_m=0.0)
    with pytest.raises(OutsideRange, match="Reynolds"):
        laminar_friction(float("nan"))
    with pytest.raises(OutsideRange, match="roughness"):
        rough_friction(10.0)
    with pytest.raises(OutsideRange, match="positive"):
        base_drag_behind(0.0)


def test_a_flat_top_keeps_its_sharp_edge_on_a_flaring_tower() -> None:
    flat, flare, step = skin_faces(tapered_skin(octagon, [(0.0, 0.1), (0.9, 0.13), (0.9, 0.16), (1.0, 0.16)]))
    assert (flat.steepness, step.steepness) == (1.0, 1.0)
    assert flare.steepness < 0.001


def test_a_dome_hardly_pushes_however_it_is_sliced() -> None:
    """Hemispherical heads have next to no forebody drag (Hoerner 1965, chapter 3, from memory)."""
    for slices in (10, 40):
        share = np.linspace(0.0, 1.0, slices + 1)
        across = 0.1 * np.sqrt(1 - (1 - share) ** 2)
        dome = tapered_skin(octagon, [*zip(0.05 * share, across, strict=True), (1.0, 0.1)], per_tier=1)
        drag = drag_build_up(dome, (), mach=0.0, reynolds_per_m=6e6)
        front = sum(row.coefficient.value for row in drag.rows if row.kind is DragKind.FRONT)
        assert front < 0.12


@pytest.mark.parametrize("bend_deg", [10.0, 25.0, 60.0])
def test_a_taper_that_ends_in_a_ledge_is_charged_as_a_taper_and_a_ledge(bend_deg: float) -> None:
    """Frontal area of each cone times the squared sine of its own slope, however they meet."""
    rise = np.tan(np.radians(bend_deg)) * 0.02
    profile = [(0.0, 0.1), (0.6, 0.13), (0.62, 0.13 + 2 * rise), (1.0, 0.13 + 2 * rise)]
    faces = skin_faces(tapered_skin(lambda across: ellipse(across / 2, across / 2), profile))
    charged = sum(face.area_m2 * face.steepness for face in faces if face.front and face.end_m > 0.0)
    cones = [(0.1, 0.13, np.arctan(0.025)), (0.13, 0.13 + 2 * rise, np.radians(bend_deg))]
    expected = sum(np.pi / 4 * (aft**2 - fore**2) * np.sin(slope) ** 2 for fore, aft, slope in cones)
    assert charged == pytest.approx(expected, rel=0.005)


def test_a_sphere_lies_between_its_two_regimes() -> None:
    """Smooth spheres: 0.50 (Clift) and 0.42 (Morrison) at Re 1e5, both as the fluids library has them."""
    front = dome_profile(0.1)
    back = [(0.1 - station, across) for station, across in front[-2::-1]]
    ball = tapered_skin(lambda across: ellipse(across / 2, across / 2), [*front, *back], per_tier=1)
    drag = drag_build_up(ball, (), mach=0.0, reynolds_per_m=1e6).power_off
    assert drag.low < drag_sphere(1e5, Method="Morrison") < drag.high


def test_a_tail_behind_a_long_body_feels_no_short_wake() -> None:
    long, short = (
        short_wake(skin, skin_faces(skin))
        for skin in (
            tapered_skin(octagon, [(0.0, 0.1), (length, 0.1), (length + 0.1, 0.05)]) for length in (1.0, 0.02)
        )
    )
    assert long.suction < 1e-6
    assert short.suction > 0.15


def test_faces_that_stand_oblique_are_seen_by_laying_outlines_over_one_another() -> None:
    """A square tower that leans by 1 in 2 shows 0.2 m of its 0.1 m width, ahead and behind."""
    square = regular_polygon(4, 0.1, np.pi / 4)
    lean = skin_of([section_of(x, [square + np.array([x / 2, 0.0])]) for x in np.linspace(0.0, 0.4, 17)])
    walls = standing_walls(lean)
    assert walls.hidden_m2.sum() == pytest.approx(0.2 * 0.1, rel=1e-6)
    # The two sides that lean, and the slivers of the other two that they drag along.
    assert walls.slopes[1:] == pytest.approx(np.full(16, 0.5 / (1 + 0.125)), rel=1e-3)
    usual, laid_over = outside_of(lean), outside_of(lean, walls)
    without, seen = (
        drag_build_up(lean, (), mach=0.0, reynolds_per_m=6e6, outside=each) for each in (usual, laid_over)
    )
    row = next(row for row in seen.rows if row.kind is DragKind.OBLIQUE)
    assert row.coefficient.value == pytest.approx(2.0 * (0.72 * 0.444**2 / (1 + 0.444**2) + 0.12), rel=0.01)
    assert all(row.kind is not DragKind.OBLIQUE for row in without.rows)


def test_straight_shapes_have_no_oblique_faces(lighthouse: BodyAir) -> None:
    assert lighthouse.outside.walls.hidden_m2.max() == 0.0
    growing = growing_walls(lighthouse.skin)
    assert lighthouse.outside.walls.slopes[1:] == pytest.approx(growing.slopes[1:], rel=1e-2, abs=1e-6)


def test_two_steep_shoulders_suck_however_far_apart_they_stand() -> None:
    # 28 degrees each, a gentle taper of 3 degrees between them: both are torn off.
    backs = []
    for between in (0.001, 0.05, 0.2):
        widths = [(0.0, 0.1), (0.3, 0.1), (0.319, 0.08)]
        second = 0.08 - 2 * between * np.tan(np.radians(3.0))
        widths += [(0.319 + between, second), (0.338 + between, second - 0.02)]
        faces = skin_faces(tapered_skin(lambda d: ellipse(d / 2, d / 2), widths))
        torn = sum(face.area_m2 for face in faces if not face.front)
        backs.append(torn / (np.pi / 4 * (0.1**2 - 0.08**2 + second**2 - (second - 0.02) ** 2)))
    assert backs == pytest.approx([1.0, 1.0, 1.0], abs=0.02)


def test_every_row_acts_somewhere_on_the_body(lighthouse: BodyAir, four_fins: Callable[..., FinSet]) -> None:
    details = DragDetails(small_parts=(SmallPart(name="buttons", stations_m=(0.6,), frontal_area_m2=1e-4),))
    fins = fin_air(lighthouse, [four_fins(1.0, 0.075)])
    drag = drag_build_up(lighthouse.skin, fins, mach=0.3, reynolds_per_m=6e6, details=details)
    length = lighthouse.skin.length_m
    for burning in (False, True):
        assert drag_ahead(drag, 0.0, burning=burning).value == pytest.approx(0.0, abs=1e-12)
        assert drag_behind(drag, length + 1e-6, burning=burning).value == pytest.approx(0.0, abs=1e-12)
        whole = drag.power_on if burning else drag.power_off
        for station in np.linspace(-0.1, length + 0.1, 40):
            ahead, behind = (each(drag, station, burning=burning) for each in (drag_ahead, drag_behind))
            assert ahead.value + behind.value == pytest.approx(whole.value, rel=1e-12)
            assert ahead.high + behind.high == pytest.approx(whole.high, rel=1e-12)
            assert ahead.low + behind.low == pytest.approx(whole.low, rel=1e-12)


def test_drag_ahead_of_a_station_by_hand() -> None:
    """A box of one girth with fins at its tail: its flat front, half its skin, and nothing of the fins."""
    box = tapered_skin(octagon, [(0.0, 0.1), (1.0, 0.1)])
    fins = FinSet(
        name="friction of nothing",
        outline_m=np.array([[0.0, 0.0], [0.05, 0.1], [0.2, 0.1], [0.2, 0.0]]),
        station_m=0.8,
        root_radius_m=0.05,
        count=4,
        first_at_rad=0.0,
        thickness_m=0.005,
    )
    on = fin_air(body_air(box), [fins])
    drag = drag_build_up(box, on, mach=0.3, reynolds_per_m=6e6)
    skin, front = (drag.of_kind(kind) for kind in (DragKind.SKIN_FRICTION, DragKind.FRONT))
    fin = drag.of_kind(DragKind.FIN_FRICTION) + drag.of_kind(DragKind.SQUARE_EDGES)
    for station, expected in ((0.5, front + skin / 2), (0.9, front + 0.9 * skin + fin / 2)):
        assert drag_ahead(drag, station, burning=False).value == pytest.approx(expected, rel=1e-3)


def test_a_step_belongs_to_the_part_that_shows_its_face() -> None:
    """Cut at the ledge itself: the face that meets the air is behind the cut, the one that sucks ahead."""
    tower = tapered_skin(octagon, [(0.0, 0.1), (0.5, 0.1), (0.5, 0.14), (0.7, 0.14), (0.7, 0.1), (1.0, 0.1)])
    drag = drag_build_up(tower, (), mach=0.3, reynolds_per_m=6e6)
    front, back = (
        next(row for row in drag.rows if row.kind is kind and row.station_m and row.station_m > 0.4)
        for kind in (DragKind.FRONT, DragKind.BACK)
    )
    assert (front.acts.ahead_of(0.5), back.acts.ahead_of(0.7)) == (0.0, 1.0)
    assert (front.acts.ahead_of(0.502), back.acts.ahead_of(0.698)) == (1.0, 0.0)


def test_a_cone_pushes_where_it_grows() -> None:
    """Half way down a cone a quarter of its frontal area lies ahead."""
    cone = tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 1e-4), (0.2, 0.1), (1.0, 0.1)])
    drag = drag_build_up(cone, (), mach=0.3, reynolds_per_m=6e6)
    (front,) = (row for row in drag.rows if row.kind is DragKind.FRONT)
    assert front.acts.ahead_of(0.1) == pytest.approx(0.25, abs=0.01)


def test_shares_must_run_from_nothing_to_all() -> None:
    with pytest.raises(OutsideRange, match="rise from 0 to 1"):
        Acting(stations_m=np.array([0.0, 1.0]), ahead=np.array([0.0, 0.9]))
    with pytest.raises(OutsideRange, match="rise from 0 to 1"):
        Acting(stations_m=np.array([1.0, 0.0]), ahead=np.array([0.0, 1.0]))
    with pytest.raises(OutsideRange, match="something in it"):
        acting_by(np.array([0.0, 1.0]), np.zeros(2))


def test_parts_laid_together_keep_their_points_and_their_slopes() -> None:
    both = acting_together([(acting_at(0.2, 0.6), 2.0), (acting_between(0.0, 1.0), 2.0)])
    assert both.ahead_of(0.2) == pytest.approx(0.1)
    assert both.ahead_of(0.2, counting_it=True) == pytest.approx(0.35)
    assert both.ahead_of(0.7) == pytest.approx(0.5 + 0.35)


def test_without_a_face_towards_the_wind_there_is_no_short_wake() -> None:
    """A boat tail alone: nothing throws the air off ahead of it."""
    skin = tapered_skin(lambda size: ellipse(size / 2, size / 2), [(0.0, 0.1), (0.5, 0.1)])
    wake = short_wake(skin, [face for face in skin_faces(skin) if not face.front])
    assert (wake.start_m, wake.suction) == (skin.length_m, 0.0)
