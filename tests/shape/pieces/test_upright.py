"""Which way a shape stands, against shapes whose tip is known from how they were made (trimesh's solids)."""

import made_pieces as made
import pytest

from finial.shape.pieces.arrange import ToldPlacing, arranged
from finial.shape.pieces.upright import Sign, Sureness, upright

TURNS = {
    "+z": None,
    "-z": ((1, 0, 0), 180.0),
    "+x": ((0, 1, 0), 90.0),
    "-x": ((0, 1, 0), -90.0),
    "+y": ((1, 0, 0), -90.0),
    "-y": ((1, 0, 0), 90.0),
}
"""How a shape drawn along +z is turned so that its tip points along each axis."""
SHAPES = {
    "spire": lambda: made.frustum(50, 4, 400),
    "finned": made.finned,
    "shell": made.shell,
    "statue": made.statue,
    "box with a low roof": lambda: made.union(
        [made.block((160, 160, 500), 0), made.frustum(110, 10, 80, 500, sides=4)]
    ),
}


@pytest.mark.parametrize("up", TURNS)
@pytest.mark.parametrize("shape", SHAPES)
def test_the_tip_is_found_however_the_mesh_lies(shape: str, up: str) -> None:
    drawn = SHAPES[shape]()
    lying = drawn if TURNS[up] is None else made.turned_about(drawn, *TURNS[up])
    found = upright([made.piece(lying)], together=True)
    assert found.up == up
    assert found.axis is Sureness.SURE
    # Drawn upside down with a narrow end alone to tell it: its builder is asked.
    asked = up == "-z" and shape not in ("finned", "shell")
    assert (found.tip is Sureness.UNSURE) == asked
    assert found.tip is not Sureness.SURE or up != "-z"


def test_a_pot_that_is_wider_than_high_still_stands_on_its_base() -> None:
    """The handle makes it longer across; round sections tell the axis all the same."""
    found = upright([made.piece(made.pot())], together=True)
    assert found.up == "+z"
    assert Sign.LONG not in dict(found.signs)
    assert dict(found.signs)[Sign.EVEN_ROUND] > 0.95


def test_a_shape_that_is_wide_above_is_asked_for() -> None:
    """A mushroom, drawn upright: its foot is the narrow end, and no tip for that."""
    mushroom = made.union([made.rod(30, 300), made.frustum(90, 20, 120, 280)])
    assert upright([made.piece(mushroom)], together=True).sureness is Sureness.UNSURE


def test_a_narrow_end_with_plates_behind_and_a_bore_in_it_is_asked_for() -> None:
    """A tree drawn upright: boughs and a crown above, the motor's bore in the foot of its trunk."""
    boughs = [made.turned_about(made.block((120, 5, 170), 350, x=85), (0, 0, 1), 90 * n) for n in range(4)]
    tree = made.union([made.rod(40, 520), *boughs, made.rod(150, 80, 520)])
    bored = upright([made.piece(made.difference([tree, made.rod(28, 320, -1)]))], together=True)
    assert (bored.up, bored.tip) == ("-z", Sureness.UNSURE)
    assert bored.against == (Sign.BORE, Sign.UPRIGHT)
    # Without the bore its narrow end and its plates say what they always said.
    plain = upright([made.piece(tree)], together=True)
    assert (plain.up, plain.tip, plain.against) == ("-z", Sureness.LIKELY, (Sign.UPRIGHT,))


def test_fins_tell_the_base_where_both_ends_are_as_wide() -> None:
    plain = made.rod(50, 500)
    plates = [made.turned_about(made.block((80, 4, 120), 370, x=85), (0, 0, 1), 90 * n) for n in range(4)]
    found = upright([made.piece(made.union([plain, *plates]))], together=True)
    assert found.up == "-z"  # the plates stand at the upper end of the mesh
    assert dict(found.signs)[Sign.PLATES] > 0.0


def test_a_bore_tells_the_base_where_both_ends_are_as_wide() -> None:
    """Open at the upper end of the mesh: that is where the motor goes in."""
    bored = made.difference([made.rod(50, 500), made.rod(27, 300, 201)])
    found = upright([made.piece(bored)], together=True)
    assert found.up == "-z"
    assert Sign.BORE in dict(found.signs)


@pytest.mark.parametrize(
    ("drawn", "unsure"),
    [(lambda: made.rod(50, 500), "tip"), (lambda: made.block((150, 150, 150), 0), "axis")],
    ids=["a plain post", "a cube"],
)
def test_what_nobody_can_tell_is_unsure(drawn, unsure: str) -> None:
    found = upright([made.piece(drawn())], together=True)
    assert found.sureness is Sureness.UNSURE
    assert getattr(found, unsure) is Sureness.UNSURE


def test_a_told_axis_is_taken_and_named_as_told() -> None:
    found = arranged([made.piece(made.rod(50, 500))], ToldPlacing(up="-x")).upright
    assert (found.up, found.sureness, found.signs) == ("-x", Sureness.SURE, ((Sign.TOLD, 1.0),))
