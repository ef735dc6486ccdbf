"""Where eight odd vehicles with bad ends are heavy, as it was kept: rows, balance, moments, burning.

After a change that is meant: ``PYTHONPATH=src:tests python tests/mass/test_kept_masses.py``.
"""

from functools import partial
from pathlib import Path

import pytest
from bad_ends import CHANGES, bad_end
from kept_answers import Kept, hold, keep, kept_of

from finial.assemble.mass.lumps import row_lumps
from finial.assemble.mass.rows import mass_history, mass_result, mass_rows
from finial.assemble.vehicle.fins import fin_sets

KEPT = Path(__file__).with_suffix(".json")


def weighed(name: str) -> Kept:
    vehicle = bad_end(name)
    rows = mass_rows(vehicle, fin_sets(vehicle))
    return kept_of(
        {
            "solids": [part.solid for part in vehicle.parts],
            "rows": rows,
            "result": mass_result(vehicle, rows),
            "burning": mass_history(vehicle, rows),
            "lumps": [row_lumps(vehicle.skin, row) for row in rows],
        }
    )


@pytest.mark.parametrize("name", CHANGES)
def test_the_masses_are_as_kept(name: str) -> None:
    hold(KEPT, name, weighed(name))


if __name__ == "__main__":
    keep(KEPT, {name: partial(weighed, name) for name in CHANGES})
