"""Every quick finding on eight odd vehicles with bad ends as it was kept: verdict, numbers, cause, fix.

After a change that is meant: ``PYTHONPATH=src:tests python tests/findings/test_kept_findings.py``.
"""

from functools import partial
from pathlib import Path

import pytest
from bad_ends import CHANGES, bad_end
from kept_answers import Kept, hold, keep, kept_of

from finial.findings.check import readiness
from finial.findings.readiness import Depth

KEPT = Path(__file__).with_suffix(".json")


def judged(name: str) -> Kept:
    found = readiness(bad_end(name), depth=Depth.QUICK)
    by_key: dict[str, list[object]] = {}
    for finding in found.findings:
        by_key.setdefault(f"{finding.stage} {finding.key}", []).append(finding)
    return kept_of(
        {**by_key, "guesses": found.guesses, "range": found.range_safety, "verdict": found.verdict}, 1
    )


@pytest.mark.parametrize("name", CHANGES)
def test_the_findings_are_those_kept(name: str) -> None:
    hold(KEPT, name, judged(name))


if __name__ == "__main__":
    keep(KEPT, {name: partial(judged, name) for name in CHANGES})
