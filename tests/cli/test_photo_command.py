"""``finial photo``: two photos of an invented facade, made by the formula of a pinhole camera."""

import json
import math

import numpy as np
import pytest


def camera(yaw: float, pitch: float, camera_m: tuple[float, float, float]):
    cy, sy, cp, sp = math.cos(yaw), math.sin(yaw), math.cos(pitch), math.sin(pitch)
    turn = np.array([[1, 0, 0], [0, cp, -sp], [0, sp, cp]]) @ np.array([[cy, 0, -sy], [0, 1, 0], [sy, 0, cy]])

    def seen(*points_m) -> list[list[int]]:
        there = (np.array(points_m, dtype=float) - camera_m) @ turn.T
        places = np.array([4000.0, 3000.0]) + 6000.0 * there[:, :2] / there[:, 2:] * (1.0, -1.0)
        return places.round().astype(int).tolist()

    return seen


EAST, WEST = camera(0.5, 0.2, (1.0, 2.0, -20.0)), camera(-0.4, 0.15, (6.0, 2.0, -18.0))


def photo(name: str, seen, door_m: float = 3.0) -> str:
    return f"""
[[photo]]
name = "{name}"
size = [8000, 6000]
click = 2
corners = {seen((0, 0, 0), (6, 0, 0), (6, 9, 0), (0, 9, 0))}
known = {{ ends = {seen((0, 0, 0), (6, 0, 0))}, length = "6 m +- 1 cm" }}
straight = [{seen((0, 0, 0), (0, 4, 0), (0, 9, 0))}]
wanted = [
  {{ name = "height", ends = {seen((0, 0, 0), (0, 9, 0))} }},
  {{ name = "door", ends = {seen((2, 0, 0), (2, door_m, 0))} }},
]
"""


def test_two_photos_give_the_proportions_with_their_error(finial, tmp_path) -> None:
    marks = tmp_path / "marks.toml"
    marks.write_text(photo("east", EAST) + photo("west", WEST))
    done = finial("photo", marks, "--json")
    assert done.code == 0, done.err
    told = json.loads(done.out)
    assert [one["distance_m"] for one in told["photos"]] == pytest.approx([20.0, 18.0], rel=0.01)
    height, door = told["lengths"]
    assert (height["name"], height["agree"], door["agree"]) == ("height", True, True)
    assert height["length_m"]["value"] == pytest.approx(9.0, rel=3e-3)
    assert door["length_m"]["value"] == pytest.approx(3.0, rel=3e-3)
    assert height["length_m"]["low"] < 9.0 < height["length_m"]["high"]
    shown = " ".join(finial("photo", marks).out.split())
    assert any(f"0.{share}" in shown for share in (332, 333, 334))
    assert "what stands 1.0 m out of the facade reads 5.3 % too long" in shown


STOREYS = """
storeys = [
  {{ name = "shaft", outline = "square", corners = {shaft} }},
  {{ name = "top", outline = "octagon", corners = {top} }},
]
"""


def with_storeys(name: str, seen, top_m: float = 3.0) -> str:
    """A shaft of 6 m that narrows to 4 m over 7 m, and a straight top over it."""
    shaft = seen((0, 0, 0), (6, 0, 0), (5, 7, 0), (1, 7, 0))
    top = seen((1, 7, 0), (5, 7, 0), (5, 7 + top_m, 0), (1, 7 + top_m, 0))
    return photo(name, seen) + STOREYS.format(shaft=shaft, top=top)


def test_storeys_become_a_drawing_that_the_tower_is_made_of(finial, tmp_path) -> None:
    """10 m in truth, 500 mm here: 1 to 20."""
    import trimesh

    marks, drawing = tmp_path / "marks.toml", tmp_path / "belfry.toml"
    marks.write_text(with_storeys("east", EAST) + with_storeys("west", WEST))
    done = finial("photo", marks, "--json", "--tower", drawing, "--height", "500 mm")
    assert (done.code, done.err) == (0, f"wrote {drawing}\nnext: finial tower {drawing}\n")
    shaft, top = json.loads(done.out)["storeys"]
    assert (shaft["photos"], shaft["agree"], top["outline"]) == (2, True, "octagon")
    for storey, key, metres in (
        (shaft, "foot_m", 6.0),
        (shaft, "top_m", 4.0),
        (shaft, "height_m", 7.0),
        (top, "foot_m", 4.0),
        (top, "height_m", 3.0),
    ):
        assert storey[key]["value"] == pytest.approx(metres, rel=3e-3)
        assert storey[key]["low"] < metres < storey[key]["high"]
    text = drawing.read_text()
    assert text.count("across_top") == 1  # the top is straight within its errors
    assert "1:20" in text
    assert finial("tower", drawing, "--quiet").code == 0
    (file,) = (tmp_path / "belfry-parts").glob("*.stl")
    sides = trimesh.load_mesh(file).extents
    assert sides == pytest.approx([300.0, 300.0, 500.0], rel=4e-3)
    again = finial("photo", marks, "--tower", drawing, "--height", "500 mm")
    assert again.code == 2
    assert "belfry.toml exists" in again.err
    assert drawing.read_text() == text


def test_a_storey_on_which_photos_do_not_agree_is_a_guess(finial, tmp_path) -> None:
    marks, drawing = tmp_path / "marks.toml", tmp_path / "belfry.toml"
    marks.write_text(with_storeys("east", EAST) + with_storeys("west", WEST, top_m=3.4))
    done = finial("photo", marks, "--us", "--tower", drawing, "--height", "20 in")
    assert done.code == 0
    assert "The photos do not agree on top" in " ".join(done.out.split())
    before, _, after = drawing.read_text().partition("# top")
    assert "GUESS" not in before
    assert "GUESS" in after
    assert ' in"' in after


@pytest.mark.parametrize(
    ("before", "after", "words", "said"),
    [
        ('"octagon"', '"star"', (), "photo[1].storeys[2].outline"),
        ("storeys = [", "storys = [", (), "storys"),
        ("wanted = [", "storys = [", (), "storys"),
        ("", "", ("--tower", "new.toml"), "--tower and --height go together"),
        ("", "", ("--tower", "new.toml", "--height", "500"), "500"),
    ],
)
def test_storeys_that_cannot_be_drawn_are_told(finial, tmp_path, before, after, words, said) -> None:
    marks = tmp_path / "marks.toml"
    marks.write_text(with_storeys("east", EAST).replace(before, after))
    done = finial("photo", marks, *words)
    assert done.code == 2
    assert said in " ".join(done.err.split())


def test_a_photo_with_nothing_to_read_off_and_an_outline_told_twice_are_told(finial, tmp_path) -> None:
    marks = tmp_path / "marks.toml"
    bare = photo("bare", EAST).partition("wanted")[0]
    west = with_storeys("west", WEST).replace('"octagon"', '"circle"')
    marks.write_text(with_storeys("east", EAST) + bare + west)
    said = " ".join(finial("photo", marks).err.split())
    assert "2 faults in the marks" in said
    assert "nothing to read off" in said
    assert "top: circle" in said


def test_photos_that_do_not_agree_are_told_apart(finial, tmp_path) -> None:
    marks = tmp_path / "marks.toml"
    marks.write_text(photo("east", EAST) + photo("west", WEST, door_m=3.4))
    told = json.loads(finial("photo", marks, "--json").out)
    assert [one["agree"] for one in told["lengths"]] == [True, False]
    shown = " ".join(finial("photo", marks).out.split())
    assert "The photos do not agree on door" in shown


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        ('length = "6 m +- 1 cm"', 'length = "6"', "photo[1].known.length"),
        ("size = [8000, 6000]", "size = [8000]", "photo[1].size"),
        ("click = 2", "clik = 2", "clik"),
        ("size = [8000, 6000]", "size = [1600, 6000]", "no camera sees a rectangle so"),
    ],
)
def test_marks_that_cannot_be_used_are_told(finial, tmp_path, before, after, said) -> None:
    marks = tmp_path / "marks.toml"
    text = photo("east", EAST)
    assert before in text
    marks.write_text(text.replace(before, after))
    done = finial("photo", marks)
    assert done.code == 2
    assert done.err.splitlines()[0].endswith("in the marks:")
    assert said in " ".join(done.err.split())
