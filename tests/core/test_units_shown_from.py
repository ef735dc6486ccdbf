"""Every unit is shown from the very size on that its table says."""

from itertools import pairwise

import pytest

from finial.core import showing
from finial.core.dimensions import Dimension


@pytest.mark.parametrize("us_units", [False, True])
@pytest.mark.parametrize("dimension", Dimension)
def test_a_unit_is_shown_from_its_own_size_on(dimension: Dimension, us_units: bool) -> None:
    scales = sorted(showing._scales(dimension, us_units), key=lambda one: one.shown_from)
    for scale in scales:
        assert showing._shown(scale.shown_from, dimension, us_units)[0] == scale
        assert showing._shown(-scale.shown_from, dimension, us_units)[0] == scale
    for below, scale in pairwise(scales):
        assert showing._shown(scale.shown_from * (1 - 1e-6), dimension, us_units)[0] == below
