"""Curves, bars and marks read back off the paper by the picture's own ticks: what the records say."""

import itertools
import math
from xml.etree import ElementTree

import numpy as np
import pytest

from finial.report.pictures.svg import BLUE, GREY, INK, RUST

SVG = "{http://www.w3.org/2000/svg}"
PAPER_MM = 0.01
"""Places are written to a micrometre; ticks are read by them."""
THINNED_MM = 0.2
"""Points of a curve nearer than paper can show are left out."""
NEWTON_PER_LBF = 0.45359237 * 9.80665


class Paper:
    """A picture with a way to read it."""

    def __init__(self, svg: str) -> None:
        self.root = ElementTree.fromstring(svg)
        self.marks = {node.get("id"): node for node in self.root.iter() if node.get("id")}
        self.says = self.root.findtext(f"{SVG}desc")
        self.texts = [node.text for node in self.root.iter(f"{SVG}text")]

    def scale(self, prefix: str):
        """What a place on the paper says on the scale whose ticks' names begin so."""
        ticks = [
            (float(node.get("data-at")), float(name.removeprefix(prefix).replace("−", "-")))
            for name, node in self.marks.items()
            if name.startswith(prefix)
        ]
        places, values = np.array(ticks).T
        slope, offset = np.polyfit(places, values, 1)
        assert len(ticks) >= 3
        assert slope * places + offset == pytest.approx(values, abs=1e-3 * np.ptp(values))
        return lambda place: slope * np.asarray(place, dtype=float) + offset

    def curve(self, frame: str, mark: str) -> tuple[np.ndarray, np.ndarray]:
        """Values of the marked curve on the frame's two scales."""
        at = points(self.marks[mark])
        return self.scale(f"{frame}-x-")(at[:, 0]), self.scale(f"{frame}-y-")(at[:, 1])

    def all(self, tag: str, **attributes: str) -> list[ElementTree.Element]:
        return [
            node
            for node in self.root.iter(SVG + tag)
            if all(node.get(name.replace("_", "-")) == value for name, value in attributes.items())
        ]


def points(node: ElementTree.Element) -> np.ndarray:
    return np.array([[float(part) for part in pair.split(",")] for pair in node.get("points").split()])


def number(node: ElementTree.Element, name: str) -> float:
    return float(node.get(name))


@pytest.fixture(scope="session")
def papers(drawn):
    return {name: Paper(svg) for name, svg in drawn.items()}


@pytest.fixture(scope="session")
def papers_us(drawn_us):
    return {name: Paper(svg) for name, svg in drawn_us.items()}


def test_the_opening_load_and_the_closed_form_stand_at_their_newtons(papers, papers_us):
    for paper, per_n in ((papers["opening"], 1.0), (papers_us["opening"], 1 / NEWTON_PER_LBF)):
        times, loads = paper.curve("opening", "opening-load")
        assert loads.max() == pytest.approx(400.0 * per_n, rel=2e-3)
        assert times[loads.argmax()] == pytest.approx(0.5, abs=0.01)
        assert (times[0], times[-1]) == pytest.approx((0.0, 1.0), abs=1e-3)
        level = paper.scale("opening-y-")(number(paper.marks["opening-closed"], "y1"))
        assert level == pytest.approx(500.0 * per_n, rel=1e-3)
        assert f"Peak {400 * per_n:.0f}" in paper.says
        assert f"closed form {500 * per_n:.0f}" in paper.says


def test_the_pressure_in_the_bay_is_read_in_kilopascals_over_milliseconds(papers, papers_us):
    for paper, per_pa in ((papers["pressure"], 1e-3), (papers_us["pressure"], 1 / 6894.757)):
        for end, peak_pa in (("weak", 60e3), ("central", 100e3), ("strong", 140e3)):
            times, pressures = _over_time(paper, f"pressure-0-shot-0-{end}", "pressure-0-y-")
            assert pressures.max() == pytest.approx(peak_pa * per_pa, rel=5e-3)
            assert times[pressures.argmax()] == pytest.approx(10.0, abs=0.1)
        times, speeds = _over_time(paper, "pressure-1-shot-0-central", "pressure-1-y-")
        assert speeds[-1] == pytest.approx(12.0 if per_pa == 1e-3 else 12.0 / 0.3048, rel=2e-3)
        assert times[-1] == pytest.approx(20.0, abs=0.05)


def _over_time(paper: Paper, mark: str, scale: str):
    """The upper graph has no numbers along its foot that differ from the lower one's: one scale for both."""
    at = points(paper.marks[mark])
    return paper.scale("pressure-1-x-")(at[:, 0]), paper.scale(scale)(at[:, 1])


def test_the_central_case_is_the_thick_one_and_the_key_tells_the_charges(papers):
    paper = papers["pressure"]
    width = {
        end: number(paper.marks[f"pressure-0-shot-0-{end}"], "stroke-width")
        for end in ("weak", "central", "strong")
    }
    assert width["central"] > 2 * width["weak"] == 2 * width["strong"]
    told = [text for text in paper.texts if "closed form 120 kPa" in text]
    assert [text.split(", ")[1].split(";")[0] for text in told] == ["1.40 g", "1.80 g", "3.20 g"]
    assert "peak 100 kPa, the closed form says 120; parts at 12.0 m/s." in paper.says


def test_the_pull_of_each_line_is_read_in_newtons(papers):
    paper = papers["tension"]
    for order, peak in enumerate((800.0, 600.0, 400.0)):
        times, pulls = paper.curve("tension", f"tension-line-{order}")
        assert pulls.max() == pytest.approx(peak, rel=5e-3)
        assert times[pulls.argmax()] == pytest.approx(1.0, abs=0.02)
    upward = paper.scale("tension-y-")
    assert upward(number(paper.marks["tension-closed"], "y1")) == pytest.approx(950.0, rel=1e-3)
    # Room above the closed form and the peak: 1.05 x 950 N and 1.15 x 800 N must fit below the frame's head.
    assert upward(8.0) >= 1.05 * 950.0 - 1.0
    assert "the cord holds 1000 N at its knots (low end)" in paper.says
    keyed = [text for text in paper.texts if "shock cord" in text or "lines of main" in text]
    assert len(keyed) == 3


def test_strength_of_the_lip_over_its_pull_is_one_plus_the_margin(papers):
    paper = papers["zipper"]
    for wind, expected in (("day", [6.0, 4.0, 2.0, 5.0]), ("windy", [6.0, 3.0, 1.0, 4.0])):
        offsets, ratios = paper.curve("zipper-time", f"zipper-curve-{wind}")
        assert offsets == pytest.approx([-3.0, 0.0, 2.0, 5.0], abs=0.01)
        assert ratios == pytest.approx(expected, abs=0.01)
    assert paper.curve("zipper-time", "zipper-curve-calm")[1] == pytest.approx([6.0] * 4, abs=0.01)
    at = points(paper.marks["zipper-curve-across"])
    assert paper.scale("zipper-speed-x-")(at[:, 0]) == pytest.approx([0.0, 10.0, 20.0, 40.0], abs=0.05)
    assert paper.scale("zipper-speed-y-")(at[:, 1]) == pytest.approx([4.0, 3.0, 2.0, 0.0], abs=0.01)
    assert "least to spare +2.0 s from the planned event, in the wind called windy" in paper.says
    assert "strength over pull 1.00 at the low end" in paper.says


def test_the_hatching_where_the_lip_tears_reaches_from_nothing_to_one(papers):
    paper = papers["zipper"]
    upward = paper.scale("zipper-time-y-")
    hatched = paper.all("polygon", fill="url(#zipper-tears)")
    assert len(hatched) == 2
    for area in hatched:
        heights = upward(points(area)[:, 1])
        assert sorted(heights) == pytest.approx([0.0, 0.0, 1.0, 1.0], abs=0.01)
    assert "strength from the model alone: no published limit exists" in paper.texts


def test_lines_of_equal_deflection_lie_where_the_mode_has_that_height(papers):
    paper = papers["fin-modes"]
    first = [node for node in paper.all("polyline") if points(node)[:, 0].max() < 55.0]
    heights = [points(node)[:, 1] for node in first]
    assert all(np.ptp(each) < PAPER_MM for each in heights), "the first mode only rises with the distance"
    outline = points(paper.all("polygon", stroke_width="0.4")[0])
    root, tip = outline[:, 1].max(), outline[:, 1].min()
    shares = sorted(float(root - each[0]) / (root - tip) for each in heights)
    # The root's own line, where nothing moves, is not drawn; levels run from 0.1 to 0.9 in steps of 0.2.
    assert shares == pytest.approx([0.1, 0.3, 0.5, 0.7, 0.9], abs=1e-3)
    assert {node.get("stroke") for node in first} == {BLUE}


def test_what_stands_still_is_thick_and_the_stays_are_squares(papers):
    paper = papers["fin-modes"]
    outlines = [points(node) for node in paper.all("polygon", stroke_width="0.4")]
    still = [points(node) for node in paper.all("polyline", stroke_width="0.55")]
    assert len(outlines) == 3
    middle = outlines[1].mean(axis=0)
    turned = [line for line in still if line[:, 0].max() < outlines[1][:, 0].max()]
    assert len(turned) == 1
    on_fin = turned[0]
    assert on_fin[:, 0] == pytest.approx(middle[0], abs=PAPER_MM)
    assert on_fin[:, 1].min() == pytest.approx(outlines[1][:, 1].min(), abs=PAPER_MM)
    half_out = [line for line in still if line[0, 0] > outlines[1][:, 0].max()]
    assert len(half_out) == 1
    assert half_out[0][:, 1] == pytest.approx(middle[1], abs=PAPER_MM)
    ties = [points(node) for node in paper.all("polygon", fill=INK)]
    assert [tie.mean(axis=0) for tie in ties] == [
        pytest.approx(outline.mean(axis=0), abs=PAPER_MM) for outline in outlines
    ]
    assert [text for text in paper.texts if "Hz" in text] == [
        "50 Hz, bends",
        "120 Hz, twists",
        "300 Hz, bends",
    ]


def test_swings_over_speed_and_the_fastest_flown(papers, papers_us):
    paper = papers["fin-sweep"]
    along, hertz = paper.scale("sweep-damping-x-"), paper.scale("sweep-hz-y-")
    damping = paper.scale("sweep-damping-y-")
    rising, lower = (points(node) for node in paper.all("polyline", stroke=INK))
    assert along(rising[[0, -1], 0]) == pytest.approx([0.0, 200.0], abs=0.1)
    assert hertz(rising[[0, -1], 1]) == pytest.approx([50.0, 60.0], abs=0.1)
    assert damping(lower[[0, -1], 1]) == pytest.approx([0.0, 20.0], abs=0.05)
    for frame in ("sweep-hz", "sweep-damping"):
        assert along(number(paper.marks[f"{frame}-top"], "x1")) == pytest.approx(190.0, abs=0.1)
    zero = next(node for node in paper.all("line", stroke=INK) if node.get("stroke-width") == "0.4")
    assert damping(number(zero, "y1")) == pytest.approx(0.0, abs=0.01)
    assert "Swings grow from 150 m/s on, at 60 Hz." in paper.texts
    assert f"Swings grow from {150 / 0.3048:.0f} ft/s on, at 60 Hz." in papers_us["fin-sweep"].texts


def test_flutter_over_height_leaves_out_what_nobody_flies_or_never_grows(papers):
    paper = papers["fin-envelope"]
    speed, height = paper.scale("envelope-x-"), paper.scale("envelope-y-")
    flown, flutter = (points(paper.all("polyline", stroke=ink)[0]) for ink in (INK, RUST))
    assert speed(flown[:, 0]) == pytest.approx([190.0, 170.0, 120.0, 50.0], abs=0.1)
    assert height(flown[:, 1]) == pytest.approx([0.0, 250.0, 500.0, 750.0], abs=1.0)
    assert speed(flutter[:, 0]) == pytest.approx([150.0, 152.0, 154.0, 156.0], abs=0.1)
    assert "Solid: fastest flown; dashed: flutter." in paper.texts


def test_bars_with_and_without_stays_are_as_long_as_their_flutter_speeds(papers):
    paper = papers["fin-stays"]
    speed = paper.scale("stays-x-")
    bare, stayed = (points(node) for node in paper.all("polygon", stroke=BLUE))
    assert sorted(set(speed(bare[:, 0]).round(1))) == pytest.approx([0.0, 100.0], abs=0.1)
    assert sorted(set(speed(stayed[:, 0]).round(1))) == pytest.approx([0.0, 150.0], abs=0.1)
    assert bare[:, 1].max() < stayed[:, 1].min(), "without stays stands above"
    spreads = [
        speed([number(node, "x1"), number(node, "x2")]) for node in paper.all("line", stroke_width="0.6")
    ]
    assert np.sort(spreads, axis=0) == pytest.approx(np.array([[90.0, 110.0], [120.0, 180.0]]), abs=0.1)
    assert speed(number(paper.marks["stays-top"], "x1")) == pytest.approx(190.0, abs=0.1)
    assert paper.says == "The lowest frequency goes from 40 to 50 Hz."


def test_stems_are_as_high_as_the_reserve_and_tell_short_from_enough(papers):
    paper = papers["reserves"]
    upward, along = paper.scale("reserves-y-"), paper.scale("reserves-x-")
    assert upward(number(paper.marks["reserves-limit"], "y1")) == pytest.approx(1.5, abs=0.01)
    marks = [node for node in paper.all("polygon") if node.get("fill") in (BLUE, RUST)]
    found = [
        (float(upward(at[1])), float(along(at[0]))) for at in (points(node).mean(axis=0) for node in marks)
    ]
    assert found == [
        pytest.approx((1.2, 300.0), abs=0.5),
        pytest.approx((4.0, 600.0), abs=0.5),
        pytest.approx((6.0, 1100.0), abs=0.5),  # 9 is cut at 6
    ]
    assert [node.get("fill") for node in marks] == [RUST, BLUE, BLUE]
    assert [len(set(points(node)[:, 0])) for node in marks] == [2, 3, 3], "square below, diamond above"
    (unknown,) = (node for node in paper.all("text") if node.text == "?")
    assert along(number(unknown, "x")) == pytest.approx(900.0, abs=0.5)
    assert paper.says.startswith("The least reserve is 1.20: ")


def test_bars_with_and_without_rods_are_as_long_as_the_low_end_of_the_reserve(papers):
    paper = papers["rods"]
    across = paper.scale("shares-x-")
    bars = [points(node) for node in paper.all("polygon")]
    lengths = [float(across(bar[:, 0].max()) - across(bar[:, 0].min())) for bar in bars]
    # Nothing pulls the second case's layers without rods: its bar runs to the end, like a reserve above six.
    assert lengths == pytest.approx([3.0, 1.5, 6.0, 6.0], abs=0.01)
    assert across(number(paper.marks["shares-limit"], "x1")) == pytest.approx(1.5, abs=0.01)
    tops = [bar[:, 1].min() for bar in bars]
    assert tops == sorted(tops)
    assert all(one[:, 1].max() < two[:, 1].min() for one, two in itertools.pairwise(bars))


def test_loads_along_the_body_are_those_of_the_case(papers, papers_us, readiness):
    for paper, per_m, per_n in ((papers, 1e3, 1.0), (papers_us, 1 / 0.0254, 1 / NEWTON_PER_LBF)):
        paper = paper["strength-loads"]
        for order, case in enumerate(readiness.strength.cases):
            at = points(paper.marks[f"strength-loads-0-case-{order}"])
            pushed = paper.scale("strength-loads-0-y-")(at[:, 1])
            assert pushed[[0, -1]] == pytest.approx(case.axial_n[[0, -1]] * per_n, abs=0.5)
            bent = paper.scale("strength-loads-2-y-")(
                points(paper.marks[f"strength-loads-2-case-{order}"])[:, 1]
            )
            arm = 1.0 if per_n == 1.0 else 1 / 0.3048
            assert bent.max() == pytest.approx(case.bending_n_m.max() * per_n * arm, rel=1e-2)
            along = paper.scale("strength-loads-3-x-")(at[:, 0])
            assert along[-1] == pytest.approx(1.2 * per_m, rel=1e-3)
    assert "The largest bending moment is 34 N m" in papers["strength-loads"].says


def test_landing_points_lie_round_the_pad_by_the_scale_bar(papers, papers_us, invented):
    for paper, per_m, unit in ((papers["landings"], 1.0, "m"), (papers_us["landings"], 1 / 0.3048, "ft")):
        bar = next(text for text in paper.texts if text.endswith(f" {unit}"))
        per_mm = float(bar.split()[0]) / number(paper.marks["landings-bar"], "width") / per_m
        pad = [number(paper.marks["landings-pad"], name) for name in ("data-x", "data-y")]
        dots = np.array([[number(dot, "cx"), number(dot, "cy")] for dot in paper.marks["landings-points"]])
        read = (dots - pad) * [per_mm, -per_mm]
        assert read == pytest.approx(invented.landings, abs=0.5)
        ring = points(paper.marks["landings-ellipse"])
        assert ((ring.max(axis=0) + ring.min(axis=0)) / 2 - pad) * [per_mm, -per_mm] == pytest.approx(
            [200.0, 100.0], abs=0.5
        )
        grey = points(paper.all("polygon", stroke=GREY)[0])
        assert (grey - pad) * [per_mm, -per_mm] == pytest.approx(invented.field[0], abs=0.5)
    assert "the first 60 of 60 landing points" in " ".join(papers["landings"].texts)


def test_bars_of_what_decides_are_as_long_as_their_shares(papers, invented):
    paper = papers["shares"]
    across = paper.scale("shares-x-")
    bars = [node for node in paper.root.iter(f"{SVG}g") if node.get("data-share")]
    assert len(bars) == 3
    for node, one in zip(bars, invented.parts, strict=True):
        bar, reach = node.find(f"{SVG}rect"), node.find(f"{SVG}line")
        left = number(bar, "x")
        assert across([left, left + number(bar, "width")]) == pytest.approx([0.0, 100 * one.share], abs=0.1)
        ends = across([number(reach, "x1"), number(reach, "x2")])
        assert ends == pytest.approx([100 * one.low, 100 * one.high], abs=0.1)
        assert number(bar, "y") < number(reach, "y1") < number(bar, "y") + number(bar, "height")
    assert paper.says.startswith("drag coefficient of the main canopy 60 %.")


def test_bars_of_a_spread_hold_every_flight_once(papers):
    paper = papers["spread"]
    upward, across = paper.scale("spread-y-"), paper.scale("spread-x-")
    bars = list(paper.marks["spread-bars"])
    counts = [
        float(upward(number(bar, "y")) - upward(number(bar, "y") + number(bar, "height"))) for bar in bars
    ]
    assert sum(counts) == pytest.approx(500, abs=0.5)
    assert counts == pytest.approx(np.round(counts), abs=0.01)
    assert across(number(paper.marks["spread-limit"], "x1")) == pytest.approx(500.0, abs=0.1)
    assert across(number(bars[0], "x")) <= 400.0**1.01
    assert across(number(bars[-1], "x") + number(bars[-1], "width")) >= 600.0**1.01


def test_tracks_rise_to_apogee_and_end_where_they_land(papers, readiness):
    paper = papers["tracks"]
    along, upward = paper.scale("tracks-x-"), paper.scale("tracks-y-")
    track = points(paper.marks["tracks-lines"][0])
    flight = readiness.flight
    assert upward(track[:, 1].min()) == pytest.approx(flight.apogee_agl.value, rel=1e-3)
    away = math.hypot(flight.landing_east_m, flight.landing_north_m)
    assert along(track[-1, 0]) == pytest.approx(away, rel=1e-3)
    assert upward(track[-1, 1]) == pytest.approx(0.0, abs=1.0)
    assert f"up to {flight.apogee_agl.value:.0f} m high and {away:.0f} m away" in paper.says


def test_dots_of_a_trade_stand_at_ballast_and_apogee_and_grow_with_the_fins(papers, papers_us, invented):
    for paper, per_kg, per_m in (
        (papers["front"], 1.0, 1.0),
        (papers_us["front"], 1 / 0.45359237, 1 / 0.3048),
    ):
        along, upward = paper.scale("front-x-"), paper.scale("front-y-")
        dots = paper.all("circle")
        for dot, one in zip(dots, invented.trade, strict=True):
            assert along(number(dot, "cx")) == pytest.approx(one.ballast_kg * per_kg, rel=2e-3)
            assert upward(number(dot, "cy")) == pytest.approx(one.look.apogee_m * per_m, rel=2e-3)
        radii = [number(dot, "r") for dot in dots]
        assert [number(dot, "data-span") for dot in dots] == pytest.approx([1.0, 0.5, 0.0])
        assert radii[0] > radii[1] > radii[2] > 0.5
        assert radii[1] == pytest.approx((radii[0] + radii[2]) / 2, abs=1e-3)
        assert [dot.get("fill") for dot in dots] == [BLUE, GREY, RUST]
        assert dots[2].get("id") == "front-chosen"
        assert [node.text for node in paper.all("text", font_size="2.5")] == ["1", "2"]


def test_the_bar_of_the_drift_spans_its_interval_towards_the_landing(papers, readiness):
    paper, drift = papers["drift_plan"], readiness.flight.drift
    bar = next(text for text in paper.texts if text.endswith(" m"))
    per_mm = float(bar.split()[0]) / number(paper.marks["drift-bar"], "width")
    spread = paper.marks["drift-spread"]
    ends = np.array([[number(spread, f"x{end}"), number(spread, f"y{end}")] for end in (1, 2)])
    ring = paper.marks["drift-minimum"]
    pad = np.array([number(ring, "cx"), number(ring, "cy")])
    away = (ends - pad) * per_mm
    assert np.hypot(*away.T) == pytest.approx([drift.low, drift.high], rel=2e-3)
    # It lands 1 east for every 0.4 south: down and to the right on the paper.
    assert away[:, 1] / away[:, 0] == pytest.approx([0.4, 0.4], abs=2e-3)


def test_each_cell_of_the_map_has_the_shade_of_its_margin(papers, readiness):
    paper, air = papers["margin-map.svg"], readiness.air
    point = min(readiness.stability, key=lambda one: one.margin.low)
    shades = [node.get("fill") for node in paper.all("rect", stroke="none")]
    keyed = [node.get("fill") for node in paper.all("rect", stroke=GREY) if node.get("width") == "4"]
    assert len(keyed) == len(set(keyed)) == 5
    margins = (air.pressure_forward_m - point.balance.high) / point.width_m
    expected = [keyed[sum(margin >= step for step in (0.0, 0.5, 1.0, 2.0))] for margin in margins.ravel()]
    assert shades == expected
    assert len(set(shades)) >= 2
    roll = paper.scale("margin-map-x-")
    cells = paper.all("rect", stroke="none")
    lefts = roll([number(cell, "x") for cell in cells[: len(air.rolls_rad)]])
    assert lefts[:3] == pytest.approx([0.0, 11.25, 33.75], abs=0.05)
    assert roll(max(number(cell, "x") + number(cell, "width") for cell in cells)) == pytest.approx(
        360, abs=0.05
    )


def test_fins_are_bars_as_high_as_their_slope_over_their_chord(papers, readiness):
    paper = papers["air-load.svg"]
    upward, along = paper.scale("air-load-y-"), paper.scale("air-load-x-")
    (bar,) = paper.all("rect", stroke=RUST)
    left, width = number(bar, "x"), number(bar, "width")
    assert along([left, left + width]) == pytest.approx([930.0, 1190.0], abs=0.5)
    top, foot = upward([number(bar, "y"), number(bar, "y") + number(bar, "height")])
    # 9 per radian over 0.26 m of a vehicle 1.2 m long.
    assert (foot, top) == pytest.approx((0.0, 9.0 * 1.2 / 0.26), abs=0.05)
    load = points(paper.marks["air-load-body"])
    # The body's load is a half sine of height 1 per metre, drawn per length of the vehicle.
    assert upward(load[:, 1]).max() == pytest.approx(1.2, abs=0.05)
    assert paper.says == "The bare body gathers 3.1 per radian, with fins 9."


def test_the_right_edge_of_the_margin_reads_in_widths(papers, readiness):
    paper = papers["margin_by_angle"]
    margin = paper.scale("margin-y-")
    found = [
        (float(margin(number(node, "y") - 0.35 * 2.9)), float(node.text.replace("−", "-")))
        for node in paper.all("text")
        if node.get("text-anchor") is None and node.text.replace("−", "").replace(".", "").isdigit()
    ]
    assert len(found) >= 3
    for at_mm, widths in found:
        assert at_mm == pytest.approx(1e3 * widths * readiness.stability[0].width_m, abs=0.5)


def test_marks_that_tell_lines_apart_do_not_need_colour(papers):
    styles = [
        (node.get("stroke"), node.get("stroke-dasharray"))
        for name, node in papers["strength-loads"].marks.items()
        if name.startswith("strength-loads-2-case-")
    ]
    assert len(set(styles)) == len(styles) == 2


@pytest.mark.parametrize(
    "name", ["opening", "pressure", "tension", "zipper", "strength-loads", "body_loads", "air-load.svg"]
)
def test_a_piece_of_the_line_stands_beside_its_words_in_the_key(papers, name):
    paper = papers[name]
    graphs = [number(node, "y") + number(node, "height") for node in paper.all("rect", stroke=GREY)]
    samples = [
        node
        for node in paper.all("line")
        if node.get("y1") == node.get("y2") and number(node, "y1") > max(graphs) + 5
    ]
    assert samples
    for sample in samples:
        beside = [
            node
            for node in paper.all("text")
            if 0.3 < number(node, "y") - number(sample, "y1") < 1.5
            and 1.0 < number(node, "x") - number(sample, "x2") < 4.0
        ]
        assert len(beside) == 1
        drawn = [
            node
            for node in paper.all("polyline") + paper.all("line") + paper.all("rect")
            if node is not sample
            and (node.get("stroke"), node.get("stroke-dasharray"))
            == (sample.get("stroke"), sample.get("stroke-dasharray"))
        ]
        assert drawn, "no line of the picture looks like that"


def test_words_stand_in_the_middle_of_their_box(papers, readiness):
    """Each box of the firing paths holds its name, one or more lines about its middle."""
    paper = papers["firing_paths"]
    boxed = [
        (group.find(f"{SVG}rect"), group.findall(f"{SVG}text"))
        for group in paper.root.iter(f"{SVG}g")
        if len(group.findall(f"{SVG}rect")) == 1 and group.findall(f"{SVG}text")
    ]
    assert len(boxed) >= 7
    for rect, texts in boxed:
        left, top = number(rect, "x"), number(rect, "y")
        width, height = number(rect, "width"), number(rect, "height")
        bases = [number(text, "y") for text in texts]
        size = number(texts[0], "font-size")
        centre = (min(bases) - 0.7 * size + max(bases)) / 2
        assert centre == pytest.approx(top + height / 2, abs=0.5)
        assert top < min(bases) - 0.7 * size
        assert max(bases) < top + height
        assert [number(text, "x") for text in texts] == pytest.approx([left + width / 2] * len(texts))
        assert all(0.42 * size * len(text.text) < width for text in texts)
        assert all(later - earlier > size for earlier, later in itertools.pairwise(bases))


def test_a_path_runs_from_left_to_right_under_its_headings(papers):
    paper = papers["firing_paths"]
    headings = {node.text: number(node, "x") for node in paper.all("text") if number(node, "y") < 7.0}
    assert list(headings) == ["battery", "arming", "computer", "igniter", "charge", "canopy"]
    places = list(headings.values())
    steps = np.diff(places)
    assert steps == pytest.approx(steps[0])
    rects = sorted({number(rect, "x") for rect in paper.all("rect") if rect.get("fill") == "#e9e9e6"})
    for name, left in headings.items():
        assert any(abs(rect - left) < 0.5 for rect in rects), name
    for wire in paper.all("line", stroke=GREY):
        assert number(wire, "x1") < number(wire, "x2")


def test_the_plumb_bob_hangs_at_the_balance_and_its_bar_spans_the_interval(papers, readiness):
    paper = papers["side_view"]
    ticks = [
        (number(node, "data-x"), float(name.removeprefix("side-view-station-")))
        for name, node in paper.marks.items()
        if name.startswith("side-view-station-")
    ]
    per_mm, offset = np.polyfit(*np.array(ticks).T, 1)
    point = min(readiness.stability, key=lambda one: one.margin.low)
    bob = paper.marks["side-view-balance"]
    string, bar, *ends = bob.findall(f"{SVG}line")
    tip = points(bob.find(f"{SVG}polygon"))
    assert number(string, "x1") == number(string, "x2") == tip[-1, 0]
    assert number(string, "y2") == pytest.approx(tip[0, 1]), "the string ends where the bob begins"
    assert tip[-1, 1] > tip[0, 1], "and the bob points down"
    span = per_mm * np.array([number(bar, "x1"), number(bar, "x2")]) + offset
    assert span == pytest.approx([1e3 * point.balance.low, 1e3 * point.balance.high], abs=0.3)
    assert [number(end, "x1") for end in ends] == [number(bar, "x1"), number(bar, "x2")]
    for end in ends:
        assert number(end, "y1") < number(bar, "y1") < number(end, "y2")
    gap = paper.marks["side-view-gap"]
    line, *sides = gap.findall(f"{SVG}line")
    worst = sorted([1e3 * point.balance.high, 1e3 * point.pressure.low])
    assert per_mm * np.array([number(line, "x1"), number(line, "x2")]) + offset == pytest.approx(
        worst, abs=0.3
    )
    assert all(number(side, "y1") < number(line, "y1") < number(side, "y2") for side in sides)
    assert f"worst margin {1e3 * point.margin.low:.0f} mm" in paper.texts


def test_the_legend_of_the_side_view_says_the_numbers_in_both_units(papers, papers_us, readiness):
    point = min(readiness.stability, key=lambda one: one.margin.low)
    metric, us = papers["side_view"].texts, papers_us["side_view"].texts
    low, high = (point.bare_margin.low + point.balance.high, point.bare_margin.high + point.balance.low)
    assert f"dashed outline: the same without fins, {1e3 * low:.4g} to {1e3 * high:.4g} mm" in metric
    bob = next(text for text in us if text.startswith("plumb bob"))
    assert bob.endswith(
        f"{round(point.balance.value / 0.0254, 1):g} "
        f"({round(point.balance.low / 0.0254, 1):g} to "
        f"{round(point.balance.high / 0.0254, 1):g}) in"
    )


def test_the_margin_s_line_is_the_central_value_and_roll_words_go_round(papers, readiness):
    paper, air = papers["margin_by_angle"], readiness.air
    point = min(readiness.stability, key=lambda one: one.margin.low)
    (line,) = paper.all("polyline")
    at = points(line)
    angles, margins = paper.scale("margin-x-")(at[:, 0]), paper.scale("margin-y-")(at[:, 1])
    central = 1e3 * (air.pressure_central_m.min(axis=1) - point.balance.value)
    assert margins == pytest.approx(np.interp(angles, np.degrees(air.angles_rad), central), abs=0.3)
    turned = papers["pressure_by_roll"]
    around = {
        node.text: node for node in turned.all("text") if node.text.endswith("°") and len(node.text) < 5
    }
    assert list(around) == [f"{degrees}°" for degrees in range(0, 360, 45)]
    up, left = around["0°"], around["90°"]
    assert number(up, "x") == pytest.approx(46.0)
    assert number(left, "x") == pytest.approx(46.0 - (number(left, "y") - number(up, "y")), abs=0.01)


def test_the_pad_stands_in_the_middle_of_the_plan_and_the_arrow_points_up(papers, readiness):
    paper = papers["drift_plan"]
    ring = paper.marks["drift-minimum"]
    pad = number(ring, "cx"), number(ring, "cy")
    (square,) = (node for node in paper.all("rect", fill="#ffffff") if node.get("stroke"))
    assert number(square, "x") + number(square, "width") / 2 == pytest.approx(pad[0])
    assert number(square, "y") + number(square, "height") / 2 == pytest.approx(pad[1])
    (head,) = paper.all("polygon")
    arrow = points(head)
    assert arrow[:, 1].argmin() == 2
    assert arrow[2, 0] == pytest.approx(arrow[:2, 0].mean())
    (north,) = (node for node in paper.all("text") if node.text == "N")
    assert number(north, "x") == pytest.approx(arrow[2, 0])
    assert number(north, "y") > arrow[:, 1].max()
    cross = paper.marks["drift-landing"]
    arms = cross.findall(f"{SVG}line")
    middles = [
        ((number(arm, "x1") + number(arm, "x2")) / 2, (number(arm, "y1") + number(arm, "y2")) / 2)
        for arm in arms
    ]
    at = number(cross, "data-x"), number(cross, "data-y")
    assert middles == [pytest.approx(at), pytest.approx(at)]
    flight = readiness.flight
    told = next(text for text in paper.texts if text.startswith("cross: landing point"))
    assert f"{flight.drift.value:.0f} m from the pad" in told
    degrees = math.degrees(math.atan2(flight.landing_east_m, flight.landing_north_m)) % 360
    assert paper.says.endswith(f"from the pad, bearing {degrees:.0f} degrees.")


def test_the_section_shows_each_thing_at_its_stations_and_its_distance_from_the_axis(papers, papers_us):
    """Plane of roll 0: motor and tube on the axis, the sled 10 mm above it, the rods missed and dashed."""
    paper = papers["inside"]
    prefix = "inside-section-station-"
    ticks = [
        (number(node, "data-x"), float(name.removeprefix(prefix)))
        for name, node in paper.marks.items()
        if name.startswith(prefix)
    ]
    per_mm, offset = np.polyfit(*np.array(ticks).T, 1)
    axis = next(node for node in paper.all("line") if node.get("stroke-dasharray") == "4 1 1 1")
    axis_mm = number(axis, "y1")

    def spans(node) -> list[tuple[float, ...]]:
        rings = [ring.replace("L", " ").split() for ring in node.get("d").replace("Z", " ").split("M")[1:]]
        corners = [np.array(ring, dtype=float).reshape(-1, 2) for ring in rings]
        return [
            (
                float(per_mm * ring[:, 0].min() + offset),
                float(per_mm * ring[:, 0].max() + offset),
                float(per_mm * (axis_mm - ring[:, 1].max())),
                float(per_mm * (axis_mm - ring[:, 1].min())),
            )
            for ring in corners
        ]

    drawn = [(node.get("stroke-dasharray"), spans(node)) for node in paper.marks["inside-section-things"]]
    whole = [found for dashes, found in drawn if dashes is None]
    flat = sorted(found for each in whole for found in each)
    expected = [(100, 200, -15, 35), (300, 600, -20.5, -19), (300, 600, 19, 20.5), (350, 550, -19, 19)]
    assert flat == [pytest.approx(one, abs=0.3) for one in expected]
    dashed = sorted(found for dashes, each in drawn if dashes for found in each)
    assert len(dashed) == 4
    assert dashed[0] == pytest.approx((50, 550, -38, -32), abs=0.3)
    assert dashed[3] == pytest.approx((50, 550, 32, 38), abs=0.3)
    prints = sorted(found for node in paper.marks["inside-section-prints"] for found in spans(node))
    assert prints[0] == pytest.approx((0, 600, -50, -45), abs=0.3)
    assert prints[-1] == pytest.approx((0, 600, 45, 50), abs=0.3)
    (ring,) = paper.marks["inside-section-hits"]
    assert per_mm * number(ring, "cx") + offset == pytest.approx(400.0, abs=0.3)
    assert number(ring, "cy") == pytest.approx(axis_mm, abs=0.05)
    told = [node.text for node in paper.marks["inside-section-key"].iter(f"{SVG}text")]
    assert "sled: 100 to 200 mm, 50 by 10 mm" in told
    assert "motor: 350 to 550 mm, 38 mm across" in told
    assert "rod: 50 to 550 mm, 6 mm across, dashed" in told
    assert told[::2] == ["1", "2", "3", "4"]
    bar = paper.marks["inside-section-bar"]
    assert per_mm * (number(bar, "x2") - number(bar, "x1")) == pytest.approx(
        1e3 * number(bar, "data-length-m"), abs=0.2
    )
    assert "at roll 0 degrees, tip to the left, length 600 mm" in paper.says
    assert "rod from 50 mm to 550 mm; sled from 100 mm" in paper.says
    assert " in" in papers_us["inside"].says


def test_numbers_of_the_section_lead_into_their_things(papers):
    paper = papers["inside"]
    marks = list(paper.marks["inside-section-balloons"])
    leaders = [node for node in marks if node.tag == f"{SVG}line"]
    dots = [node for node in marks if node.tag == f"{SVG}circle" and number(node, "r") < 1.0]
    assert len(leaders) == len(dots) == 4
    for leader, dot in zip(leaders, dots, strict=True):
        assert (number(leader, "x2"), number(leader, "y2")) == (number(dot, "cx"), number(dot, "cy"))
        assert number(leader, "x1") == pytest.approx(number(leader, "x2"), abs=0.01), (
            "upright where it may be"
        )
