"""The whole on a scale, from the sheet to masses, totals and findings; 7.763 kg by the table."""

import pytest

from finial.assemble.looks.answer import answer
from finial.assemble.mass.rows import mass_result, mass_rows
from finial.assemble.vehicle.changes import changed, reread
from finial.assemble.vehicle.fins import fin_sets
from finial.core.errors import BuildSheetError
from finial.findings.finding import Verdict
from finial.findings.limits import Limits
from finial.findings.rules.mass_rules import mass_findings

MOTOR_KG, MOTOR_M = 1.48, 1.005
MASS, HUNG = "7.78 kg +- 10 g", "598 mm +- 2 mm"


def weighing(vehicle, **told):
    return changed(vehicle, {("weighing",): told})


def masses(vehicle):
    return mass_result(vehicle, mass_rows(vehicle, fin_sets(vehicle)))


def verdicts(mass):
    return {
        one.key: one.verdict for one in mass_findings(mass, Limits(own={})) if one.key.startswith("whole-")
    }


def test_the_scale_goes_before_the_sum_of_the_table(lighthouse):
    before, after = masses(lighthouse), masses(weighing(lighthouse, motor="out", mass=MASS, balance=HUNG))
    assert after.lift_off_mass.value == pytest.approx(7.78 + MOTOR_KG, abs=1e-4)
    assert after.lift_off_mass.value - before.lift_off_mass.value == pytest.approx(0.0128, abs=1e-3)
    assert after.lift_off_mass.half_width < 0.5 * before.lift_off_mass.half_width
    assert after.lift_off_balance.half_width < 0.7 * before.lift_off_balance.half_width
    by_hand = (7.78 * 0.598 + MOTOR_KG * MOTOR_M) / (7.78 + MOTOR_KG)
    assert after.lift_off_balance.value == pytest.approx(by_hand, abs=1e-3)


def test_the_rows_add_up_to_what_was_weighed(lighthouse):
    found = masses(weighing(lighthouse, motor="out", mass=MASS, balance=HUNG))
    assert sum(row.mass.value for row in found.rows) == pytest.approx(found.lift_off_mass.value, abs=1e-9)
    assert found.lift_off.mass_kg == pytest.approx(found.lift_off_mass.value, abs=1e-9)
    assert found.lift_off.station_m == pytest.approx(found.lift_off_balance.value, abs=1e-9)
    assert all(row.mass.low <= row.mass.value <= row.mass.high for row in found.rows)


def test_it_reaches_the_flight_and_the_margin(lighthouse):
    heavy = weighing(lighthouse, motor="out", mass="7.80 kg +- 5 g", balance="601 mm +- 1 mm")
    light = weighing(lighthouse, motor="out", mass="7.73 kg +- 5 g", balance="595 mm +- 1 mm")
    one, other = answer(heavy), answer(light)
    assert one.flight.apogee_agl.value < other.flight.apogee_agl.value - 1.0
    assert one.stability[0].margin.value < other.stability[0].margin.value - 0.004
    assert one.flight.rail.speed.value < other.flight.rail.speed.value


def test_motor_in_and_motor_out_tell_the_same(lighthouse):
    out = masses(weighing(lighthouse, motor="out", mass=MASS, balance=HUNG))
    whole = (7.78 * 0.598 + MOTOR_KG * MOTOR_M) / (7.78 + MOTOR_KG)
    told = {"mass": f"{7.78 + MOTOR_KG} kg +- 10 g", "balance": f"{whole} m +- 2 mm"}
    loaded = masses(weighing(lighthouse, motor="loaded", **told))
    assert loaded.lift_off_mass.value == pytest.approx(out.lift_off_mass.value, abs=5e-3)
    assert loaded.lift_off_balance.value == pytest.approx(out.lift_off_balance.value, abs=5e-4)


def test_two_scales_tell_what_one_and_a_cord_do(lighthouse):
    aft = 7.78 * (0.598 - 0.2) / 0.8
    scales = [{"at": "0.2 m", "reads": f"{7.78 - aft} kg"}, {"at": "1.0 m", "reads": f"{aft} kg"}]
    found = masses(weighing(lighthouse, motor="out", scales=scales)).weighed
    assert (found.mass.value, found.balance.value) == pytest.approx((7.78, 0.598))


def test_beside_the_axis_it_balances_where_it_was_found_to(lighthouse):
    found = masses(weighing(lighthouse, motor="out", mass=MASS, across=["3 mm", "-2 mm"]))
    motor = MOTOR_KG / found.lift_off.mass_kg
    assert found.lift_off.centre_m[1:] == pytest.approx([0.003 * (1 - motor), -0.002 * (1 - motor)], abs=1e-6)
    loaded = masses(weighing(lighthouse, motor="loaded", mass="9.26 kg", across=["3 mm", "-2 mm"]))
    assert loaded.lift_off.centre_m[1:] == pytest.approx([0.003, -0.002], abs=1e-5)


def test_a_change_is_added_to_what_was_weighed(lighthouse):
    then = weighing(lighthouse, motor="out", mass="7.85 kg +- 10 g", balance="598 mm +- 2 mm")
    now = masses(changed(then, {("item", 0, "mass"): "2.91 kg +- 10 g"}))
    assert now.weighed.agrees
    assert now.lift_off_mass.value == pytest.approx(7.85 + 1.0 + MOTOR_KG, abs=0.02)
    assert now.weighed.balance.value == pytest.approx((7.85 * 0.598 + 1.0 * 0.104) / 8.85)


@pytest.mark.parametrize(
    ("told", "expected"),
    [
        ({}, {"whole-weighed": Verdict.CAUTION}),
        ({"mass": MASS}, {"whole-weighed": Verdict.CAUTION, "whole-mass": Verdict.GO}),
        (
            {"mass": MASS, "balance": HUNG},
            {"whole-weighed": Verdict.GO, "whole-mass": Verdict.GO, "whole-balance": Verdict.GO},
        ),
        # The rows of the table reach from 7.68 to 7.85 kg and from 593 to 603 mm.
        ({"mass": "7.87 kg +- 10 g"}, {"whole-weighed": Verdict.CAUTION, "whole-mass": Verdict.NO_GO}),
        ({"mass": "7.85 kg +- 10 g"}, {"whole-weighed": Verdict.CAUTION, "whole-mass": Verdict.GO}),
        ({"mass": "7.66 kg +- 10 g"}, {"whole-weighed": Verdict.CAUTION, "whole-mass": Verdict.NO_GO}),
        (
            {"mass": MASS, "balance": "610 mm +- 2 mm"},
            {"whole-weighed": Verdict.GO, "whole-mass": Verdict.GO, "whole-balance": Verdict.NO_GO},
        ),
    ],
)
def test_a_table_that_a_scale_contradicts_never_goes(lighthouse, told, expected):
    vehicle = weighing(lighthouse, motor="out", **told) if told else lighthouse
    assert verdicts(masses(vehicle)) == expected


def test_where_they_contradict_the_scale_counts(lighthouse):
    found = masses(weighing(lighthouse, motor="out", mass="8.5 kg", balance="640 mm"))
    assert found.lift_off_mass.value == pytest.approx(8.5 + MOTOR_KG)
    assert found.lift_off_balance.value == pytest.approx((8.5 * 0.64 + MOTOR_KG * MOTOR_M) / (8.5 + MOTOR_KG))
    assert not any(row.alone for row in found.rows)


@pytest.mark.parametrize(
    ("told", "accepted"),
    [
        ({"mass": "1.2 kg"}, "more than the motors alone weigh"),
        (
            {
                "mass": "9.9 kg",
                "scales": [{"at": "0.2 m", "reads": "4.03 kg"}, {"at": "1.02 m", "reads": "5.21 kg"}],
            },
            "readings that agree",
        ),
        (
            {
                "balance": "800 mm",
                "scales": [{"at": "0.2 m", "reads": "4.03 kg"}, {"at": "1.02 m", "reads": "5.21 kg"}],
            },
            "readings that agree",
        ),
    ],
)
def test_readings_that_cannot_be_are_refused(lighthouse, told, accepted):
    with pytest.raises(BuildSheetError, match=accepted):
        reread(lighthouse, {("weighing",): {"motor": "loaded", **told}}, lambda _: ())
