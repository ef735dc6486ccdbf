"""How much of what anyone wrote a fault repeats."""

import math

import pytest

from finial.core.errors import Fault, UnitError
from finial.core.local_map import to_local
from finial.core.visible import visible


def fault(name: str, given: str) -> Fault:
    words = {"file": "a", "field": "b", "given": "c", "accepted": "d", "likely_slip": "e", name: given}
    return Fault(
        file=words["file"],
        field=words["field"],
        given=words["given"],
        accepted=words["accepted"],
        likely_slip=words["likely_slip"],
    )


@pytest.mark.parametrize(
    ("name", "longest"),
    [("file", 1000), ("field", 300), ("given", 300), ("accepted", 3000), ("likely_slip", 600)],
)
def test_a_fault_repeats_so_many_characters_and_no_more(name: str, longest: int) -> None:
    assert getattr(fault(name, "x" * longest), name) == "x" * longest
    longer = "x" * (longest + 1)
    assert getattr(fault(name, longer), name) == visible(longer, longest) != longer


def test_a_quantity_that_cannot_be_read_repeats_as_much() -> None:
    longer = "x" * 601
    assert UnitError(given="g", accepted="a", likely_slip=longer[:600]).likely_slip == longer[:600]
    error = UnitError(given=longer[:301], accepted="a", likely_slip=longer)
    assert (error.given, error.likely_slip) == (visible(longer[:301]), visible(longer, 600))
    assert error.given != longer[:301]
    assert error.likely_slip != longer


def test_a_place_over_the_date_line_is_near() -> None:
    """Two thousandths of a degree of the equator, 6378137 m times 3.4907e-5, and not the way round."""
    (place,) = to_local([[-179.999, 0.0]], 0.0, math.radians(179.999)).tolist()
    assert place == pytest.approx([222.639, 0.0], abs=1e-3)
