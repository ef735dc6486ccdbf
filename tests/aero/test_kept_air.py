"""The air of eight odd vehicles and of twenty odd shapes as it was kept: bands, drag, table, damping.

After a change that is meant: ``PYTHONPATH=src:tests python tests/aero/test_kept_air.py``.
"""

from functools import partial
from pathlib import Path

import numpy as np
import pytest
from bad_ends import CHANGES, bad_end, beside
from kept_answers import Asked, Kept, hold, keep, kept_of, told

from finial.aero.body import body_air
from finial.aero.crooked import zero_loads
from finial.aero.fins.on_body import fin_air
from finial.aero.steps.ledges import whole_outside
from finial.aero.table.build import TableInputs, air_table, drag_at
from finial.assemble.air.source import air_loads
from finial.shape.fin_set import FinSet
from finial.shape.sections import slice_skin

KEPT = Path(__file__).with_suffix(".json")
BALANCE_M = 0.45
ODD = beside("odd_shapes", "properties")
FINS = FinSet(
    name="fins",
    outline_m=np.array([[0.0, 0.0], [0.05, 0.12], [0.15, 0.12], [0.2, 0.0]]),
    station_m=0.3,
    root_radius_m=0.05,
    count=3,
    first_at_rad=0.4,
    thickness_m=0.004,
)


def vehicle(name: str) -> Kept:
    return kept_of(air_loads(bad_end(name), BALANCE_M, (0.002, -0.001)))


def shape(name: str) -> Kept:
    """Keep what the air does to a bare shape, and with fins that stand where they may."""
    skin = slice_skin([ODD.mesh_of(ODD.SHAPES[name]())])
    body, inputs = body_air(skin), TableInputs(damping_centre_m=BALANCE_M)
    fins = fin_air(body, (FINS,))
    return kept_of(
        {
            "body": body,
            "outside": whole_outside(skin),
            "at rest": zero_loads(body),
            "drag": [drag_at(body, found, inputs, 0.3) for found in ((), fins)],
            "table": air_table(body, fins, inputs),
        }
    )


ASKED: list[tuple[Asked, str]] = [
    *((vehicle, name) for name in CHANGES),
    *((shape, name) for name in ODD.SHAPES),
]


@pytest.mark.parametrize(("asked", "name"), ASKED, ids=lambda one: getattr(one, "__name__", one))
def test_the_air_is_as_kept(asked: Asked, name: str) -> None:
    hold(KEPT, told(asked, name), asked(name))


if __name__ == "__main__":
    keep(KEPT, {told(asked, name): partial(asked, name) for asked, name in ASKED})
