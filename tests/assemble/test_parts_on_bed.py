"""Parts of an example on its printer's bed: sizes from the way they were drawn, pieces counted by hand."""

from dataclasses import replace

import pytest

from finial.assemble.vehicle.bed import parts_on_bed
from finial.core.units import Quantity
from finial.findings.finding import Verdict
from finial.findings.rules.printing_rules import printing_findings
from finial.report.finding_words import title, what_to_change
from finial.report.shown import Shown


def with_bed(vehicle, *sides_m: float):
    sides = tuple(Quantity(value=side, text=f"{1e3 * side:.0f} mm") for side in sides_m)
    bed = vehicle.sheet.print.model_copy(update={"bed": sides})
    return replace(vehicle, sheet=vehicle.sheet.model_copy(update={"print": bed}))


def test_sides_are_along_the_axes_of_the_mesh(lighthouse) -> None:
    found = {part.part: part for part in parts_on_bed(lighthouse)}
    assert len(found) == 5
    # examples/make_meshes.py: heights 310 to 620 mm, and 1072 to 1200 mm; flats face +x and +y.
    assert found["middle tower"].size_m[2] == pytest.approx(0.310)
    assert found["dome"].size_m[2] == pytest.approx(0.128, abs=1e-3)
    assert found["lantern and gallery"].size_m[:2] == pytest.approx((0.168, 0.168), abs=1e-3)
    assert {part.pieces for part in found.values()} == {1}


@pytest.mark.parametrize(
    ("bed_m", "pieces"),
    [((0.3, 0.3, 0.31), 1), ((0.3, 0.3, 0.3), 2), ((0.32, 0.3, 0.15), 3), ((0.1, 0.3, 0.34), 2)],
)
def test_a_tower_stands_as_its_layers_are_stacked(lighthouse, bed_m, pieces: int) -> None:
    found = {part.part: part.pieces for part in parts_on_bed(with_bed(lighthouse, *bed_m))}
    assert found["middle tower"] == pieces


def test_layers_along_another_axis_lay_the_part_down(lighthouse) -> None:
    first, *rest = [part for part in lighthouse.parts if part.spec.name == "middle tower"]
    assert not rest
    lying = first.spec.print.model_copy(update={"layers_along": "x"})
    part = replace(first, spec=first.spec.model_copy(update={"print": lying}))
    bed = with_bed(replace(lighthouse, parts=(part,)), 0.32, 0.3, 0.15)
    assert [one.pieces for one in parts_on_bed(bed)] == [1]


def test_a_bought_part_needs_no_bed_and_a_solid_print_does(lighthouse) -> None:
    part = lighthouse.parts[0]
    bought = replace(part, spec=part.spec.model_copy(update={"print": None, "material": "6061-T6"}))
    solid = replace(part, spec=part.spec.model_copy(update={"print": None}))
    small = with_bed(lighthouse, 0.05, 0.05, 0.05)
    assert parts_on_bed(replace(small, parts=(bought,))) == ()
    # A print that names a material of no print, as an own name may be like one, is a print all the same.
    odd = replace(part, spec=part.spec.model_copy(update={"material": "6061-T6"}))
    for printed in (solid, odd):
        (found,) = parts_on_bed(replace(small, parts=(printed,)))
        assert found.pieces > 1


def test_a_sheet_without_a_bed_asks_nothing(lighthouse) -> None:
    assert parts_on_bed(replace(lighthouse, sheet=lighthouse.sheet.model_copy(update={"print": None}))) == ()
    assert printing_findings(()) == []


def test_a_part_that_must_be_cut_is_a_caution_that_says_how_often(lighthouse) -> None:
    (fits,) = printing_findings(parts_on_bed(lighthouse))
    assert fits.verdict is Verdict.GO
    low = with_bed(lighthouse, 0.3, 0.3, 0.3)
    findings = printing_findings(parts_on_bed(low))
    assert {title(finding) for finding in findings} == {
        "middle tower on the printer's bed",
        "lower tower and plinth on the printer's bed",
    }
    assert {finding.verdict for finding in findings} == {Verdict.CAUTION}
    assert {finding.value.value for finding in findings} == {2.0}
    assert "310 mm: standing square on the bed it needs 2 pieces" in what_to_change(findings[0])
    assert "12.2 in: standing" in what_to_change(findings[0], Shown(us_units=True))
