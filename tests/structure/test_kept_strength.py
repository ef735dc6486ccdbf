"""What three odd vehicles with bad ends bear, as it was kept: every reserve, by cut, fin, rod and wire.

After a change that is meant: ``PYTHONPATH=src:tests python tests/structure/test_kept_strength.py``.
"""

from functools import partial
from pathlib import Path

import pytest
from bad_ends import bad_end
from kept_answers import BY_MOMENT, BY_TETHER, Kept, hold, keep, kept_of, without

from finial.findings.check import readiness

KEPT = Path(__file__).with_suffix(".json")
NAMES = ("every-key", "pagoda", "buoy-tiers")


def borne(name: str) -> Kept:
    found = readiness(bad_end(name))
    long = without(kept_of({"long": found.strength_study}), BY_TETHER)
    return {**without(kept_of({"quick": found.strength}), BY_MOMENT), **long}


@pytest.mark.parametrize("name", NAMES)
def test_what_is_borne_is_as_kept(name: str) -> None:
    hold(KEPT, name, borne(name))


if __name__ == "__main__":
    keep(KEPT, {name: partial(borne, name) for name in NAMES})
