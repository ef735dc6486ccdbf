"""Every quick finding on eight odd vehicles with bad ends as it was kept: verdict, numbers, cause, fix.

After a change that is meant: ``PYTHONPATH=src:tests python tests/findings/test_kept_findings.py``.
"""

from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest
from bad_ends import CHANGES, bad_end
from kept_answers import Kept, hold, keep, kept_of

from finial.assemble.vehicle.pulls import pulls_of
from finial.findings.causes import groups_of
from finial.findings.check import readiness
from finial.findings.ends import loose_numbers
from finial.findings.readiness import Depth
from finial.findings.tries import has_suiting, needs_long, suiting, times_wanted

KEPT = Path(__file__).with_suffix(".json")
AT_THE_LAST_STEP = frozenset({"spin"})
"""Largest where the way up ends, at the flight's last step there: where that falls hangs on last digits."""


def judged(name: str) -> Kept:
    """Keep the findings by key, which hang together, what suits each, and what stands behind them."""
    vehicle = bad_end(name)
    found = readiness(vehicle, depth=Depth.QUICK)
    pulls = pulls_of(vehicle)
    by_key: dict[str, list[object]] = {}
    for one in found.findings:
        suits = [(pull.kind, pull.name) for pull in suiting(one, pulls)]
        held = replace(one, value=None, margin=None) if one.key in AT_THE_LAST_STEP else one
        told = (held, times_wanted(one), needs_long(one, Depth.QUICK), has_suiting(one), suits)
        by_key.setdefault(f"{one.stage} {one.key}", []).append(told)
    behind = {
        "causes": [[one.key for one in (each.leader, *each.followers)] for each in groups_of(found.findings)],
        "loose numbers": tuple(loose_numbers(vehicle.sheet)),
        "guesses": found.guesses,
        "range": found.range_safety,
        "verdict": found.verdict,
    }
    return kept_of({**by_key, **behind}, 1)


@pytest.mark.parametrize("name", CHANGES)
def test_the_findings_are_those_kept(name: str) -> None:
    hold(KEPT, name, judged(name))


if __name__ == "__main__":
    keep(KEPT, {name: partial(judged, name) for name in CHANGES})
