"""Pieces in place, apart and inside one another, against how they were made of trimesh's solids."""

import made_pieces as made
import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.shape.pieces.arrange import Placing, ToldPlacing, arranged
from finial.shape.pieces.stack import stacked
from finial.shape.pieces.together import WhyApart, together
from finial.shape.repair import repaired
from finial.shape.tiers import Tier, tiers_mesh


def names_in(found, pieces: dict) -> list[str]:
    return [list(pieces)[number] for number in found.order]


@pytest.fixture(scope="module")
def tower():
    return made.tower()


@pytest.fixture(scope="module")
def rodded():
    return made.rodded()


def test_pieces_in_place_stay_there(tower) -> None:
    found = arranged([made.piece(one) for one in tower.values()])
    assert names_in(found, tower) == ["top", "middle", "lower"]
    assert found.stays
    assert not found.doubtful
    assert found.stack is None


@pytest.mark.parametrize("level", ["base", "middle"])
def test_pieces_at_their_own_origins_come_back_to_their_places(tower, level: str) -> None:
    alone = {name: made.on_its_own(one) for name, one in tower.items()}
    if level == "middle":
        for one in alone.values():
            one.apply_translation([0, 0, -one.bounds[1][2] / 2])
    found = arranged([made.piece(one) for one in alone.values()])
    assert found.drawn.apart is WhyApart.SAME_ROOM
    assert not found.doubtful
    for (name, one), move in zip(alone.items(), found.moves_m, strict=True):
        low = one.bounds[0][2] * made.MM + move[2]
        # The heights they were made at, from the lowest.
        wanted = {"lower": 0.0, "middle": 0.25, "top": 0.47}[name]
        assert low - (alone["lower"].bounds[0][2] * made.MM + found.moves_m[0][2]) == pytest.approx(
            wanted, abs=1e-7
        )
        assert np.abs(move[:2]).max() == 0.0


def test_eight_slices_in_random_order_are_sorted_by_their_ends() -> None:
    slices = made.eight()
    found = arranged([made.piece(one) for one in sorted_by_name(slices).values()])
    assert names_in(found, sorted_by_name(slices)) == list("ecagfbdh")
    assert not found.doubtful
    assert max(found.stack.mismatch) < 0.01


def sorted_by_name(pieces: dict) -> dict:
    return dict(sorted(pieces.items()))


def test_storeys_of_straight_walls_are_sorted_by_their_width() -> None:
    """Nothing of their ends matches: the narrow one is the tip, and how little matches is told."""
    storeys = {"c": made.rod(35, 150), "a": made.rod(60, 200), "b": made.rod(48, 180)}
    found = arranged([made.piece(one) for one in storeys.values()])
    assert names_in(found, storeys) == ["c", "b", "a"]
    # Share of two circles: 1 - (r / R)^2.
    assert found.stack.mismatch == pytest.approx([1 - (35 / 48) ** 2, 1 - (48 / 60) ** 2], abs=0.005)


def test_equal_storeys_have_no_order_until_it_is_told() -> None:
    equal = [made.piece(made.rod(50, height)) for height in (100, 150, 200)]
    found = arranged(equal, ToldPlacing(up="+z"))
    assert found.doubtful
    told = arranged(equal, ToldPlacing(up="+z", placing=Placing.STACKED, order=(2, 0, 1)))
    assert not told.doubtful
    assert told.order == (2, 0, 1)
    assert (told.moves_m[:, 2] - told.moves_m[1, 2]).round(6).tolist() == [0.15, 0.0, 0.25]


def test_a_spigot_goes_into_the_bore_of_its_neighbour() -> None:
    """A nose with a shoulder of 40 mm: sunk into the tube, as far as its step, and no deeper."""
    tube = made.difference([made.rod(50, 300), made.rod(47, 301, -1)])
    nose = made.union([made.frustum(50, 2, 150, 40), made.rod(46.5, 41, 0)])
    found = arranged([made.piece(tube), made.piece(nose)], ToldPlacing(placing=Placing.STACKED))
    assert found.order == (1, 0)
    assert found.stack.sunk_m == pytest.approx([0.04], abs=1e-6)
    # The step of the nose, 40 mm above its own foot, comes to stand on the tube's end.
    assert found.moves_m[1, 2] + 0.04 - found.moves_m[0, 2] == pytest.approx(0.3, abs=1e-6)


def test_pieces_drawn_from_a_corner_are_put_middle_on_middle() -> None:
    low, high = made.on_its_own(made.frustum(60, 50, 200)), made.on_its_own(made.frustum(50, 20, 200))
    for one in (low, high):
        one.apply_translation([-one.bounds[0][0], -one.bounds[0][1], 0])
    found = arranged([made.piece(low), made.piece(high)])
    middles = [
        np.mean(one.bounds, axis=0) * made.MM + move
        for one, move in zip((low, high), found.moves_m, strict=True)
    ]
    assert middles[0][:2] == pytest.approx(middles[1][:2], abs=1e-6)


def test_a_gap_in_the_middle_is_asked_for_and_never_closed(tower) -> None:
    """A piece that was forgotten: the two others are in place, and putting them together would be wrong."""
    found = arranged([made.piece(tower["lower"]), made.piece(tower["top"])])
    assert found.doubtful
    assert found.stays
    assert found.drawn.apart is WhyApart.GAP


def test_pieces_laid_out_on_a_bed_are_put_on_one_another(tower) -> None:
    alone = [made.on_its_own(one) for one in tower.values()]
    for number, one in enumerate(alone):
        one.apply_translation([200 * number, 0, 0])
    found = arranged([made.piece(one) for one in alone])
    assert not found.doubtful
    assert names_in(found, tower) == ["top", "middle", "lower"]
    assert found.moves_m[1][0] - found.moves_m[0][0] == pytest.approx(-0.2, abs=1e-6)


def test_a_thin_tube_inside_is_an_inner_part() -> None:
    hull = made.difference([made.frustum(60, 20, 400), made.rod(30, 300, -1)])
    tube = made.difference([made.rod(29, 250), made.rod(27, 252, -1)])
    found = arranged([made.piece(hull), made.piece(tube)])
    assert found.inner == (False, True)
    assert not found.doubtful


def test_a_storey_that_fits_into_another_level_with_it_is_asked_for() -> None:
    """Two shells at their own origins: one might be meant to stand in the other."""
    wide = made.difference([made.rod(60, 200), made.rod(57, 202, -1)])
    narrow = made.difference([made.rod(50, 150), made.rod(47, 152, -1)])
    found = arranged([made.piece(wide), made.piece(narrow)], ToldPlacing(up="+z"))
    assert found.drawn.apart is WhyApart.NESTED
    assert found.doubtful
    assert not arranged(
        [made.piece(wide), made.piece(narrow)], ToldPlacing(up="+z", placing=Placing.AS_DRAWN)
    ).doubtful


@pytest.mark.parametrize(("shared", "apart"), [(0.05, None), (0.25, WhyApart.SAME_ROOM)])
def test_a_little_shared_room_is_let_pass(shared: float, apart) -> None:
    """Of two equal posts 400 mm high, so much of either lies in the other; 15 % are let pass."""
    post = [Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=0.4)]
    two = [repaired(tiers_mesh(post, tip_station_m=tip)) for tip in (0.0, 0.4 * (1 - shared))]
    assert together(two).apart is apart


def test_more_than_twelve_pieces_need_an_order() -> None:
    many = [made.piece(made.rod(50, 40)) for _ in range(13)]
    with pytest.raises(OutsideRange, match="13 pieces"):
        stacked(many)


def test_walls_with_rods_and_bores_stand_together(rodded) -> None:
    found = arranged([made.piece(one) for one in rodded.values()])
    assert names_in(found, rodded) == ["cap", "mid", "base"]
    assert not found.doubtful


def test_a_piece_exported_upside_down_is_named_and_nothing_is_sure(tower) -> None:
    alone = {name: made.on_its_own(one) for name, one in tower.items()}
    alone["top"] = made.on_its_own(made.turned_about(alone["top"], (1, 0, 0), 180))
    found = arranged([made.piece(one) for one in alone.values()])
    assert found.doubtful
    assert [list(alone)[number] for number in found.stack.upside_down] == ["top"]


def test_ends_that_hardly_match_are_asked_for() -> None:
    """A thin post on a wide one: 0.1 of the wide one's end is common to both."""
    wide, thin = made.frustum(80, 75, 200), made.frustum(24, 10, 150)
    found = arranged([made.piece(wide), made.piece(thin)])
    assert found.stack.mismatch == pytest.approx([1 - (24 / 75) ** 2], abs=0.01)
    assert found.doubtful
    assert not arranged(
        [made.piece(wide), made.piece(thin)], ToldPlacing(placing=Placing.STACKED, order=(1, 0))
    ).doubtful


def test_shells_that_could_stand_in_one_another_are_stacked_when_told() -> None:
    shells = [
        made.difference([made.frustum(base, top, 200), made.frustum(base - 2, top - 2, 202, -1)])
        for base, top in ((60, 45), (70, 60), (45, 20))
    ]
    found = arranged([made.piece(one) for one in shells], ToldPlacing(placing=Placing.STACKED))
    assert found.order == (2, 0, 1)
    assert not found.doubtful
