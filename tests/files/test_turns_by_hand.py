"""Angles of half a turn at most, and air that anybody stands in."""

import pytest

from finial.files.fields import HalfTurn


def test_half_a_turn_is_the_most() -> None:
    read = HalfTurn.__metadata__[0].read
    assert read("180 deg").value == pytest.approx(3.14159, abs=1e-5)
    with pytest.raises(Exception, match="180"):
        read("181 deg")
