"""What the page may ask, without a server: what is left out, what is refused."""

import json

import pytest

from finial.core.errors import OutsideRange
from finial.web.controls import BallastControl
from finial.web.question import read_question, read_saving

LEAD = BallastControl(
    name="lead", mass_kg=0.5, min_kg=0.0, max_kg=2.0, step_kg=0.01, unit="g", unit_kg=1e-3, decimals=0
)


def ask(given: object, *, has_fins: bool = True):
    return read_question(json.dumps(given).encode(), (LEAD,), has_fins=has_fins)


def test_what_is_left_out_stays_as_written() -> None:
    asked = ask({})
    assert (asked.ballast_kg, asked.fin_span_scale, asked.sheet) == ({}, 1.0, {})
    assert ask({"ballast": {"lead": 1.5}}).ballast_kg == {"lead": 1.5}


def test_a_page_without_a_sheet_takes_nothing_typed() -> None:
    assert ask({"sheet": {}}).sheet == {}
    with pytest.raises(OutsideRange, match="no sheet to fill in"):
        ask({"sheet": {"vehicle.name": "kite"}})


@pytest.mark.parametrize("typed", [{"a": "1 kg", "b": 2}, {"a": None}, ["a"], "a"])
def test_typed_in_is_text_for_every_place(typed: object) -> None:
    with pytest.raises(OutsideRange, match="places and what was typed"):
        ask({"sheet": typed})


def test_a_vehicle_without_fins_has_no_span() -> None:
    assert ask({"fin_span_scale": 1.0}, has_fins=False).fin_span_scale == 1.0
    with pytest.raises(OutsideRange, match="no fins"):
        ask({"fin_span_scale": 1.1}, has_fins=False)


@pytest.mark.parametrize("kilograms", [-0.01, 2.01, True, "1", None])
def test_a_mass_lies_between_the_ends_of_its_slider(kilograms: object) -> None:
    with pytest.raises(OutsideRange, match="from 0 to 2"):
        ask({"ballast": {"lead": kilograms}})


def test_rounding_beyond_an_end_is_that_end() -> None:
    assert ask({"ballast": {"lead": 2.0 + 1e-9}}).ballast_kg == {"lead": 2.0}


@pytest.mark.parametrize("revision", [None, 12, ["a"]])
def test_saving_says_into_which_revision(revision: object) -> None:
    assert read_saving(b'{"sheet": {"a": "b"}, "revision": "0f"}') == ({"a": "b"}, "0f")
    with pytest.raises(OutsideRange, match="revision"):
        read_saving(json.dumps({"sheet": {}, "revision": revision}).encode())
