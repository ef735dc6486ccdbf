"""A net over fin span and ballast: judged by a rule made by hand, drawn round, and told."""

from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.report.pictures.go_region import go_region_picture, go_region_section
from finial.report.shown import Shown
from finial.sizing.judged import Judged
from finial.sizing.region import GoRegion, go_region
from finial.sizing.variables import BALLAST, SPAN, Variable

SVG = "{http://www.w3.org/2000/svg}"
SPANS = Variable(kind=SPAN, name="fins", low=0.8, high=1.2)
MASSES = Variable(kind=BALLAST, name="steel ballast", low=0.0, high=2.0)


@pytest.fixture(scope="module")
def region(lighthouse) -> GoRegion:
    """Goes where the ballast is 1 kg or 1.5 kg, whatever the span."""
    shares: list[float] = []

    def judge(changes) -> Judged:
        item = next(one.mass.value for one in lighthouse.sheet.item if one.name == MASSES.name)
        text = next((str(value) for place, value in changes.items() if place[-1] == "mass"), f"{item} kg")
        grams = float(text.split()[0]) * (1.0 if text.split()[1] == "g" else 1000.0)
        return Judged(
            mass_kg=5.0 + grams / 1000, missing=abs(grams - 1250) / 1000, is_go=abs(grams - 1250) < 300
        )

    found = go_region(lighthouse, (SPANS, MASSES), judge, steps=5, told=shares.append)
    assert shares == pytest.approx(np.arange(1, 26) / 25)
    return found


def test_every_point_is_judged_and_the_lightest_that_goes_is_told(region: GoRegion) -> None:
    assert region.first.tolist() == pytest.approx([0.8, 0.9, 1.0, 1.1, 1.2])
    assert region.second.tolist() == pytest.approx([0.0, 0.5, 1.0, 1.5, 2.0])
    assert region.is_go.tolist() == [[False, False, True, True, False]] * 5
    assert region.mass_kg[0].tolist() == pytest.approx([5.0, 5.5, 6.0, 6.5, 7.0])
    assert region.lightest == (0, 2)
    assert replace(region, is_go=np.zeros((5, 5), bool)).lightest is None


def test_the_border_runs_round_what_goes_and_the_marks_stand_where_they_should(region: GoRegion) -> None:
    root = ElementTree.fromstring(go_region_picture(region, (1.0, 1.9)))
    cells = [one.get("data-go") for one in root.iter(f"{SVG}rect") if one.get("data-go")]
    assert (cells.count("yes"), cells.count("no")) == (10, 15)
    thick = [one for one in root.iter(f"{SVG}line") if one.get("stroke-width") == "0.8"]
    # Two columns, five rows high: two sides of five cells, and two ends of two.
    assert len(thick) == 14
    marks = {one.get("id"): one for one in root.iter(f"{SVG}g") if one.get("id", "").startswith("go-region-")}
    across = {
        name: _middle(mark) for name, mark in marks.items() if name in ("go-region-now", "go-region-lightest")
    }
    # 1.9 kg against 1.0 kg, of cells 0.5 kg wide that take the whole width of 130 mm.
    assert across["go-region-now"] - across["go-region-lightest"] == pytest.approx(
        0.9 / 2.5 * 130.0, abs=0.01
    )
    assert "10 of 25" in root.findtext(f"{SVG}desc")


def _middle(mark: ElementTree.Element) -> float:
    level = next(one for one in mark.iter(f"{SVG}line") if one.get("y1") == one.get("y2"))
    return (float(level.get("x1")) + float(level.get("x2"))) / 2


def test_every_point_is_in_the_table_in_the_builder_s_units(region: GoRegion) -> None:
    metric, us = (go_region_section(region, Shown(us_units=one)).tables[0] for one in (False, True))
    assert metric.rows[2] == ("80 %", "1 kg", "nothing fails", "0.25", "6 kg")
    assert us.rows[2][1].endswith("lb")
    unflown = replace(region, mass_kg=np.full((5, 5), np.nan))
    assert go_region_section(unflown, Shown(us_units=False)).tables[0].rows[0][-1] == "not known"


def test_a_net_of_one_step_is_refused(lighthouse) -> None:
    with pytest.raises(OutsideRange, match="two or more"):
        go_region(lighthouse, (SPANS, MASSES), lambda _: Judged(mass_kg=1, missing=0, is_go=True), steps=1)
