"""The slots of a jig are open where a fin comes in."""

import numpy as np
import pytest

from finial.printing.cuts import NO_DEMAND
from finial.printing.jig import JigFins, fin_jig


def test_a_slot_runs_out_through_the_end_of_its_arm() -> None:
    """A body 100 mm square, 0.3 mm play: corner of the collar, 55.15 mm out both ways, and 35 mm of arm."""
    square = np.array([[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]])
    jig = fin_jig([square], JigFins(count=1, first_at_rad=0.0, thickness_m=0.006), 0.0003)
    end = 0.05515 * 2**0.5 + 0.035
    assert jig.bounding_box()[3] == pytest.approx(end)
    upper = jig.trim_by_plane((0.0, 0.0, 1.0), 0.0051).trim_by_plane((1.0, 0.0, 0.0), end - 5e-4)
    # Two cheeks of 4 mm; nothing between them.
    assert upper.volume() == pytest.approx(2 * 4e-3 * 5e-4 * (0.02 - 0.0051), rel=1e-4)


def test_where_no_loads_are_known_nothing_is_asked_anywhere() -> None:
    assert (len(NO_DEMAND.stations_m), len(NO_DEMAND.shares)) == (0, 0)
    assert NO_DEMAND.at(np.array([0.1, 0.2])).tolist() == [0.0, 0.0]
