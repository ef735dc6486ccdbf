from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact
from finial.mass.balance import Share, balance_point


def interval(low: float, value: float, high: float) -> Estimate:
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.ASSUMED)


rising = st.tuples(*[st.floats(0.1, 5.0)] * 3).map(sorted)
shares = st.lists(
    st.builds(lambda m, s: Share(mass=interval(*m), station=interval(*s)), rising, rising),
    min_size=1,
    max_size=5,
)


@settings(max_examples=30, deadline=None)
@given(shares)
def test_the_ends_are_those_of_trying_every_corner(bodies):
    found = balance_point(bodies)
    points = []
    for masses in product(*[(body.mass.low, body.mass.high) for body in bodies]):
        for end in ("low", "high"):
            moment = sum(m * getattr(b.station, end) for m, b in zip(masses, bodies, strict=True))
            points.append(moment / sum(masses))
    assert found.low == pytest.approx(min(points), rel=1e-9)
    assert found.high == pytest.approx(max(points), rel=1e-9)


def test_the_point_is_known_as_well_as_the_weakest_number():
    weighed = Share(mass=exact(1.0, known_by=KnownBy.WEIGHED), station=exact(0.3))
    guessed = Share(mass=interval(0.9, 1.0, 1.1), station=exact(0.6))
    assert balance_point([weighed]).known_by == KnownBy.COMPUTED
    assert balance_point([weighed, guessed]).known_by == KnownBy.ASSUMED


def test_no_bodies_and_no_mass_are_refused():
    with pytest.raises(OutsideRange, match="needs bodies"):
        balance_point([])
    with pytest.raises(OutsideRange, match="needs bodies"):
        balance_point([Share(mass=exact(0.0), station=exact(1.0))])
    with pytest.raises(OutsideRange, match="needs bodies"):
        balance_point([Share(mass=interval(-1.0, 2.0, 2.0), station=exact(1.0))])
