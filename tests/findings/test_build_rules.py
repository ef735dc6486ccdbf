"""Cords, switches and the nozzle, each let go once."""

import pytest

from finial.core.units import Quantity
from finial.files.sheet_body import OwnMaterialEntry
from finial.findings.finding import Finding, Verdict
from finial.findings.rules.build_rules import build_findings
from finial.report.finding_words import title, what_to_change


def found(sheet) -> dict[str, Finding]:
    findings = build_findings(sheet, motor_diameter_m=0.054, length_m=1.2)
    return {title(finding): finding for finding in findings}


def test_skerry_light_leaves_nothing_open(lighthouse) -> None:
    assert {finding.verdict for finding in found(lighthouse.sheet).values()} == {Verdict.GO}


def test_a_joint_that_opens_without_a_cord_is_not_known(lighthouse) -> None:
    recovery = lighthouse.sheet.recovery.model_copy(update={"cord": ()})
    finding = found(lighthouse.sheet.model_copy(update={"recovery": recovery}))["a cord across lantern joint"]
    assert finding.verdict is Verdict.NOT_KNOWN
    assert 'joint = "lantern joint"' in what_to_change(finding)


def test_a_computer_without_a_switch_is_named(lighthouse) -> None:
    electronics = lighthouse.sheet.electronics
    computers = (electronics.computer[0].model_copy(update={"switch": None}), electronics.computer[1])
    changed = electronics.model_copy(update={"computer": computers})
    finding = found(lighthouse.sheet.model_copy(update={"electronics": changed}))["arming switches"]
    assert finding.verdict is Verdict.CAUTION
    assert "computer A" in what_to_change(finding)
    assert "computer B" not in what_to_change(finding)


@pytest.mark.parametrize(
    ("given", "verdict"),
    [
        ({"along": "44 MPa", "bars": 5}, Verdict.GO),
        ({"across": "20 MPa", "bars": 4}, Verdict.CAUTION),
        ({"along": "44 MPa"}, Verdict.CAUTION),
        ({"density": "1.26 g/cm3"}, None),
    ],
)
def test_a_strength_stands_on_five_bars(lighthouse, given: dict, verdict: Verdict | None) -> None:
    own = OwnMaterialEntry.model_validate({"name": "my PETG", "like": "PETG", **given})
    finding = found(lighthouse.sheet.model_copy(update={"material": (own,)})).get("test bars of my PETG")
    assert (finding.verdict if finding else None) is verdict


@pytest.mark.parametrize(
    ("station_m", "verdict"), [(1.205, Verdict.GO), (1.150, Verdict.GO), (1.140, Verdict.CAUTION)]
)
def test_a_nozzle_deeper_than_a_diameter_is_told(lighthouse, station_m: float, verdict: Verdict) -> None:
    nozzle = Quantity(value=station_m, text=f"{station_m} m")
    motor = lighthouse.sheet.motor.model_copy(update={"nozzle_station": nozzle})
    finding = found(lighthouse.sheet.model_copy(update={"motor": motor}))["exhaust clear of the tail"]
    assert finding.verdict is verdict
