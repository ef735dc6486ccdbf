"""A change that is tried by one click is said in words, in the asked units."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import finial.findings.rules
from finial.core.dimensions import Dimension
from finial.findings.finding import Trial, Written
from finial.report.shown import Shown
from finial.report.try_words import try_words

RULES = Path(finial.findings.rules.__file__).parent
SHOULDER = {"recovery.joint.lantern.joint.shoulder": "60 mm"}


def trial(lever: str) -> Trial:
    return Trial(lever=lever, name="steel", was=1.0, size=1.4, dimension=Dimension.MASS, turns=True)


def test_what_was_pulled_at_is_said_as_in_its_advice() -> None:
    assert try_words(trial("ballast"), {}, Shown(us_units=False)) == "steel of 1.4 kg (1 kg now)"


@pytest.mark.parametrize(
    ("named", "metric", "us"),
    [
        (SHOULDER, "lantern.joint overlapping by 60 mm", "lantern.joint overlapping by 2.36 in"),
        ({"vehicle.colour": "white"}, "the outside painted white", "the outside painted white"),
        (
            {"recovery.joint.fore.pins": {"screw": "2-56 nylon", "count": 3}},
            "3 x 2-56 nylon in fore",
            "3 x 2-56 nylon in fore",
        ),
        ({"recovery.cord.main.length": "9.0 m"}, "main of 9 m", "main of 29.5 ft"),
    ],
)
def test_what_a_rule_worked_out_is_said_by_its_places(
    named: dict[str, Written], metric: str, us: str
) -> None:
    assert try_words(trial("fix"), named, Shown(us_units=False)) == metric
    assert try_words(trial("fix"), named, Shown(us_units=True)) == us


def places_of_rules() -> Iterator[str]:
    """Places that rules change, read off the source: names of whom stand as ``{}``."""
    for path in RULES.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Dict):
                for key in node.keys:
                    written = _written(key)
                    if "." in written:
                        yield written


def _written(key: ast.expr | None) -> str:
    if isinstance(key, ast.Constant):
        return str(key.value)
    parts = key.values if isinstance(key, ast.JoinedStr) else []
    return "".join(str(one.value) if isinstance(one, ast.Constant) else "{}" for one in parts)


def test_every_place_that_a_rule_changes_has_words() -> None:
    places = set(places_of_rules())
    assert {"recovery.charge.{}.powder", "vehicle.colour", "item.{}.length"} <= places
    for place in places:
        pins = {"screw": "2-56 nylon", "count": 2}
        value: Written = pins if place.endswith("pins") else "1 g" if place.endswith("powder") else "1 mm"
        said = try_words(trial("fix"), {place.format("someone"): value}, Shown(us_units=False))
        assert "painted" in said or "someone" in said
