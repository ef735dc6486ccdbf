"""Small pictures as a whole: each was measured with a ruler once, against the round numbers of its scene."""

import io
from pathlib import Path
from types import SimpleNamespace

import ezdxf
import pytest
from report import scenes_by_hand as scenes
from report.as_drawn import same_as_drawn

from finial.report.drawings.as_dxf import dxf
from finial.report.drawings.as_svg import svg
from finial.report.pictures.drift import drift_plan
from finial.report.pictures.exploded import exploded
from finial.report.pictures.field_map import field_map_picture
from finial.report.pictures.go_region import go_region_picture
from finial.report.pictures.log_traces import kept_traces
from finial.report.pictures.station_cut import station_cut, station_picture
from finial.report.pictures.tower_side import tower_side
from finial.report.pictures.tunnel_along import tunnel_along
from finial.report.pictures.tunnel_history import tunnel_history
from finial.report.pictures.tunnel_surface import tunnel_surface

HERE = Path(__file__).parent / "drawn"


def test_a_net_has_its_cells_where_the_axes_say_and_a_border_round_what_goes():
    # Four columns of 32.5 mm, three rows of 26.7 mm; 110 % and 2.5 kg is the corner of four cells.
    same_as_drawn(go_region_picture(scenes.net(), (1.1, 2.5)), HERE / "go-region.svg")
    same_as_drawn(go_region_picture(scenes.net(), (0.8, 0.0), us_units=True), HERE / "go-region-us.svg")


@pytest.mark.parametrize(("us_units", "name"), [(False, "tower"), (True, "tower-us")])
def test_a_tower_is_half_its_size_on_paper_and_its_heights_stand_beside_its_edges(us_units, name):
    # 240 mm in a room of 120 mm: 1 mm of paper is 2 mm of the tower.
    same_as_drawn(tower_side("two tiers", scenes.tower_parts(), us_units=us_units), HERE / f"{name}.svg")


def test_a_cut_shows_what_the_plane_meets_numbered_from_the_axis_out():
    # The cut at 200 mm meets plates 80 mm off the axis: 160 mm on 78 mm of paper.
    cut = station_cut(scenes.cut_across(), 0.21)
    assert (cut.station_m, cut.row, [one.thing.name for one in cut.met]) == (0.2, 1, ["motor", "rod", "rod"])
    same_as_drawn(
        station_picture(cut, [scenes.plate_fins()], says="Cut.", us_units=False), HERE / "station.svg"
    )
    aft = station_cut(scenes.cut_across(), 0.29)
    assert [(one.number, one.thing.name) for one in aft.met] == [(1, "motor")]
    same_as_drawn(station_picture(aft, (), says="Cut.", us_units=True), HERE / "station-us.svg")


def test_pieces_stand_apart_each_with_its_number_and_size():
    # A side of 40 mm is seen 33.9 mm wide, the height of 100 mm 92.7 mm high, both at 0.9992 to one.
    same_as_drawn(exploded(scenes.print_plan()), HERE / "exploded.svg")
    same_as_drawn(exploded(scenes.print_plan(us_units=True)), HERE / "exploded-us.svg")


def test_the_field_of_the_day_is_drawn_to_scale_with_what_lies_there():
    # A field of 360 m takes 54 / 1.15 mm; the barn, 200 m east, stands 26.1 mm right of the pad.
    same_as_drawn(field_map_picture(scenes.field_of_day()), HERE / "field-map.svg")
    fenced = scenes.field_of_day(us_units=True, bounded=True)
    same_as_drawn(field_map_picture(fenced), HERE / "field-map-us.svg")


def test_drift_is_drawn_towards_the_landing_point():
    # The bar of 150 to 260 m fills the 38 mm; 120 m east is 17.5 mm right, 160 m north 23.4 mm up.
    rules = SimpleNamespace(minimum_distance_m=90.0, field_radius_m=240.0)
    same_as_drawn(drift_plan(scenes.drift_flight(), rules), HERE / "drift.svg")
    unbounded = SimpleNamespace(minimum_distance_m=90.0, field_radius_m=None)
    same_as_drawn(drift_plan(scenes.drift_flight(), unbounded, us_units=True), HERE / "drift-us.svg")


def test_a_kept_flight_has_its_curves_on_three_scales_and_its_moments_above_them():
    # Nine seconds on 148 mm; 100 m at 4 s, a tenth more predicted, a fifth less corrected; 3 g until 2 s.
    svg_text = kept_traces(scenes.kept_curves(), us_units=False, title="A flight kept")
    same_as_drawn(svg_text, HERE / "kept-flight.svg")


@pytest.mark.parametrize(("scale", "us_units", "name"), [(1, False, "plate"), (2, True, "plate-us")])
def test_a_drawing_lies_on_paper_millimetre_by_millimetre_over_a_bar_to_measure(scale, us_units, name):
    same_as_drawn(svg(scenes.plate_drawing(scale), us_units=us_units), HERE / f"{name}.svg")


def test_a_drawing_in_dxf_has_a_layer_and_a_colour_for_each_ink():
    read = ezdxf.read(io.StringIO(dxf(scenes.plate_drawing()).decode()))
    colours = {layer.dxf.name: layer.dxf.color for layer in read.layers}
    # Black or white, dark grey, red, light grey, and light grey for words.
    assert {name: colours[name] for name in ("cut", "fold", "hole", "mark", "words")} == {
        "cut": 7,
        "fold": 8,
        "hole": 1,
        "mark": 9,
        "words": 9,
    }
    texts = [
        (text.dxf.text, tuple(text.dxf.insert)[:2], text.dxf.height)
        for text in read.modelspace().query("TEXT")
    ]
    # Rows below the plate, 7 mm apart.
    assert texts == [
        ("root", (100.0, 10.0), 3.5),
        ("Plate of the tests.", (0.0, -7.0), 3.5),
        ("Cut it twice.", (0.0, -14.0), 3.5),
    ]
    lines = [(one.dxf.layer, one.closed, len(one)) for one in read.modelspace().query("LWPOLYLINE")]
    assert lines == [("cut", True, 4), ("fold", False, 2), ("mark", False, 3)]
    (hole,) = read.modelspace().query("CIRCLE")
    assert (hole.dxf.layer, hole.dxf.radius) == ("hole", 4.0)


@pytest.mark.parametrize(("us_units", "name"), [(False, "tunnel-along"), (True, "tunnel-along-us")])
def test_load_along_the_body_is_told_per_width_and_gathered(us_units, name):
    # 0.2, -0.1 and 0.4 on 0.1, 0.1 and 0.2 m of a body 0.08 m wide: 0.16, -0.08, 0.16; and 0.2, 0.1, 0.5.
    runs = [scenes.tunnel_run(16.0), scenes.tunnel_run(10.667, 0.5), scenes.tunnel_run(8.0)]
    same_as_drawn(tunnel_along(runs, us_units=us_units), HERE / f"{name}.svg")


def test_a_run_in_the_tunnel_shows_its_history_and_the_means_of_its_batches():
    # Forty-two samples: the first two are left out of eight batches of five.
    same_as_drawn(tunnel_history(scenes.kept_run()), HERE / "tunnel-history.svg")


def test_pressure_is_drawn_in_squares_of_the_near_side():
    # Squares of 10 mm; amid stands the mean of the two points within a square of the nearest: 0.35.
    outline = [(0.0, 0.0), (0.01, 0.01), (0.03, 0.02), (0.03, -0.01), (0.01, -0.01)]
    same_as_drawn(tunnel_surface(scenes.kept_run(), outline), HERE / "tunnel-surface.svg")
