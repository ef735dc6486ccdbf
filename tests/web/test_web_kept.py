"""What is kept between two questions of the page changes no answer, whichever slider moves."""

import json
from pathlib import Path

import pytest

from finial.assemble.vehicle.levers import ballast, span
from finial.core.kept_parts import forget_all
from finial.findings.check import load, readiness
from finial.findings.readiness import Depth
from finial.web.controls import SPAN_SCALE_ENDS, ballast_controls
from finial.web.payload import answer_text, as_json, as_text, page_answer, plain
from finial.web.records import PageChange

EVERY_KEY = Path(__file__).parents[2] / "examples" / "every-key" / "every-key.toml"


@pytest.fixture(scope="module")
def vehicle():
    return load(EVERY_KEY)


def told(vehicle, changes) -> str:
    return answer_text(readiness(vehicle, changes, depth=Depth.QUICK))


def positions(vehicle):
    """Every slider moved alone, then all at once, twice."""
    sheet, (low, high) = vehicle.sheet, SPAN_SCALE_ENDS
    controls = ballast_controls(readiness(vehicle, depth=Depth.QUICK))

    def each(part: float) -> list[dict]:
        masses = {one.name: one.min_kg + part * (one.max_kg - one.min_kg) for one in controls}
        return [
            *(ballast(sheet, name, mass) for name, mass in masses.items()),
            *(span(sheet, fin.name, low + part * (high - low)) for fin in sheet.fin),
        ]

    def together(part: float) -> dict:
        return {place: value for moved in each(part) for place, value in moved.items()}

    return [*each(0.3), together(0.3), together(0.8)]


def test_every_slider_gives_the_answer_that_is_computed_afresh(vehicle) -> None:
    asked = positions(vehicle)
    assert len(asked) >= 4
    forget_all()
    kept = [told(vehicle, one) for one in asked]
    assert len(set(kept)) == len(asked)
    for one, found in zip(asked, kept, strict=True):
        forget_all()
        assert told(vehicle, one) == found, one


def test_an_answer_is_written_as_its_dictionary_would_be(vehicle) -> None:
    for changes in positions(vehicle)[::2]:
        found = readiness(vehicle, changes, depth=Depth.QUICK)
        told = page_answer(found)
        assert as_text(told) == as_json(plain(told))
        assert json.loads(answer_text(found)) == json.loads(as_text(told))


@pytest.mark.parametrize(
    "value",
    ['a "quoted" \\ word\n\t\x00 – 5 °C', 1.5, True, None, 3, (), (1.0, 2), ("a", (True, None)), {"a": (1,)}],
)
def test_everything_that_a_record_may_hold_is_written_alike(value) -> None:
    change = PageChange(says=value, typed=value, said=(value,))
    assert as_text(change) == as_json(plain(change))
    assert as_text(value) == as_json(plain(value))
