"""What closes a bay, and what a cord is tied to, from a whole sheet."""

import math
from dataclasses import replace

import pytest

from finial.assemble.inside.results import BayEnd
from finial.assemble.recovery.lines import cord_result
from finial.assemble.recovery.moments import recovery_moments
from finial.assemble.strength.closing import PlateScene, plate_rows
from finial.assemble.strength.pulls import quick_pulls
from finial.assemble.strength.quick import bay_pressures
from finial.assemble.vehicle.materials import sheet_material
from finial.core.units import Quantity
from finial.files.sheet import Sheet
from finial.files.sheet_body import EyeEntry, ItemEntry
from finial.files.sheet_motor import RetainerEntry
from finial.files.sheet_recovery import PowderChargeEntry
from finial.materials.glue import glue
from finial.materials.material import material
from finial.structure.loads.case import Half, Load
from finial.structure.reserves import Because, FailureMode, Reserve

FORE, AFT = "bulkhead and eye bolt", "floor of the bay"


def with_item(sheet: Sheet, name: str, **more) -> Sheet:
    """The sheet with another plate, written as in a sheet."""
    items = tuple(_changed(item, more) if item.name == name else item for item in sheet.item)
    return sheet.model_copy(update={"item": items})


def _changed(item: ItemEntry, more: dict) -> ItemEntry:
    base = {"name": item.name, "mass": "1 g", "station": "1 mm"}
    given = {key: value for key, value in more.items() if value is not None}
    read = ItemEntry.model_validate({**base, **given})
    return item.model_copy(update={key: getattr(read, key) for key in more})


@pytest.fixture(scope="module")
def scene(answered) -> PlateScene:
    sheet = answered.vehicle.sheet
    return PlateScene(
        sheet=sheet,
        ends=answered.inside.fittings.bay_ends,
        pressures=bay_pressures(answered.vehicle, answered.recovery),
        pulls=quick_pulls(sheet, answered.recovery),
        stuff=lambda name: sheet_material(sheet, name),
        left=lambda _name: 1.0,
    )


def rows(scene: PlateScene, mode: FailureMode, load: Load | None = None) -> list[Reserve]:
    found = [row for row in plate_rows(scene) if row.mode is mode]
    return [row for row in found if load is None or (row.case and row.case.load is load)]


def test_both_ends_bear_the_charge_and_its_backup_together(scene, answered) -> None:
    both = sum(charge.pressure.value for charge in answered.recovery.charges)
    fore, aft = rows(scene, FailureMode.PLATE_BREAKS, Load.CHARGE_FIRES)
    assert (fore.subject, aft.subject) == (FORE, AFT)
    for row, across in ((fore, 75.6e-3), (aft, 79e-3)):
        # Timoshenko, articles 16 and 17, between clamped and supported; plywood has a Poisson's ratio of 0.2.
        factor = (0.75 + 3 * 3.2 / 8) / 2
        assert row.load.value == pytest.approx(factor * both * (across / 2 / 9e-3) ** 2, rel=1e-6)
        assert row.strength == material("birch plywood").yield_pa
        assert row.because is Because.SAGS
        assert 0.0 < row.numbers["sag"] < 1e-3


def test_the_cord_pulls_with_all_its_tension_at_each_end(scene, answered) -> None:
    peak = max(answered.recovery.cords[0].peak_load.high, answered.recovery.canopies[0].opening_load.high)
    found = {row.case.half: row for row in rows(scene, FailureMode.EYE_BREAKS)}
    assert found[Half.FORE].load.high == pytest.approx(peak)
    # A U-bolt stands on two legs.
    assert found[Half.AFT].load.high == pytest.approx(peak / 2)
    assert (found[Half.FORE].subject, found[Half.AFT].subject) == (FORE, AFT)
    (fore, _) = rows(scene, FailureMode.PLATE_BREAKS, Load.CORD_PULLS)
    # Roark: supported, 3 F / (2 pi t2) [(1 + nu) ln(a / r) + 1].
    wanted = 3 * peak / (2 * math.pi * 81e-6) * (1.2 * math.log(75.6 / 25) + 1)
    assert fore.load.high == pytest.approx(wanted, rel=1e-6)


def test_the_rim_holds_by_the_weaker_of_glue_and_plate_or_by_test(scene) -> None:
    fore, _ = rows(scene, FailureMode.PLATE_LETS_GO, Load.CHARGE_FIRES)
    assert fore.strength == glue("epoxy on print").shear_pa
    tested = replace(scene, sheet=with_item(scene.sheet, FORE, holds="3 kN +- 1 kN"))
    fore, _ = rows(tested, FailureMode.PLATE_LETS_GO, Load.CHARGE_FIRES)
    pushed = scene.pressures["lantern bay"].scaled(math.pi / 4 * 75.6e-3**2)
    assert (fore.strength.low, fore.load.high) == pytest.approx((2000.0, pushed.high))
    soft = replace(scene, sheet=with_item(scene.sheet, FORE, glue="epoxy on metal or G10"))
    fore, _ = rows(soft, FailureMode.PLATE_LETS_GO, Load.CHARGE_FIRES)
    assert fore.strength == material("birch plywood").punched_pa


@pytest.mark.parametrize(
    ("more", "mode", "because"),
    [
        ({"material": None}, FailureMode.PLATE_BREAKS, Because.PLATE_UNSAID),
        ({"length": None}, FailureMode.PLATE_BREAKS, Because.PLATE_UNSAID),
        ({"across": None}, FailureMode.PLATE_BREAKS, Because.PLATE_UNSAID),
        ({"glue": None}, FailureMode.PLATE_LETS_GO, Because.RIM_UNSAID),
        ({"eye": None}, FailureMode.EYE_UNSAID, None),
    ],
)
def test_what_is_not_said_is_not_known(scene, more, mode, because) -> None:
    found = rows(replace(scene, sheet=with_item(scene.sheet, FORE, **more)), mode)
    unknown = [row for row in found if row.reserve is None]
    assert unknown
    assert all(row.because is because for row in unknown)


def test_printed_plates_count_by_what_holds_across_their_layers(scene) -> None:
    printed = replace(scene, sheet=with_item(scene.sheet, FORE, material="PETG"))
    fore, _ = rows(printed, FailureMode.PLATE_BREAKS, Load.CHARGE_FIRES)
    assert fore.strength == material("PETG").upright_pa


def test_a_cord_may_be_tied_elsewhere_and_an_end_that_print_closes_holds_no_cord(scene) -> None:
    cord = scene.sheet.recovery.cord[0].model_copy(update={"tied_to": (AFT, AFT)})
    recovery = scene.sheet.recovery.model_copy(update={"cord": (cord,)})
    elsewhere = replace(scene, sheet=scene.sheet.model_copy(update={"recovery": recovery}))
    assert {row.subject for row in rows(elsewhere, FailureMode.EYE_BREAKS)} == {AFT}
    bare = tuple(replace(end, plate="") for end in scene.ends)
    unknown = rows(replace(scene, ends=bare), FailureMode.EYE_UNSAID)
    assert [row.because for row in unknown] == [Because.TIE_UNSAID] * 2
    assert unknown[0].subject == "shock cord"


def test_sides_make_a_plate_with_corners(scene) -> None:
    square = replace(scene, sheet=with_item(scene.sheet, FORE, across=None, sides=["60 mm", "70 mm"]))
    fore, _ = rows(square, FailureMode.PLATE_LETS_GO, Load.CHARGE_FIRES)
    assert fore.load.value == pytest.approx(scene.pressures["lantern bay"].value * 60 / (2 * 9))


def test_a_bulkhead_goes_before_other_things_that_close_an_end(answered) -> None:
    ends: tuple[BayEnd, ...] = answered.inside.fittings.bay_ends
    assert [end.plate for end in ends] == [FORE, AFT]


def test_an_eye_is_of_one_leg_of_steel_unless_told() -> None:
    eye = EyeEntry.model_validate({"thread": "M6", "washer": "25 mm"})
    assert (eye.legs, eye.material) == (1, "steel")


def test_a_cord_stops_what_a_charge_and_its_backup_part_together(answered) -> None:
    sheet, moments = answered.vehicle.sheet, recovery_moments(answered.basis)
    cord, (first, backup) = sheet.recovery.cord[0], sheet.recovery.charge

    def peak(*charges: PowderChargeEntry) -> float:
        recovery = sheet.recovery.model_copy(update={"charge": charges})
        return cord_result(sheet.model_copy(update={"recovery": recovery}), cord, moments).peak_load.value

    both = Quantity(value=first.powder.value + backup.powder.value)
    one = first.model_copy(update={"powder": both})
    assert peak(first, backup) == pytest.approx(peak(one), rel=1e-9)
    assert peak(first, backup) > 1.2 * max(peak(first), peak(backup.model_copy(update={"backup_of": None})))
    # Charges that do not stand in for one another have moments of their own.
    alone = backup.model_copy(update={"backup_of": None})
    assert peak(first, alone) == pytest.approx(max(peak(first), peak(alone)))


# ---------------------------------------------------------------- a motor that closes a bay


def closed_by_a_motor(scene: PlateScene, retainer: RetainerEntry | None) -> PlateScene:
    """The scene with a motor of 54 mm where the floor of the bay was."""
    fore, aft = scene.ends
    motor = replace(aft, plate="Demo K500", motor="Demo K500", motor_across_m=0.054)
    mount = scene.sheet.motor.model_copy(update={"retainer": retainer})
    return replace(scene, sheet=scene.sheet.model_copy(update={"motor": mount}), ends=(fore, motor), pulls=())


def test_a_motor_that_closes_a_bay_is_pushed_aft_by_both_charges_and_held_by_its_screws(scene) -> None:
    keep = RetainerEntry.model_validate({"screw": "M4", "count": 3})
    (row,) = rows(closed_by_a_motor(scene, keep), FailureMode.MOTOR_LEAVES)
    assert (row.case.load, row.subject, row.station_m) == (Load.CHARGE_FIRES, "Demo K500", 0.66)
    # p A: a round end of 54 mm is 22.9 cm2.
    assert row.load.value == pytest.approx(scene.pressures["lantern bay"].value * 2.290e-3, rel=1e-3)
    # Three screws of 8.78 mm2 each; ISO 898-1.
    assert row.strength.value == pytest.approx(3 * 8.78e-6 * material("steel").yield_pa.value, rel=1e-3)


def test_screws_in_print_let_a_pushed_motor_go(scene) -> None:
    keep = RetainerEntry.model_validate(
        {"screw": "M2.5", "count": 1, "holds_in": "PETG", "engagement": "3 mm"}
    )
    (row,) = rows(closed_by_a_motor(scene, keep), FailureMode.MOTOR_LEAVES)
    assert row.reserve.low < 1.5


def test_what_keeps_a_pushed_motor_in_is_asked_for(scene) -> None:
    (row,) = rows(closed_by_a_motor(scene, None), FailureMode.MOTOR_LEAVES)
    assert (row.reserve, row.because) == (None, Because.RETAINER_UNSAID)


def test_a_bay_without_a_charge_pushes_no_motor(scene) -> None:
    quiet = replace(closed_by_a_motor(scene, None), pressures={})
    assert rows(quiet, FailureMode.MOTOR_LEAVES) == []
