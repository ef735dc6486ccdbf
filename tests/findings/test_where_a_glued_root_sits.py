"""A fin's joint is asked for where its root sits, not where its tip does."""

import pytest

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.files.sheet_body import FixingEntry
from finial.findings.finding import Verdict
from finial.findings.rules.glue_rules import glue_findings

PARTS = ("dome", "lantern and gallery", "upper tower", "middle tower", "lower tower and plinth")
SPANS = {part: (0.0, 2.0) for part in PARTS}


def test_glue_of_a_fin_is_at_the_middle_of_its_root(lighthouse: LoadedVehicle) -> None:
    """The root runs from 940 to 1190 mm; the tip from 1100 to 1265 mm."""
    fixing = FixingEntry.model_validate({"kind": "tab", "depth": "22 mm", "glue": "solvent weld"})
    fin = lighthouse.sheet.fin[0].model_copy(update={"fixing": fixing})
    found = glue_findings(lighthouse.sheet.model_copy(update={"fin": (fin,)}), SPANS)
    (told,) = [one for one in found if one.subject.name == "fins"]
    assert told.verdict is Verdict.NOT_KNOWN
    assert told.subject.station_m == pytest.approx(0.94 + 0.125)
