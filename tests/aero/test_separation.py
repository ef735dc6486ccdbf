"""What steps and overhangs leave of the growth of added mass."""

import numpy as np
import pytest

from finial.aero.steps.fronts import LOST_CLOSED, faded
from finial.aero.steps.separation import body_growth, envelope
from finial.shape.lips import STREAMLINE_SLOPE


def stack(stations: list[float], sizes: list[float]) -> tuple[np.ndarray, np.ndarray]:
    return np.array(stations), np.pi * np.array(sizes)[:, None, None] ** 2 * np.eye(2)


def test_a_smooth_nose_has_no_bubble() -> None:
    stations = np.linspace(0.0, 3.0, 40)
    growth = body_growth(*stack(stations.tolist(), np.sqrt(stations).tolist()))
    assert growth.bubbles == ()
    assert np.array_equal(growth.attached_m2, growth.separated_m2)


def test_a_boat_tail_gentler_than_the_streamline_stays_attached() -> None:
    gentle = body_growth(*stack([0.0, 10.0, 11.0], [1.0, 1.0, 1.0 - 0.9 * STREAMLINE_SLOPE]))
    steep = body_growth(*stack([0.0, 10.0, 11.0], [1.0, 1.0, 1.0 - 1.5 * STREAMLINE_SLOPE]))
    assert gentle.bubbles == ()
    assert len(steep.bubbles) == 1


def test_a_bubble_holds_exactly_what_separation_loses() -> None:
    growth = body_growth(*stack([0.0, 1.0, 1.0, 9.0, 9.0, 12.0], [1.0, 1.0, 0.4, 0.4, 0.9, 0.9]))
    lost = sum(bubble.growth_m2 for bubble in growth.bubbles)
    assert growth.separated_m2.sum(axis=0) + lost == pytest.approx(growth.attached_m2.sum(axis=0))
    moment = sum(bubble.moment_m3 for bubble in growth.bubbles)
    whole = np.einsum("n,nij->ij", growth.stations_m, growth.attached_m2 - growth.separated_m2)
    assert moment == pytest.approx(whole)


def test_behind_a_ledge_only_what_rises_above_the_streamline_counts() -> None:
    # Lip of 1 at station 1; a second tier of 1.2 stands 1.2 widths behind: the streamline
    # has fallen to 0.8 there, so the area between 0.8 and 1.2 counts.
    growth = body_growth(*stack([0.0, 1.0, 1.0, 2.2, 2.2, 5.0], [1.0, 1.0, 0.4, 0.4, 1.2, 1.2]))
    total = np.trace(growth.separated_m2.sum(axis=0)) / 2
    assert total == pytest.approx(np.pi * (1.0 + 1.2**2 - 0.8**2), rel=1e-6)


def test_sheltered_depth_ends_where_the_streamline_lands() -> None:
    stations = np.linspace(0.0, 10.0, 201)
    sizes = np.where(stations < 2.0, 1.0, 0.5)
    line = envelope(stations, sizes)
    landing = stations[np.flatnonzero(line > sizes + 1e-9)[-1]]
    assert landing == pytest.approx(2.0 + 0.5 / STREAMLINE_SLOPE, abs=0.1)


def test_growth_at_the_edge_of_a_base_lifts_nothing_and_far_ahead_all() -> None:
    flare = body_growth(*stack([0.0, 5.0, 5.001], [0.5, 0.5, 1.0]))
    left = 1.0 - LOST_CLOSED[1]
    assert np.trace(flare.felt_m2.sum(axis=0)) / 2 == pytest.approx(left * np.pi * 0.25, rel=0.02)
    early = body_growth(*stack([0.0, 1.0, 9.0], [0.0, 1.0, 1.0]))
    assert np.trace(early.let_go_m2.sum(axis=0)) < 1e-3 * np.trace(early.attached_m2.sum(axis=0))


def test_a_torn_off_lip_takes_the_place_of_the_base_and_a_closed_one_does_not() -> None:
    # A flare up to a lip of 1, then a stub of 0.4: short, its dead air ends open; long, it has closed.
    short, long = (
        body_growth(*stack([0.0, 1.0, 2.0, 2.0, end], [0.5, 0.5, 1.0, 0.4, 0.4])) for end in (2.2, 8.0)
    )
    for growth in (short, long):
        assert [bubble.followed for bubble in growth.bubbles] == [0.0]
    lost = [np.trace(growth.bubbles[0].let_go_m2) for growth in (short, long)]
    assert lost[0] > 0.3 * 2 * np.pi * (1.0 - 0.25)
    assert lost[1] == 0.0
    assert short.kept < 0.8 < 0.9 < long.kept


def test_the_share_that_the_air_follows_falls_with_the_slope_of_the_tail() -> None:
    def followed(degrees: float) -> float:
        length = 0.4 / np.tan(np.radians(degrees))
        growth = body_growth(*stack([0.0, 10.0, 10.0 + length], [1.0, 1.0, 0.6]))
        return growth.bubbles[0].followed

    shares = [followed(degrees) for degrees in (10.0, 15.0, 20.0, 24.0, 30.0)]
    assert shares == sorted(shares, reverse=True)
    assert shares[0] > 0.95
    assert shares[-1] == 0.0


@pytest.mark.parametrize("beside", [1e-6, 0.004, 0.01, 0.02])
def test_a_bubble_begins_where_the_streamline_leaves_wherever_the_next_cut_stands(beside: float) -> None:
    # Behind the lip the outline falls at 1 in 4: a cut 0.02 behind it is too shallow for a bubble of its own.
    ends = [0.0, 10.0, 10.0 + beside, 12.0]
    (bubble,) = body_growth(*stack(ends, [1.0, 1.0, 1.0 - beside / 4, 0.5])).bubbles
    assert bubble.start_m == 10.0
    assert bubble.growth_m2[0, 0] == pytest.approx(-0.75 * np.pi, rel=1e-9)


def test_what_is_shallow_all_along_is_no_bubble() -> None:
    shallow = [1.0, 1.0, 0.9985, 0.9985]
    assert body_growth(*stack([0.0, 1.0, 1.0, 3.0], shallow)).bubbles == ()
    assert len(body_growth(*stack([0.0, 1.0, 1.0, 3.0], [1.0, 1.0, 0.9975, 0.9975])).bubbles) == 1


def test_two_bubbles_become_one_a_little_at_a_time() -> None:
    # Two ledges: the streamline of the first touches the second's lip, and then lies ever farther above it.
    def held(dip: float) -> np.ndarray:
        sizes = [1.0, 1.0, 0.7, 0.7, 0.8 - dip, 0.8 - dip, 0.4, 0.4]
        growth = body_growth(*stack([0.0, 1.0, 1.0, 2.2, 2.2, 2.20001, 2.20001, 3.0], sizes))
        least = sum(bubble.followed * np.trace(bubble.growth_m2) for bubble in growth.bubbles)
        most = sum(bubble.most_followed * np.trace(bubble.growth_m2) for bubble in growth.bubbles)
        assert sum(bubble.growth_m2 for bubble in growth.bubbles) == pytest.approx(
            (growth.attached_m2 - growth.separated_m2).sum(axis=0)
        )
        return np.array([least, most, np.trace(growth.felt_m2.sum(axis=0)), growth.kept])

    found = np.array([held(dip) for dip in np.arange(-0.01, 0.05, 0.002)])
    assert np.abs(np.diff(found, axis=0)).max() < 0.08
    assert np.abs(found[0] - found[-1]).max() > 0.3


def test_dead_air_with_a_deep_waist_is_one_bubble_and_with_none_two() -> None:
    def parts(dip: float) -> list[float]:
        sizes = [1.0, 1.0, 0.7, 0.7, 0.8 - dip, 0.8 - dip, 0.4, 0.4]
        stations = [0.0, 1.0, 1.0, 2.2, 2.2, 2.20001, 2.20001, 3.0]
        return [bubble.part for bubble in body_growth(*stack(stations, sizes)).bubbles]

    # The lesser depth is that of the first ledge, 0.3: a fifth of it is 0.06.
    assert parts(0.061) == [1.0]
    assert parts(-0.001) == [1.0, 1.0]
    assert parts(0.03) == pytest.approx([0.5, 0.5, 0.5], abs=1e-3)


def test_a_stub_at_the_base_counts_as_far_as_it_stands_out() -> None:
    # A dead taper to 0.6, then a stub of 0.3: by two of its lengths narrower, until it is seen whole at 0.15.
    def with_stub(out: float) -> np.ndarray:
        growth = body_growth(*stack([0.0, 1.0, 1.0, 2.0, 2.0, 2.0 + out], [0.5, 1.0, 0.6, 0.6, 0.3, 0.3]))
        (bubble,) = growth.bubbles
        return np.array(
            [bubble.most_followed, np.trace(bubble.growth_m2), np.trace(bubble.let_go_m2), growth.kept]
        )

    found = np.array([with_stub(out) for out in (1e-6, 0.0075, 0.015, 0.0225)])
    plain = body_growth(*stack([0.0, 1.0, 1.0, 2.0], [0.5, 1.0, 0.6, 0.6]))
    assert found[0, 3] == pytest.approx(plain.kept, rel=1e-4)
    # Before, a third of the share and half of the growth at once.
    assert (np.abs(np.diff(found, axis=0)) < 0.07 * np.abs(found[0])).all()

    def end(out: float) -> float:
        growth = body_growth(*stack([0.0, 1.0, 1.0, 2.0, 2.0, 2.0 + out], [0.5, 1.0, 0.6, 0.6, 0.3, 0.3]))
        return float(np.trace(growth.attached_m2.sum(axis=0))) / (2 * np.pi)

    # Counted from where two steps are told apart: closer to the base nothing stands out.
    assert end(0.1504) == pytest.approx(0.09)
    assert end(0.1003) == pytest.approx(0.4**2)
    assert end(0.0003) == pytest.approx(0.36)


def test_a_chamfer_under_the_base_counts_as_far_as_it_is_cut() -> None:
    # Of a skirt's lift the band lets go as much beside a chamfer of 45 degrees of no size as beside none.
    def let_go(cut: float) -> list[float]:
        profile = [0.0, 2.0, 3.0, 3.0 + cut], [0.5, 0.5, 1.0, 1.0 - cut]
        growth = body_growth(*stack(*profile))
        back = sum((np.trace(bubble.given_back_m2) for bubble in growth.bubbles), 0.0)
        return [np.trace(growth.let_go_dead_m2.sum(axis=0)), back, np.trace(growth.felt_m2.sum(axis=0))]

    plain, small, large = let_go(0.0), let_go(0.004), let_go(0.1)
    assert small == pytest.approx(plain, abs=0.02 * plain[0])
    assert 0.05 * large[0] < large[1] < 0.5 * large[0]


def test_air_that_follows_to_the_base_is_let_go_there() -> None:
    # A skirt, a lip, and a stub that is open at the base: with the air on it, the base takes its own share.
    profile = [0.0, 1.0, 2.0, 2.0, 2.4], [0.5, 0.5, 1.0, 0.4, 0.4]
    (bubble,) = (growth := body_growth(*stack(*profile))).bubbles
    grows = np.maximum(growth.separated_m2, 0.0)
    opened = np.trace(bubble.let_go_m2) / np.trace(
        (faded(np.array(profile[0]), 2.0, 1.0) * grows).sum(axis=0)
    )
    at_base = np.trace((faded(np.array(profile[0]), 2.4, 0.4) * grows).sum(axis=0))
    assert np.trace(bubble.let_go_m2 - bubble.given_back_m2) == pytest.approx(opened * at_base)
    whole = np.trace(growth.let_go_dead_m2.sum(axis=0))
    assert whole == pytest.approx((1.0 - opened) * at_base + np.trace(bubble.let_go_m2))


def test_what_comes_out_of_dead_air_is_what_lies_there_however_far_apart_it_is_cut() -> None:
    # A plate ever wider in one plane only: in the other nothing comes out, wherever the next cut stands.
    def came_out(next_m: float) -> np.ndarray:
        stations = np.array([0.0, 1.0, 1.0, 2.0, 2.0 + next_m, 4.0])
        wide = np.array([2.0, 2.0, 1.0, 1.0, 1.0 + next_m, 3.0])
        tensors = np.pi * np.stack([np.diag([each**2, 0.5]) for each in wide])
        return body_growth(stations, tensors).separated_m2[3:].sum(axis=0)

    for next_m in (0.95, 1.4):
        grown = came_out(next_m)
        assert abs(grown[1, 1]) < 0.015 * grown[0, 0]
