"""Which parts are weak across their layers follows the limit that the sheet asks for, not one of its own."""

from types import SimpleNamespace

import numpy as np
import pytest

from finial.assemble.prints.strength import known_loads
from finial.structure.reserves import FailureMode


@pytest.mark.parametrize(
    ("enough", "weak"),
    [(1.5, ("dome",)), (2.0, ("dome", "tower")), (1.0, ())],
)
def test_a_part_is_weak_where_its_pulled_wall_has_less_in_reserve_than_the_limit(enough, weak):
    along = SimpleNamespace(
        stations_m=np.array([0.1, 0.4, 0.8]),
        reserves=np.array([1.2, 1.7, 0.5]),
        modes=(FailureMode.WALL_PULLED, FailureMode.WALL_PULLED, FailureMode.ROD_PULLED),
    )
    parts = [
        SimpleNamespace(spec=SimpleNamespace(name=name), span_m=span)
        for name, span in (("dome", (0.0, 0.2)), ("tower", (0.2, 0.6)), ("foot", (0.6, 1.0)))
    ]
    found = SimpleNamespace(strength=SimpleNamespace(by_station=along))
    assert known_loads(SimpleNamespace(parts=parts), found, enough).weak == weak
