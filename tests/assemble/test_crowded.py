"""Sets of fins and rods that stand in one another, and wires beside their fin, from entries by hand."""

import pytest

from finial.assemble.vehicle.crowded import fins_in_one_place, rods_in_one_place, stays_off_their_fin
from finial.files.sheet_body import FinEntry, RodEntry

SQUARE = [["0 mm", "0 mm"], ["0 mm", "100 mm"], ["100 mm", "100 mm"], ["100 mm", "0 mm"]]


def fin(**given) -> FinEntry:
    usual = {"outline": SQUARE, "station": "500 mm", "count": 4, "thickness": "5 mm", "material": "G10"}
    return FinEntry.model_validate({"name": "fins", **usual, **given})


def rod(**given) -> RodEntry:
    usual = {"thread": "M6", "material": "steel", "count": 4, "on_circle": "80 mm"}
    return RodEntry.model_validate({**usual, "stations": ["300 mm", "700 mm"], **given})


@pytest.mark.parametrize(
    ("given", "stands_in"),
    [
        ({}, True),
        ({"station": "599 mm"}, True),  # 1 mm of it lies over the first
        ({"station": "601 mm"}, False),
        ({"first_at": "90 deg"}, True),  # its second stands where the first's do
        ({"first_at": "45 deg"}, False),
        ({"first_at": "0.5 deg"}, True),
        ({"count": 3, "first_at": "60 deg"}, True),  # 60, 180, 300 degrees: at 180 they meet
        ({"count": 3, "first_at": "30 deg"}, True),  # 30, 150, 270
        ({"count": 3, "first_at": "40 deg"}, False),
        ({"offset": ["80 mm", "0 mm"]}, False),
    ],
)
def test_plates_of_two_sets_in_one_place(given: dict, stands_in: bool) -> None:
    assert list(fins_in_one_place([fin(), fin(**given)])) == ([(0, 1)] if stands_in else [])


@pytest.mark.parametrize(
    ("along", "outward", "off"),
    [
        ("50 mm", "50 mm", False),
        ("100 mm", "100 mm", False),
        ("50 mm", "101 mm", True),
        ("-1 mm", "50 mm", True),
    ],
)
def test_a_wire_holds_a_point_of_its_fin(along: str, outward: str, off: bool) -> None:
    stay = {"diameter": "1 mm", "along": along, "outward": outward, "preload": "20 N"}
    assert list(stays_off_their_fin(fin(stays=[stay]))) == ([0] if off else [])


@pytest.mark.parametrize(
    ("given", "runs_through"),
    [
        ({}, True),
        ({"stations": ["700 mm", "900 mm"]}, False),  # end to end
        ({"stations": ["699 mm", "900 mm"]}, True),
        ({"first_at": "45 deg"}, False),
        ({"on_circle": "91 mm"}, True),  # 5.5 mm apart, 6 mm thick
        ({"on_circle": "93 mm"}, False),
        ({"thread": "M8", "on_circle": "93 mm"}, True),  # 6.5 mm apart, half of 6 and of 8 mm is 7
    ],
)
def test_rods_of_two_sets_in_one_place(given: dict, runs_through: bool) -> None:
    assert list(rods_in_one_place([rod(), rod(**given)])) == ([(0, 1)] if runs_through else [])
