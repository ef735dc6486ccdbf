"""Each glue against both sides of its joint; the table is common practice and makers' advice, from memory."""

import pytest

from finial.files.sheet_body import FixingEntry
from finial.files.sheet_motor import GluedTubeEntry
from finial.findings.finding import Verdict
from finial.findings.rules.glue_rules import glue_findings
from finial.report.finding_words import title, what_to_change

SPANS = {"dome": (0.0, 0.14), "lantern and gallery": (0.14, 0.31), "upper tower": (0.3, 0.6)}
SPANS |= {"middle tower": (0.6, 0.9), "lower tower and plinth": (0.9, 1.2)}
PLATE = 1
"""The bulkhead: birch plywood in PETG."""


def judged(sheet, **changes) -> dict[str, Verdict]:
    """Verdict by name of what is glued, where not all is well."""
    items = list(sheet.item)
    items[PLATE] = items[PLATE].model_copy(update=changes)
    found = glue_findings(sheet.model_copy(update={"item": tuple(items)}), SPANS)
    return {one.subject.name: one.verdict for one in found if one.verdict is not Verdict.GO}


@pytest.mark.parametrize(
    ("glue", "material", "sticks"),
    [
        ("epoxy on print", "birch plywood", True),
        ("epoxy on print", None, True),
        ("epoxy on print", "HDPE", False),  # every glue peels off wax
        ("epoxy on metal or G10", "G10", False),  # the other side is a print
        ("epoxy on metal or G10", "6061-T6", False),
        ("solvent weld", "birch plywood", False),
        ("solvent weld", "PETG", False),  # cements are for acrylic and styrenes
        ("solvent weld", "ABS", False),  # and for one plastic on both sides
        ("cyanoacrylate on print", "birch plywood", False),  # brittle: a charge strikes the plate
    ],
)
def test_a_glue_holds_both_sides(lighthouse, glue: str, material: str | None, sticks: bool) -> None:
    found = judged(lighthouse.sheet, glue=glue, material=material)
    assert found == ({} if sticks else {"bulkhead and eye bolt": Verdict.NOT_KNOWN})


def test_where_both_sides_are_what_a_glue_is_for_it_holds(lighthouse) -> None:
    stuffs = [part.model_copy(update={"material": "ABS"}) for part in lighthouse.sheet.part]
    printed = lighthouse.sheet.model_copy(update={"part": tuple(stuffs)})
    assert judged(printed, glue="solvent weld", material="ABS") == {}
    metal = [part.model_copy(update={"material": "6061-T6"}) for part in lighthouse.sheet.part]
    cast = lighthouse.sheet.model_copy(update={"part": tuple(metal)})
    assert judged(cast, glue="epoxy on metal or G10", material="G10") == {}


def test_a_seat_that_was_pulled_by_test_goes_before_its_glue(lighthouse) -> None:
    held = lighthouse.sheet.item[PLATE].model_copy(update={"glue": None, "holds": "2 kN"})
    assert judged(lighthouse.sheet, glue="solvent weld", holds=held.holds) == {}


def test_fins_and_motor_tubes_are_asked_too(lighthouse) -> None:
    sheet = lighthouse.sheet
    fixing = FixingEntry.model_validate({"kind": "tab", "depth": "22 mm", "glue": "solvent weld"})
    finned = sheet.model_copy(update={"fin": (sheet.fin[0].model_copy(update={"fixing": fixing}),)})
    assert judged(finned) == {"fins": Verdict.NOT_KNOWN}
    tube = GluedTubeEntry.model_validate(
        {"glue": "epoxy on metal or G10", "length": "0.1 m", "diameter": "59 mm"}
    )
    tubed = sheet.model_copy(update={"motor": sheet.motor.model_copy(update={"tube": tube})})
    assert judged(tubed) == {"motor tube": Verdict.NOT_KNOWN}


def test_it_says_which_glue_and_why(lighthouse) -> None:
    items = list(lighthouse.sheet.item)
    items[PLATE] = items[PLATE].model_copy(update={"glue": "cyanoacrylate on print"})
    (found,) = glue_findings(lighthouse.sheet.model_copy(update={"item": tuple(items)}), SPANS)
    assert title(found) == "glue of bulkhead and eye bolt"
    assert "cyanoacrylate on print is brittle" in what_to_change(found)
    assert found.safety
