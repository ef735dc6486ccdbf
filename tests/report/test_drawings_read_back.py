"""Drawings measured back from their files: DXF by ezdxf, PDF by its own path operators through pypdf."""

import io
import math
import re
from itertools import pairwise
from pathlib import Path

import ezdxf
import numpy as np
import pytest
from pypdf import PdfReader
from pypdf.generic import ContentStream

from finial.assemble.inside.lengthwise import lengthwise_template
from finial.assemble.prints.jigs import fin_jigs
from finial.assemble.vehicle.templates import drill_templates, fin_templates
from finial.assemble.vehicle.wraps import outline_template, wrap_templates
from finial.findings.check import load_begun
from finial.printing.jig import JigFins, fin_jig
from finial.report.drawings.as_dxf import dxf
from finial.report.drawings.as_pdf import FEW_SHEETS, OVERLAP_MM, fitting, pdf, room, tiles
from finial.report.drawings.as_svg import svg
from finial.report.drawings.lengthwise import lengthwise_drawing
from finial.report.drawings.shapes import Label, Rows
from finial.report.drawings.sheets import (
    drill_drawing,
    fin_drawing,
    outline_drawing,
    templates,
    wholes,
    wrap_drawing,
)
from finial.shape.around import along_outline

EXAMPLES = Path(__file__).parents[2] / "examples"
MM_PT = 72 / 25.4


@pytest.fixture(scope="module")
def skerry():
    return load_begun(EXAMPLES / "skerry-light" / "skerry-light.toml")


def read_dxf(drawing):
    return ezdxf.read(io.StringIO(dxf(drawing).decode()))


def test_a_fin_in_dxf_is_as_large_as_the_sheet_says_in_millimetres(skerry) -> None:
    """Skerry Light: root 250 mm, span 190 mm, tip 165 mm, tab 22 mm deep."""
    document = read_dxf(fin_drawing(fin_templates(skerry)[0], us_units=False))
    assert document.units == ezdxf.units.MM
    assert document.header["$INSUNITS"] == 4
    fin, tab = document.modelspace().query("LWPOLYLINE")
    assert (fin.dxf.layer, tab.dxf.layer) == ("cut", "fold")
    points = np.array(list(fin.vertices()))
    sides = np.linalg.norm(np.roll(points, -1, axis=0) - points, axis=1)
    assert fin.closed
    assert sides == pytest.approx([math.hypot(160, 190), 165.0, math.hypot(75, 190), 250.0], abs=1e-6)
    deep = np.array(list(tab.vertices()))[:, 1]
    assert deep.max() - deep.min() == pytest.approx(22.0)
    assert not document.audit().has_errors


def test_holes_in_dxf_stand_on_their_circle(skerry) -> None:
    """Four M8 on a circle of 95 mm."""
    circles = read_dxf(drill_drawing(drill_templates(skerry)[0], us_units=False)).modelspace().query("CIRCLE")
    assert [2 * one.dxf.radius for one in circles] == pytest.approx([8.0] * 4)
    assert [math.hypot(one.dxf.center.x, one.dxf.center.y) for one in circles] == pytest.approx([47.5] * 4)
    assert {one.dxf.layer for one in circles} == {"hole"}


def segments_mm(page) -> list[tuple[np.ndarray, np.ndarray]]:
    """Every straight line of a page in millimetres, by the path operators and matrices of ISO 32000."""
    found, stack, matrix, at, first = [], [], np.eye(3), None, None
    for operands, operator in ContentStream(page.get_contents(), page.pdf).operations:
        if operator == b"q":
            stack.append(matrix)
        elif operator == b"Q":
            matrix = stack.pop()
        elif operator == b"cm":
            a, b, c, d, e, f = map(float, operands)
            matrix = np.array([[a, b, 0], [c, d, 0], [e, f, 1]]) @ matrix
        elif operator in (b"m", b"l", b"h"):
            point = first if operator == b"h" else (np.array([*map(float, operands), 1.0]) @ matrix)[:2]
            if operator == b"m":
                first = point
            elif at is not None:
                found.append((at / MM_PT, point / MM_PT))
            at = point
    return found


def lengths_mm(page) -> np.ndarray:
    return np.array([np.linalg.norm(end - start) for start, end in segments_mm(page)])


@pytest.mark.parametrize(("paper", "size_mm"), [("a4", (210.0, 297.0)), ("letter", (8.5 * 25.4, 11 * 25.4))])
@pytest.mark.parametrize(("us_units", "bar"), [(False, 100.0), (True, 101.6)])
def test_a_fin_in_pdf_is_true_to_scale_on_every_sheet(skerry, paper, size_mm, us_units, bar) -> None:
    drawing = fin_drawing(fin_templates(skerry)[0], us_units=us_units)
    pages = PdfReader(io.BytesIO(pdf(drawing, paper, us_units=us_units))).pages
    assert len(pages) == len(tiles(drawing, paper)) == 2
    for page in pages:
        box = [float(side) / MM_PT for side in page.mediabox[2:]]
        assert box == pytest.approx(size_mm, abs=0.02)
        lengths = lengths_mm(page)
        for wanted in (bar, math.hypot(160, 190), 165.0, math.hypot(75, 190), 250.0):
            assert np.abs(lengths - wanted).min() < 0.02, wanted


def test_sheets_overlap_and_together_hold_the_whole(skerry) -> None:
    drawing = outline_drawing(outline_template(skerry), us_units=False)
    left, low, right, _ = drawing.bounds
    for paper in ("a4", "letter"):
        wide, _ = room(paper)
        corners = [corner for _, _, corner in tiles(drawing, paper)]
        assert min(x for x, _ in corners) <= left
        assert max(x for x, _ in corners) + wide >= right - 1e-6
        assert min(y for _, y in corners) <= low
        across = sorted({x for x, _ in corners})
        assert all(b - a == pytest.approx(wide - OVERLAP_MM) for a, b in pairwise(across))
        assert len(across) == math.ceil((right - left - OVERLAP_MM) / (wide - OVERLAP_MM))


@pytest.mark.parametrize("scale", [1, 2, 5, 10])
def test_the_whole_is_as_large_as_its_scale_says_and_its_bar_stays(skerry, scale) -> None:
    """1200 by 168 mm one in so many; the words keep the true length, the bar is 100 mm of paper."""
    for draw in wholes(skerry):
        drawing = draw(scale)
        cut = np.concatenate(
            [np.array(one.points) for one in drawing.shapes if getattr(one, "ink", "") == "cut"]
        )
        assert np.ptp(cut, axis=0) == pytest.approx([1200.0 / scale, 168.0 / scale], abs=0.2 / scale)
        assert any("1200.0 mm long" in said for said in drawing.said)
        read = svg(drawing, us_units=False)
        bar = re.search(r'<line x1="([\d.]+)"[^>]* x2="([\d.]+)"[^>]*id="[^"]*check-length"', read)
        assert float(bar[2]) - float(bar[1]) == pytest.approx(100.0)
        assert (f"Drawn 1:{scale}." in read) == (scale > 1)
        assert (f"stands for {100 * scale} mm" in read) == (scale > 1)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_whole_that_is_to_be_looked_at_takes_few_sheets_and_is_as_large_as_they_hold(skerry, paper) -> None:
    for draw in wholes(skerry):
        one = fitting(draw, paper)
        assert len(tiles(one, paper)) <= FEW_SHEETS
        assert len(tiles(draw({2: 1, 5: 2, 10: 5}[one.scale]), paper)) > FEW_SHEETS
        page = PdfReader(io.BytesIO(pdf(one, paper, us_units=True))).pages[0]
        assert np.abs(lengths_mm(page) - 101.6).min() < 0.02
        wide = {label.text: label for label in one.shapes if isinstance(label, Label)}
        left, _, right, _ = one.bounds
        assert left <= wide["0.0 mm"].at[0] - 4.0 < wide["1200.0 mm"].at[0] + 4.0 <= right


def test_no_title_of_a_us_sheet_tells_millimetres(skerry) -> None:
    (fin, *others) = (wrap_drawing(one, us_units=True) for one in wrap_templates(skerry))
    drill = drill_drawing(drill_templates(skerry)[0], us_units=True)
    titles = [one.title for one in (fin, *others, drill)]
    assert all(title.endswith(" in") for title in titles)
    assert "strip rail button 24.4 in" in titles


def test_words_over_places_near_each_other_stand_in_rows_of_their_own() -> None:
    rows = Rows()
    # 10 letters are 17 mm wide: 15 mm apart is too near, 20 mm is not.
    assert [rows.row_of(at, "ten letter") for at in (0.0, 15.0, 20.0, 40.0)] == [0, 1, 0, 0]
    assert rows.count == 2


def test_the_outline_says_the_length_that_it_is_drawn(skerry) -> None:
    """1200 mm long, 168 mm across: examples/make_meshes.py."""
    document = read_dxf(outline_drawing(outline_template(skerry), us_units=False))
    outline = next(one for one in document.modelspace().query("LWPOLYLINE") if one.dxf.layer == "cut")
    points = np.array(list(outline.vertices()))
    assert np.ptp(points[:, 0]) == pytest.approx(1200.0, abs=0.1)
    assert np.ptp(points[:, 1]) == pytest.approx(168.0, abs=0.1)
    told = {one.dxf.text for one in document.modelspace().query("TEXT")}
    assert {"0.0 mm", "1200.0 mm", "168.0 mm", "890.0 mm"} <= told


def test_the_section_holds_print_and_inside_where_the_sheet_has_them(skerry) -> None:
    """1200 mm long and 168 mm across: examples/make_meshes.py; tube, rods and buttons as in the sheet."""
    document = read_dxf(lengthwise_drawing(lengthwise_template(skerry), us_units=False))
    lines = {layer: [] for layer in ("cut", "mark", "fold")}
    for one in document.modelspace().query("LWPOLYLINE"):
        lines[one.dxf.layer].append(np.array([corner[:2] for corner in one]))
    printed = np.concatenate(lines["cut"])
    # The cut next to the tip stands a little behind it.
    assert np.ptp(printed, axis=0) == pytest.approx([1200.0, 168.0], abs=0.2)
    told = [one.dxf.text for one in document.modelspace().query("TEXT")]
    # Under [motor]: the nozzle's station and the tube; [guide]: two buttons; [[rod]]: four M8.
    tube = next(text for text in told if text.startswith("motor tube: "))
    fore, aft = (float(number) for number in re.findall(r"([\d.]+) mm", tube)[:2])
    spans = [(one[:, 0].min(), one[:, 0].max()) for one in lines["mark"]]
    assert any(span == pytest.approx((fore, aft), abs=0.1) for span in spans)
    assert (fore, aft) == (790.0, 1192.0)
    assert sum(text.startswith("button screw: ") for text in told) == 2
    assert any(text.startswith("4 rods M8") for text in told)


def test_no_words_of_the_section_run_into_others_of_their_row(skerry) -> None:
    drawing = lengthwise_drawing(lengthwise_template(skerry), us_units=True)
    rows: dict[float, list[tuple[float, float]]] = {}
    for one in drawing.shapes:
        if isinstance(one, Label) and ": " in one.text:
            wide = 1.6 * len(one.text)
            start = one.at[0] - (wide if one.anchor == "end" else 0.0)
            rows.setdefault(one.at[1], []).append((start, start + wide))
    assert len(rows) > 2
    for row in rows.values():
        for before, after in pairwise(sorted(row)):
            assert before[1] <= after[0]
    assert max(end for row in rows.values() for _, end in row) < 1230.0


def test_a_strip_round_a_square_and_a_circle_is_measured_by_hand() -> None:
    """Rolls rise from +y to +z. Square of 100 mm: a corner lies 50 mm on; circle of 60 mm: r times angle."""
    square = 0.05 * np.array([[1, -1], [1, 1], [-1, 1], [-1, -1]])
    for loop in (square, square[::-1]):
        for roll_deg, along in ((0, 0.0), (45, 0.05), (90, 0.1), (180, 0.2), (270, 0.3), (-90, 0.3)):
            assert along_outline(loop, math.radians(roll_deg)) == pytest.approx(along, abs=1e-9)
    angles = np.arange(720) * math.tau / 720
    circle = 0.03 * np.column_stack([np.cos(angles), np.sin(angles)])
    assert along_outline(circle, 1.0) == pytest.approx(0.03, rel=1e-4)


def test_strips_of_the_lighthouse_have_their_holes_where_the_sheet_says(skerry) -> None:
    """Buttons at 90 degrees, M5; ports of 3 mm, a quarter of the girth apart; the tower is an octagon."""
    wraps = {(one.name, round(1e3 * one.station_m)): one for one in wrap_templates(skerry)}
    button = wraps["rail button", 620]
    assert button.along_m[0] == pytest.approx(button.girth_m / 4, rel=1e-3)
    assert button.marks[0].hole_m == 5e-3
    ports = wraps["static ports", 720]
    assert np.diff(ports.along_m) == pytest.approx([ports.girth_m / 4] * 3, rel=1e-3)
    circles = read_dxf(wrap_drawing(ports, us_units=False)).modelspace().query("CIRCLE")
    assert [2 * one.dxf.radius for one in circles] == pytest.approx([3.0] * 4)
    strip = next(
        one
        for one in read_dxf(wrap_drawing(ports, us_units=False)).modelspace().query("LWPOLYLINE")
        if one.dxf.layer == "cut"
    )
    assert np.ptp(np.array(list(strip.vertices()))[:, 0]) == pytest.approx(1e3 * ports.girth_m)


def test_a_jig_clears_the_body_and_its_slots_take_the_fins(skerry) -> None:
    from finial.shape.mesh import Mesh
    from finial.shape.united import solid_of_mesh

    (jig,) = fin_jigs(skerry)
    assert jig.station_m == pytest.approx(1.065)
    solid = solid_of_mesh(Mesh(vertices_m=jig.sound.vertices_mm, faces=jig.sound.faces))
    assert len(solid.decompose()) == 1
    square = np.array([[-50.0, -50.0], [50.0, -50.0], [50.0, 50.0], [-50.0, 50.0]]) / 1e3
    made = fin_jig([square], JigFins(count=2, first_at_rad=0.0, thickness_m=6.5e-3), 0.3e-3)
    top = made.slice(0.015)
    # The collar is 5 mm thick round 100.3 mm; at the top two slots of 6.8 mm go through it.
    ring = 0.1103**2 - 0.1003**2
    arms = 2 * (math.hypot(0.05515, 0.05515) + 0.035 - 0.05515) * 8e-3
    assert top.area() == pytest.approx(ring - 2 * 5e-3 * 6.8e-3 + arms, rel=2e-3)


def test_every_drawing_of_a_begun_sheet_is_written(skerry) -> None:
    names = [one.title for one in (*templates(skerry), *(draw(5) for draw in wholes(skerry)))]
    assert len(names) == len(set(names))
    assert {"fin fins", "outline", "section"} <= set(names)
