"""Numbers in an advice on the recovery: written into the sheet, they turn the finding they are given for."""

from dataclasses import replace

import pytest

from finial.assemble.looks.answer import answer
from finial.assemble.vehicle.changes import changed
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.places import changes_named
from finial.core.estimates import exact
from finial.findings.finding import Finding, Verdict
from finial.findings.limits import Limits
from finial.findings.rules.build_rules import build_findings
from finial.findings.rules.recovery_doubts_rules import recovery_doubts_findings
from finial.findings.rules.recovery_rules import recovery_findings
from finial.recovery.joints.pins import pins_hold
from finial.report.finding_words import limit, what_to_change

LIMITS = Limits(own={})
JOINT = ("recovery", "joint", 0)
CHARGE = ("recovery", "charge")


def judged(vehicle: LoadedVehicle, key: str, name: str) -> Finding:
    found = recovery_findings(answer(vehicle).recovery, LIMITS)
    found += recovery_doubts_findings(vehicle.sheet)
    found += build_findings(vehicle.sheet, motor_diameter_m=0.054, length_m=1.2)
    (one,) = [one for one in found if (one.key, one.subject.name) == (key, name)]
    return one


@pytest.mark.parametrize(
    ("change", "key", "name"),
    [
        ({(*JOINT, "pins"): {"screw": "M3 nylon", "count": 3}}, "charge-opens", "lantern charge"),
        ({(*CHARGE, 0, "powder"): "0.2 g +- 0.02 g"}, "charge-opens", "lantern charge"),
        ({(*CHARGE, 1, "powder"): "0.63 g"}, "backup-larger", "lantern backup charge"),
        ({(*JOINT, "pins"): None}, "pins-hold", "lantern bay"),
        ({(*JOINT, "shoulder"): "10 mm"}, "shoulder", "lantern joint"),
    ],
)
def test_what_is_advised_turns_the_finding(lighthouse, change, key: str, name: str) -> None:
    broken = changed(lighthouse, change)
    found = judged(broken, key, name)
    assert found.verdict is not Verdict.GO
    (fix,) = found.fixes
    assert fix.changes
    mended = changed(broken, changes_named(broken.sheet, fix.changes))
    assert judged(mended, key, name).verdict is Verdict.GO


@pytest.mark.parametrize(("count", "verdict"), [(1, Verdict.NOT_KNOWN), (2, Verdict.GO)])
def test_one_pin_alone_does_not_fly(lighthouse, count: int, verdict: Verdict) -> None:
    one = changed(lighthouse, {(*JOINT, "pins"): {"screw": "M2 nylon", "count": count}})
    found = judged(one, "pins-straight", "lantern joint")
    assert found.verdict is verdict
    assert ("across from the other" in what_to_change(found)) == (verdict is not Verdict.GO)


def test_the_advice_says_its_number(lighthouse) -> None:
    weak = changed(lighthouse, {(*CHARGE, 0, "powder"): "0.2 g"})
    assert "It takes 0.58 g in lantern charge" in what_to_change(
        judged(weak, "charge-opens", "lantern charge")
    )
    bare = changed(lighthouse, {(*JOINT, "pins"): None})
    assert "takes 2 x 2-56 nylon" in what_to_change(judged(bare, "pins-hold", "lantern bay"))
    thread = changed(lighthouse, {("recovery", "cord", 0, "breaking_load"): "300 N"})
    found = judged(thread, "cord-separation", "shock cord")
    assert f"a cord that still holds {limit(found).removeprefix('at least ')} at" in what_to_change(found)


@pytest.mark.parametrize(("early_n", "count"), [(170.0, 3), (300.0, 6)])
def test_pins_are_counted_at_their_weak_end(lighthouse, early_n: float, count: int) -> None:
    """A pin M2 holds 95 N give or take a quarter, 71 N at its weak end; half again of the pull is asked."""
    recovery = answer(lighthouse).recovery
    charges = tuple(replace(one, early_load=exact(early_n)) for one in recovery.charges)
    found = recovery_findings(replace(recovery, charges=charges), LIMITS)
    (pins,) = [one for one in found if one.key == "pins-hold"]
    assert pins.verdict is Verdict.NO_GO
    wanted = {"recovery.joint.lantern joint.pins": {"screw": "M2 nylon", "count": count + 1}}
    weak = pins_hold("M2 nylon", 1).low
    assert count * weak < 1.5 * early_n <= (count + 1) * weak
    assert dict(pins.fixes[0].changes) == wanted


def test_the_drag_area_advised_lands_it_at_the_limits(lighthouse) -> None:
    recovery = answer(lighthouse).recovery
    own = Limits(own={"landing_speed": 4.0, "landing_energy": 1e6})
    (found,) = [one for one in recovery_findings(recovery, own) if one.key == "landing-speed"]
    (fix,) = found.fixes
    area, (canopy,) = fix.facts["area"].value, recovery.canopies
    # Weight equals drag: the speed falls with the root of the area.
    assert recovery.landing_speed.high * (canopy.drag_area.value / area) ** 0.5 == pytest.approx(4.0)
    hard = Limits(own={"landing_speed": 100.0, "landing_energy": 20.0})
    (found,) = [one for one in recovery_findings(recovery, hard) if one.key == "landing-energy"]
    area = found.fixes[0].facts["area"].value
    assert recovery.landing_energy.high * canopy.drag_area.value / area == pytest.approx(20.0)
