"""Which findings say that people can be hurt, and which come before all others: listed by hand."""

import importlib
import pkgutil
from collections.abc import Iterable

import finial.findings.rules
from finial.findings import check
from finial.findings.finding import Finding
from finial.findings.limits import Limits
from finial.findings.long_looks import looked_quickly
from finial.findings.range_stage import range_result
from finial.findings.rule import Rule

LIMITS = Limits(own={})
HURTS_NOBODY = {
    *("guessed-mass", "part-weight", "part-weights", "whole-balance", "whole-mass", "whole-weighed"),
    *("cord-mass", "masses-and-sizes", "sizes-given", "meshes", "fits-the-bed", "wall-as-drawn", "test-bars"),
    *("all-get-in", "in-its-room", "loose-pieces", "fin-root", "clean-air", "motor-misfit", "exhaust-clear"),
    *("lands", "methods-range", "pad-time", "waits-for-height", "sides-keep-apart", "pins-straight"),
    *("nothing-brittle", "nothing-sheds-in-step", "motor-tube-weighed"),
    *("pull-test-cord", "lip-holds", "nothing-softens", "soft-in-the-sun", "warm-part", "stays-would-help"),
}
"""What nobody weighed, prints that come out otherwise, a lower or a longer flight, a part to be made anew."""
FIRST = {
    *("before-burnout", "brought-down", "lost-flight", "usual-number"),
    *("burns-once", "lifts-soon", "shape-and-things"),
}
"""What all other numbers hang on."""


def constant_rules() -> Iterable[Rule]:
    for module in pkgutil.iter_modules(finial.findings.rules.__path__):
        found = importlib.import_module(f"finial.findings.rules.{module.name}")
        yield from (one for one in vars(found).values() if isinstance(one, Rule))


def of_the_lighthouse(answered) -> Iterable[Finding]:
    yield from check._findings(answered, range_result(answered), LIMITS)
    yield from looked_quickly(answered, LIMITS).findings


def told_otherwise(every: list[Rule] | list[Finding]) -> set[str]:
    """Keys that stand in another list than their findings do."""
    return {
        one.key
        for one in every
        if (one.safety, one.urgent) != (one.key not in HURTS_NOBODY, one.key in FIRST)
    }


def test_what_hurts_nobody_and_what_comes_first_among_constant_rules() -> None:
    rules = list(constant_rules())
    assert len(rules) > 60
    assert told_otherwise(rules) == set()
    assert {one.key for one in rules} >= FIRST


def test_what_hurts_nobody_and_what_comes_first_in_a_whole_answer(answered) -> None:
    found = list(of_the_lighthouse(answered))
    assert told_otherwise(found) == set()
    assert {one.key for one in [*constant_rules(), *found]} >= HURTS_NOBODY
