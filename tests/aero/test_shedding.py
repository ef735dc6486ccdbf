"""What sheds vortices in step, on shapes by hand, and at which speed: Strouhal numbers from memory."""

import numpy as np
import pytest

from finial.aero.body import BodyAir, body_air
from finial.aero.sections.outlines import ellipse, regular_polygon, section_of, skin_of, tapered_skin
from finial.aero.shedding import ShedderKind, shedders, speed_in_step
from finial.core.errors import OutsideRange
from finial.core.estimates import KnownBy, exact, spread


def round_body(profile: list[tuple[float, float]]) -> BodyAir:
    return body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), profile))


def test_a_ledge_sheds_by_its_depth_and_a_gentle_tail_does_not() -> None:
    ledge = [(0.0, 0.0), (0.3, 0.1), (0.4, 0.14), (0.42, 0.14), (0.42, 0.1), (1.5, 0.1)]
    (found,) = shedders(round_body(ledge))
    assert (found.kind, found.start_m) == (ShedderKind.LEDGE, pytest.approx(0.42))
    assert found.height_m == pytest.approx(0.02, rel=0.02)
    assert 0.42 < found.end_m < 0.62
    tail = [(0.0, 0.0), (0.3, 0.1), (1.0, 0.1), (1.5, 0.06)]
    assert shedders(round_body(tail)) == ()


@pytest.mark.parametrize(("dip_m", "number"), [(0.004, 2), (0.008, 1)])
def test_dead_air_that_is_mostly_one_bubble_sheds_once(dip_m: float, number: int) -> None:
    # A radius of 0.2, a groove of 0.06, 0.24 of run: the streamline falls to 0.16. Deeper by 0.012 it is one.
    second = 2 * (0.16 - dip_m)
    profile = [(0.0, 0.0), (0.2, 0.4), (0.4, 0.4), (0.4, 0.28), (0.64, 0.28), (0.64, second)]
    ledges = shedders(round_body([*profile, (0.64001, second), (0.64001, 0.16), (0.9, 0.16)]))
    assert len(ledges) == number


def test_legs_shed_by_their_least_width() -> None:
    leg = regular_polygon(4, 0.03, np.pi / 4) * np.array([1.0, 2.0])
    hull = regular_polygon(4, 0.2, np.pi / 4)
    beside = [leg + np.array([0.08, 0.0]), leg - np.array([0.08, 0.0])]
    stations = [(0.0, [hull]), (0.5, [hull]), (0.501, beside), (0.8, beside)]
    legs = [one for one in shedders(body_air(skin_of([section_of(*one) for one in stations])))]
    (found,) = [one for one in legs if one.kind is ShedderKind.LEG]
    assert (found.start_m, found.end_m) == (0.501, 0.8)
    assert found.height_m == pytest.approx(0.03, rel=0.01)


def test_speed_in_step_of_a_wire_that_sings() -> None:
    # Strouhal 1878, by hand: a wire of 2 mm sings at 1000 Hz in wind of 1000 x 0.002 / 0.2 = 10 m/s.
    found = speed_in_step(exact(1000.0), 0.002)
    assert found.value == pytest.approx(10.0)
    # Roshko 1954: 0.212 on circles, from memory; it lies within.
    assert found.low < 1000.0 * 0.002 / 0.212 < found.high
    wide = speed_in_step(spread(1000.0, 0.1, known_by=KnownBy.COMPUTED), 0.002)
    assert wide.low == pytest.approx(0.9 * found.low)
    assert wide.known_by is KnownBy.HANDBOOK


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(OutsideRange):
        speed_in_step(exact(0.0), 0.01)
    with pytest.raises(OutsideRange):
        speed_in_step(exact(10.0), -0.01)
