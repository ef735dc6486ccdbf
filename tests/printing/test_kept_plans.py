"""How three odd vehicles are printed on small beds, as it was kept: cuts, turns, walls, effort.

After a change that is meant: ``PYTHONPATH=src:tests python tests/printing/test_kept_plans.py``.
"""

from functools import partial
from pathlib import Path

import pytest
from bad_ends import beside, loaded
from kept_answers import Kept, hold, keep, kept_of

from finial.assemble.prints.plan import print_plan
from finial.findings.check import silent

KEPT = Path(__file__).with_suffix(".json")
BEDS = {
    "skerry-light": '{ bed = ["280 mm", "280 mm", "300 mm"], clearance = "0.2 mm", speed = "60 mm/s" }',
    "pagoda": '{ bed = ["360 mm", "360 mm", "290 mm"], nozzle = "0.6 mm" }',
    "twin-towers": '{ bed = ["350 mm", "300 mm", "300 mm"] }',
}


def planned(name: str) -> Kept:
    vehicle = beside("one_defect").with_changes(loaded(name), [("print", BEDS[name])])
    return kept_of(print_plan(vehicle, silent))


@pytest.mark.parametrize("name", BEDS)
def test_the_plan_is_as_kept(name: str) -> None:
    hold(KEPT, name, planned(name))


if __name__ == "__main__":
    keep(KEPT, {name: partial(planned, name) for name in BEDS})
