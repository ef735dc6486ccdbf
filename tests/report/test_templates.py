"""Templates measured back from their files: one unit of the file is one millimetre on paper."""

import math
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pytest

from finial.assemble.vehicle.templates import DrillTemplate, FinTemplate, drill_templates, fin_templates
from finial.findings.check import load_begun
from finial.report.drawings.as_svg import svg
from finial.report.drawings.sheets import drill_drawing, fin_drawing

SVG = "{http://www.w3.org/2000/svg}"
EXAMPLES = Path(__file__).parents[2] / "examples"


def fin_template(fin: FinTemplate, *, us_units: bool) -> str:
    return svg(fin_drawing(fin, us_units=us_units), us_units=us_units)


def drill_template(drill: DrillTemplate, *, us_units: bool) -> str:
    return svg(drill_drawing(drill, us_units=us_units), us_units=us_units)


def read(text: str) -> ET.Element:
    """The drawing, its unit checked: as many millimetres on paper as units in the file."""
    root = ET.fromstring(text)
    size = [float(root.get(side).removesuffix("mm")) for side in ("width", "height")]
    assert [float(one) for one in root.get("viewBox").split()] == [0.0, 0.0, *size]
    return root


def polygons(root: ET.Element) -> list[np.ndarray]:
    return [
        np.array([[float(one) for one in pair.split(",")] for pair in shape.get("points").split()])
        for shape in root.iter(f"{SVG}polygon")
    ]


def bar_mm(root: ET.Element) -> float:
    [bar] = [one for one in root.iter(f"{SVG}line") if one.get("id") == "check-length"]
    return float(bar.get("x2")) - float(bar.get("x1"))


@pytest.fixture(scope="module")
def skerry():
    return load_begun(EXAMPLES / "skerry-light" / "skerry-light.toml")


@pytest.mark.parametrize(("us_units", "long"), [(False, 100.0), (True, 101.6)])
def test_the_bar_is_as_long_as_it_says(skerry, us_units: bool, long: float) -> None:
    """100 mm, or 4 in of 25.4 mm."""
    for drawn in (
        fin_template(fin_templates(skerry)[0], us_units=us_units),
        drill_template(drill_templates(skerry)[0], us_units=us_units),
    ):
        assert bar_mm(read(drawn)) == pytest.approx(long, abs=1e-9)


def test_a_fin_is_drawn_as_large_as_the_sheet_says(skerry) -> None:
    """Skerry Light: root 250 mm, span 190 mm, tip 165 mm, tab 22 mm deep."""
    root = read(fin_template(fin_templates(skerry)[0], us_units=False))
    fin, tab = polygons(root)
    sides = np.linalg.norm(np.roll(fin, -1, axis=0) - fin, axis=1)
    wanted = [math.hypot(160, 190), 165.0, math.hypot(75, 190), 250.0]
    assert sides == pytest.approx(wanted, abs=2e-3)
    assert np.ptp(tab, axis=0) == pytest.approx([250.0, 22.0], abs=2e-3)
    # The root is the lower side of the fin and the upper one of its tab.
    assert fin[:, 1].max() == pytest.approx(tab[:, 1].min())
    assert fin[0, 0] == fin[:, 0].min()


def test_holes_stand_where_the_rods_do(skerry) -> None:
    """Four of M8 on the sheet's circle, the first at roll 0, to the right."""
    radius = 1e3 * skerry.sheet.rod[0].on_circle.value / 2
    fore, aft = drill_templates(skerry)
    assert (fore.station_m, aft.station_m) == pytest.approx((0.3, 1.2))
    root = read(drill_template(aft, us_units=False))
    holes = list(root.iter(f"{SVG}circle"))
    assert {float(hole.get("r")) for hole in holes} == {4.0}
    middles = np.array([[float(hole.get("cx")), float(hole.get("cy"))] for hole in holes])
    middle = middles.mean(axis=0)
    assert np.linalg.norm(middles - middle, axis=1) == pytest.approx([radius] * 4, abs=2e-3)
    assert middles[0] - middle == pytest.approx([radius, 0.0], abs=2e-3)
    # The plinth is an octagon: its outline is drawn about the same middle.
    [outline] = polygons(root)
    assert (outline.min(axis=0) + outline.max(axis=0)) / 2 == pytest.approx(middle, abs=0.05)


def test_roll_runs_from_the_right_upwards_seen_from_the_tip() -> None:
    """Body y to the right, z up: what the tip's own side shows, forward being towards the eye."""
    drill = DrillTemplate(
        name="one",
        thread="M6",
        hole_m=0.006,
        station_m=0.1,
        outlines_m=(((0.05, 0.0), (0.0, 0.05), (-0.05, 0.0), (0.0, -0.05)),),
        places_m=((0.0, 0.03),),
    )
    root = read(drill_template(drill, us_units=False))
    [hole] = root.iter(f"{SVG}circle")
    [outline] = polygons(root)
    middle = outline.mean(axis=0)
    assert float(hole.get("cx")) == pytest.approx(middle[0])
    assert middle[1] - float(hole.get("cy")) == pytest.approx(30.0)


def test_everything_lies_on_the_paper() -> None:
    """A fin that is swept ahead of its root, and a name with signs of XML in it."""
    fin = FinTemplate(
        name='a <b> & "c"',
        count=3,
        material="birch plywood",
        thickness_m=0.006,
        outline_m=((0.0, 0.0), (-0.05, 0.1), (0.05, 0.1), (0.1, 0.0)),
        tab_m=(),
    )
    text = fin_template(fin, us_units=False)
    root = read(text)
    [drawn] = polygons(root)
    width, height = (float(root.get(side).removesuffix("mm")) for side in ("width", "height"))
    assert drawn.min() > 0.0
    assert drawn[:, 0].max() < width
    assert drawn[:, 1].max() < height
    assert np.ptp(drawn, axis=0) == pytest.approx([150.0, 100.0])
    assert "Dashed" not in text
    assert 'a <b> & "c"' in "".join(root.itertext())


def test_a_file_for_each_fin_and_each_end_of_the_rods(tmp_path, monkeypatch, capsys) -> None:
    import sys

    from finial.cli.main import main

    sheet = EXAMPLES / "skerry-light" / "skerry-light.toml"
    words = ("draw", str(sheet), "--folder", str(tmp_path / "out"), "--quiet")
    monkeypatch.setattr(sys, "argv", ["finial", *words])
    with pytest.raises(SystemExit) as ended:
        main()
    assert ended.value.code == 0
    files = sorted((tmp_path / "out").iterdir())
    drawn = [path for path in files if path.suffix == ".svg"]
    assert [re.sub(r"-.*", "", path.name) for path in drawn] == ["1", "10", *map(str, range(2, 10))]
    assert all(read(path.read_text(encoding="utf-8")) is not None for path in drawn)
    for suffix in (".pdf", ".dxf"):
        assert [path.stem for path in files if path.suffix == suffix] == [path.stem for path in drawn]
    assert [path.name for path in files if path.suffix == ".stl"] == ["jig-fins.stl"]
    assert capsys.readouterr().out.count("wrote ") == len(files)


def test_a_sheet_without_fins_and_rods_has_its_outline_and_its_section(tmp_path, monkeypatch, capsys) -> None:
    import shutil
    import sys

    from finial.cli.main import main

    shutil.copy(EXAMPLES / "skerry-light" / "meshes" / "dome.stl", tmp_path)
    sheet = tmp_path / "dome.toml"
    sheet.write_text(
        '[vehicle]\nname = "x"\n'
        '[[part]]\nname = "dome"\nmesh = "dome.stl"\nmesh_unit = "mm"\nmaterial = "PLA"\n'
    )
    monkeypatch.setattr(sys, "argv", ["finial", "draw", str(sheet), "--quiet"])
    with pytest.raises(SystemExit) as ended:
        main()
    assert ended.value.code == 0
    assert capsys.readouterr().out.count("wrote ") == 6
    drawn = sorted(path.name for path in (tmp_path / "dome-drawings").iterdir())
    kinds = ("dxf", "pdf", "svg")
    assert drawn == [f"{title}.{kind}" for title in ("1-outline", "2-section") for kind in kinds]
    section = (tmp_path / "dome-drawings" / "2-section.svg").read_text(encoding="utf-8")
    assert "128.0 mm" in section
    assert "motor" not in section
