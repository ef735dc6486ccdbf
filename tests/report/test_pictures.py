"""Pictures measured back: marks lie where their numbers say, and words stand for every mark."""

import math
import re
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.report.album import pictures
from finial.report.pictures.drift import drift_plan
from finial.report.pictures.flight_pictures import flight_pictures
from finial.report.pictures.margin import margin_by_angle, pressure_by_roll
from finial.report.pictures.side_view import side_view
from finial.report.pictures.silhouette import fin_outlines, side_outline
from finial.report.pictures.svg import number, words
from finial.structure.loads.case import Case, Half, Load

SVG = "{http://www.w3.org/2000/svg}"
MICROMETRE = 2e-3  # coordinates are written to a micrometre [mm]


def parsed(svg):
    root = ElementTree.fromstring(svg)
    marks = {node.get("id"): node for node in root.iter() if node.get("id")}
    return root, marks


def scale_from_ticks(marks, prefix, attribute):
    """Straight line through a scale's own ticks: picture millimetres to what the ticks say."""
    ticks = [
        (float(node.get(attribute)), float(name.removeprefix(prefix).replace("−", "-")))
        for name, node in marks.items()
        if name.startswith(prefix)
    ]
    places, values = np.array(ticks).T
    slope, offset = np.polyfit(places, values, 1)
    assert np.abs(slope * places + offset - values).max() < 1e-2 * np.ptp(values)
    return lambda place: slope * place + offset


@pytest.mark.parametrize("us_units", [False, True])
def test_every_picture_is_xml_with_title_description_and_its_size_in_millimetres(readiness, us_units):
    drawn = pictures(replace(readiness, us_units=us_units))
    assert set(drawn) == {
        "side_view",
        "margin_by_angle",
        "pressure_by_roll",
        "flight_traces",
        "drift_plan",
        "body_loads",
        "firing_paths",
    }
    for svg in drawn.values():
        root, marks = parsed(svg)
        assert root.findtext(f"{SVG}title")
        assert root.findtext(f"{SVG}desc")
        assert set(root.get("aria-labelledby").split()) <= set(marks)
        _, _, width, height = root.get("viewBox").split()
        assert (root.get("width"), root.get("height")) == (f"{width}mm", f"{height}mm")


def test_no_mark_lies_off_the_paper(readiness):
    for svg in pictures(readiness).values():
        root = ElementTree.fromstring(svg)
        _, _, width, height = map(float, root.get("viewBox").split())
        for node in root.iter(f"{SVG}line"):
            assert -0.01 <= min(float(node.get("x1")), float(node.get("x2")))
            assert max(float(node.get("x1")), float(node.get("x2"))) <= width + 0.01
            assert max(float(node.get("y1")), float(node.get("y2"))) <= height + 0.01


@pytest.mark.parametrize(("us_units", "per_m"), [(False, 1000.0), (True, 1 / 0.0254)])
def test_balance_and_pressure_marks_read_their_stations_on_the_ruler(readiness, us_units, per_m):
    point = readiness.stability[0]
    _, marks = parsed(side_view(readiness.shape, point, us_units=us_units))
    station = scale_from_ticks(marks, "side-view-station-", "data-x")
    bob = marks["side-view-balance"].find(f"{SVG}polygon").get("points").split()
    tip_mm = float(bob[-1].split(",")[0])
    ruled = MICROMETRE * 10 * per_m / 1000
    assert station(tip_mm) == pytest.approx(point.balance.value * per_m, abs=ruled)
    band = marks["side-view-pressure"]
    left, across = float(band.get("x")), float(band.get("width"))
    assert station(left) == pytest.approx(point.pressure.low * per_m, abs=ruled)
    assert station(left + across) == pytest.approx(point.pressure.high * per_m, abs=ruled)


def test_the_band_without_fins_stands_where_its_pressure_is(readiness):
    point, air = readiness.stability[0], readiness.air
    _, marks = parsed(side_view(readiness.shape, point))
    station = scale_from_ticks(marks, "side-view-station-", "data-x")
    box = marks["side-view-bare"]
    row = int(np.abs(air.angles_rad - point.alpha_rad).argmin())
    assert station(float(box.get("x"))) == pytest.approx(air.bare_forward_m[row, 0] * 1000, abs=0.1)
    right = float(box.get("x")) + float(box.get("width"))
    assert station(right) == pytest.approx(air.bare_aft_m[row, 0] * 1000, abs=0.1)


def test_vehicle_keeps_its_proportions(readiness):
    _, marks = parsed(side_view(readiness.shape, readiness.stability[0]))
    polygons = marks["side-view-vehicle"].findall(f"{SVG}polygon")
    skin = max(polygons, key=lambda node: len(node.get("points").split()))
    corners = np.array([[float(part) for part in pair.split(",")] for pair in skin.get("points").split()])
    # The invented skin is 1200 mm long; its gallery measures 185 mm across the flats that face roll 0.
    ratio = np.ptp(corners[:, 0]) / np.ptp(corners[:, 1])
    assert ratio == pytest.approx(1.2 / 0.185, rel=1e-3)


def test_side_outline_goes_down_one_side_and_up_the_other(readiness):
    outline = np.array(side_outline(readiness.shape.skin))
    half = len(outline) // 2
    assert outline[:half, 1] == pytest.approx(-outline[half:, 1][::-1], abs=1e-12)
    assert outline[0] == pytest.approx([0.0, 0.01], abs=1e-12)


def test_fins_are_foreshortened_and_front_ones_drawn_last(readiness):
    seen = fin_outlines(readiness.shape.fins[0])
    assert [in_front for in_front, _ in seen] == [False, False, True, True]
    tips = sorted(max((abs(y) for _, y in outline)) for _, outline in seen)
    reach = 0.075 + 0.16
    expected = sorted(reach * abs(math.cos(math.radians(22.5 + 90 * index))) for index in range(4))
    assert tips == pytest.approx(expected, abs=1e-12)


def test_margin_band_reads_forward_end_minus_the_aft_end_of_balance(readiness):
    air, point = readiness.air, readiness.stability[0]
    _, marks = parsed(margin_by_angle(air, point))
    margin = scale_from_ticks(marks, "margin-y-", "data-at")
    angle = scale_from_ticks(marks, "margin-x-", "data-at")
    corners = np.array(
        [[float(part) for part in pair.split(",")] for pair in marks["margin-band"].get("points").split()]
    )
    at_zero = corners[np.abs(angle(corners[:, 0])) < 0.01]
    # 0 degrees: forward end 0.80 - 0.015 - 0.09 m less 0.589 m; aft end 0.80 + 0.015 + 0.05 m less 0.572 m.
    assert sorted(margin(at_zero[:, 1])) == pytest.approx([106.0, 293.0], abs=0.1)
    judged = float(marks["margin-judged"].get("data-x"))
    assert angle(judged) == pytest.approx(20.0, abs=0.01)
    zero = marks["margin-zero"]
    assert margin(float(zero.get("y1"))) == pytest.approx(0.0, abs=0.05)


def test_polar_rings_and_band_agree(readiness):
    air, point = readiness.air, readiness.stability[0]
    _, marks = parsed(pressure_by_roll(readiness.shape, air, point))
    station = scale_from_ticks(marks, "roll-ring-", "data-r")
    assert station(float(marks["roll-balance"].get("r"))) == pytest.approx(580.0, abs=0.1)
    outer, inner = marks["roll-band"].get("d").split("Z")[:2]
    points = np.array(re.findall(r"(-?[\d.]+) (-?[\d.]+)", outer), dtype=float) - [46.0, 43.0]
    reach = station(np.hypot(*points.T))
    # First point is roll 0, straight up; aft end there at 20 degrees: 0.80 - 0.06 + 0.015 + 0.05 m.
    assert points[0][0] == pytest.approx(0.0, abs=MICROMETRE)
    assert points[0][1] < 0
    assert reach[0] == pytest.approx(805.0, abs=0.2)
    # Roll 90 degrees comes counter-clockwise, on the left, as seen from the tip.
    assert points[36][0] < 0
    assert points[36][1] == pytest.approx(0.0, abs=MICROMETRE)
    assert station(
        np.hypot(*(np.array(re.findall(r"(-?[\d.]+) (-?[\d.]+)", inner), dtype=float) - [46.0, 43.0]).T)
    ).min() == pytest.approx(635.0, abs=0.2)


def test_landing_cross_and_scale_bar_agree_with_the_landing_point(readiness):
    flight = readiness.flight
    root, marks = parsed(drift_plan(flight, replace(readiness.range_safety, field_radius_m=500.0)))
    ring = marks["drift-field"]
    per_mm = 500.0 / float(ring.get("r"))
    cross = marks["drift-landing"]
    east = (float(cross.get("data-x")) - float(ring.get("cx"))) * per_mm
    north = (float(ring.get("cy")) - float(cross.get("data-y"))) * per_mm
    assert east == pytest.approx(flight.landing_east_m, abs=0.05)
    assert north == pytest.approx(flight.landing_north_m, abs=0.05)
    bar = float(marks["drift-bar"].get("width")) * per_mm
    assert f"{bar:.0f} m" in [node.text for node in root.iter(f"{SVG}text")]
    assert float(marks["drift-minimum"].get("r")) * per_mm == pytest.approx(60.96, abs=0.05)


def test_events_stand_at_their_times(readiness):
    svg = flight_pictures(readiness)["flight-traces.svg"]
    _, marks = parsed(svg)
    time = scale_from_ticks(marks, "flight-1-2-x-", "data-at")
    for order, event in enumerate(readiness.flight.trace.events, start=1):
        assert time(float(marks[f"flight-1-event-{order}"].get("data-x"))) == pytest.approx(
            event.time_s, abs=0.1
        )
        assert f"{order}  {event.name}, {event.time_s:.2f} s" in svg


def test_hostile_words_stay_words(readiness):
    event = replace(readiness.flight.trace.events[0], canopy='</text><script>"&\x00\x1b')
    trace = replace(readiness.flight.trace, events=(event,))
    svg = flight_pictures(replace(readiness, flight=replace(readiness.flight, trace=trace)))[
        "flight-traces.svg"
    ]
    root, _ = parsed(svg)
    assert not list(root.iter(f"{SVG}script"))
    assert any("</text><script>" in (node.text or "") for node in root.iter(f"{SVG}text"))


def test_long_names_are_cut_to_the_paper(readiness):
    long = "canopy " * 20
    event = replace(readiness.flight.trace.events[0], canopy=long)
    opens = Case(load=Load.CANOPY_OPENS, subject=long, half=Half.AFT)
    case = replace(readiness.strength.cases[0], case=opens)
    trace = replace(readiness.flight.trace, events=(event,))
    odd = replace(
        readiness,
        flight=replace(readiness.flight, trace=trace),
        strength=replace(readiness.strength, cases=(case,)),
    )
    drawn = pictures(odd)
    for name, most in (("flight_traces", 45), ("body_loads", 80)):
        texts = [node.text for node in ElementTree.fromstring(drawn[name]).iter(f"{SVG}text")]
        cut = [text for text in texts if text.lstrip("1 ").startswith("canopy")]
        assert cut
        assert max(map(len, cut)) <= most


def test_a_broken_number_is_refused_not_drawn():
    with pytest.raises(OutsideRange, match="finite"):
        number(math.nan)
    assert 'x="0.1"' in words("a", (0.1, 0.0))


@pytest.mark.parametrize(("roll_deg", "in_front"), [(90.0, False), (270.0, True)])
def test_the_eye_is_on_the_side_of_roll_270(readiness, roll_deg, in_front):
    # Tip left and body y up leave body z pointing into the paper: right-handed axes, x forward.
    one = replace(readiness.shape.fins[0], count=1, first_at_rad=math.radians(roll_deg))
    assert [front for front, _ in fin_outlines(one)] == [in_front]
