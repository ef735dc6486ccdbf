"""Currents and pad times of Skerry Light's wiring against Ohm's law."""

import pytest

from finial.assemble.electronics import electronics_result
from finial.core.units import Quantity


def with_electronics(vehicle, **tables):
    sheet = vehicle.sheet
    return sheet.model_copy(update={"electronics": sheet.electronics.model_copy(update=tables)})


def test_firing_current_by_ohms_law(answered) -> None:
    # 7.4 V through battery 0.1, switch 0.02, igniter 1.5 and wires 0.2 ohm.
    by_hand = 7.4 / (0.1 + 0.02 + 1.5 + 0.2)
    assert [path.current.value for path in answered.electronics.paths] == pytest.approx([by_hand] * 2)


def test_pad_time_is_at_most_capacity_over_current(answered) -> None:
    times = dict(answered.electronics.pad_times)
    assert 0.6 * 20 * 3600 < times["battery A"].value <= 20 * 3600
    assert times["battery B"].value / times["battery A"].value == pytest.approx(25 / 12)


def test_every_igniter_is_checked_by_its_own_computer(lighthouse) -> None:
    given = lighthouse.sheet.electronics
    silent = given.computer[1].model_copy(update={"continuity_current": None})
    doubtful = given.igniter[0].model_copy(update={"no_fire": Quantity(value=0.3, tolerance=0.1, text="")})
    sheet = with_electronics(
        lighthouse, computer=(given.computer[0], silent), igniter=(doubtful, given.igniter[1])
    )
    first, second = electronics_result(sheet).checks
    assert (first.igniter, first.computer, first.current.value) == ("igniter A", "computer A", 0.002)
    assert first.no_fire_a == pytest.approx(0.2)
    assert (second.igniter, second.computer, second.current) == ("igniter B", "computer B", None)


def test_two_of_everything_leave_no_single_point(answered) -> None:
    assert answered.electronics.single_points == ()


def test_both_igniters_on_one_computer_make_single_points(lighthouse) -> None:
    electronics = lighthouse.sheet.electronics
    igniters = tuple(one.model_copy(update={"computer": "computer A"}) for one in electronics.igniter)
    found = electronics_result(with_electronics(lighthouse, igniter=igniters))
    alone = " ".join(found.single_points)
    for part in ("battery A", "switch A", "computer A"):
        assert f"{part} loses main" in alone
    assert "igniter A" not in alone


def test_an_igniter_set_to_another_event_is_told(lighthouse) -> None:
    from finial.files.sheet_recovery import EventEntry

    late = EventEntry(after_lift_off=Quantity(value=20.0, text="20 s"))
    igniters = tuple(one.model_copy(update={"event": late}) for one in lighthouse.sheet.electronics.igniter)
    assert electronics_result(with_electronics(lighthouse, igniter=igniters)).off_event == ("main",)


def test_wires_nobody_entered_widen_the_current(lighthouse) -> None:
    igniters = tuple(
        one.model_copy(update={"wiring_resistance": None}) for one in lighthouse.sheet.electronics.igniter
    )
    path = electronics_result(with_electronics(lighthouse, igniter=igniters)).paths[0]
    assert path.current.low < 7.4 / 1.82 < path.current.high
