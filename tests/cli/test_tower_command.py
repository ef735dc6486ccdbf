"""``finial tower``: a drawing without CAD becomes closed meshes, which begin a project."""

import json

import pytest
import trimesh

DRAWING = """name = "Invented Tower"

[[part]]
name = "base"
bores = [{ heights = ["0 mm", "160 mm"], across = "60 mm" }]

[[part.tiers]]
outline = "plan.svg"
across = "190 mm"
across_top = "170 mm"
height = "60 mm"

[[part.tiers]]
outline = "rectangle"
across = "160 mm"
deep = "150 mm"
corner = "12 mm"
height = "100 mm"
ledges = [{ out = "5 mm", height = "8 mm" }]
windows = [{ count = 4, width = "30 mm", height = "60 mm", sill = "20 mm", depth = "2 mm", arched = true }]

[[part]]
name = "shaft"
tiers = [
  { outline = "octagon", across = "140 mm", across_top = "110 mm", height = "200 mm", twist = "5 deg" },
  { outline = "circle", across = "120 mm", height = "60 mm", roof = "dome" },
]
shoulder = { across = "55 mm", length = "30 mm" }
"""
PLAN = '<svg xmlns="http://www.w3.org/2000/svg"><path d="M1 0H9L10 1V9L9 10H1L0 9V1Z"/></svg>'


@pytest.fixture
def drawing(tmp_path):
    (tmp_path / "tower.toml").write_text(DRAWING)
    (tmp_path / "plan.svg").write_text(PLAN)
    return tmp_path / "tower.toml"


def test_each_part_is_closed_stands_on_the_one_below_and_begins_a_project(finial, drawing) -> None:
    """Read by trimesh, a library of others; the shoulder reaches 30 mm into the base."""
    done = finial("tower", drawing, "--json")
    assert (done.code, done.err) == (0, f"2 parts written to {drawing.parent / 'tower-parts'}\n")
    told = json.loads(done.out)["parts"]
    assert [one["heights_m"] for one in told] == [[0.0, 0.16], pytest.approx([0.13, 0.42])]
    folder = drawing.parent / "tower-parts"
    files = [folder / one["file"] for one in told]
    for one, file in zip(told, files, strict=True):
        mesh = trimesh.load_mesh(file)
        assert mesh.is_watertight
        assert 1e-9 * mesh.volume == pytest.approx(one["volume_m3"], rel=1e-6)
    scene = trimesh.load_scene(folder / "all-parts.3mf")
    assert scene.units == "millimeter"
    assert scene.bounds[:, 2].tolist() == pytest.approx([0.0, 420.0])
    begun = finial("new", drawing.parent / "p", "--unit", "mm", "--as-drawn", "--mesh", *files, "--quiet")
    assert begun.code == 0
    assert "2 pieces that stand together as drawn, from the tip: part-02-shaft, part-01-base" in begun.out


def test_the_text_lists_the_parts_and_what_comes_next(finial, drawing) -> None:
    done = finial("tower", drawing, "--quiet")
    told = " ".join(done.out.split())
    assert "part-01-base.stl 0 mm 160 mm 190 x 190 mm" in told
    assert "finial new FOLDER --as-drawn --mesh all-parts.3mf" in told
    (drawing.parent / "tower-parts" / "notes.txt").write_text("mine")
    assert finial("tower", drawing, "--quiet").code == 2


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        ('deep = "150 mm"\n', "", "base: a rectangle without deep"),
        ('outline = "octagon"', 'outline = "octagon", deep = "9 mm"', "shaft: a octagon with deep"),
        ('across = "60 mm" }]', 'across = "400 mm" }]', "base: the bores leave nothing"),
        ('name = "shaft"', 'name = "base"', "a second part of that name"),
        ('"plan.svg"', '"../plan.svg"', "inside the drawing's folder"),
        ('"plan.svg"', '"star"', "part[1].tiers[1].outline"),
        ('height = "200 mm"', 'height = "200 m"', "parts between 20 mm and 5 m"),
        ('["0 mm", "160 mm"]', '["160 mm", "0 mm"]', "the lower height first"),
        ('height = "60 mm", sill = "20 mm"', 'height = "90 mm", sill = "20 mm"', "a window from"),
        ("arched = true", "arhced = true", "arhced"),
    ],
)
def test_what_cannot_be_drawn_is_told_with_its_part_and_nothing_is_written(
    finial, drawing, before, after, said
) -> None:
    text = drawing.read_text()
    assert before in text
    drawing.write_text(text.replace(before, after, 1))
    done = finial("tower", drawing, "--quiet")
    assert done.code == 2
    assert done.err.startswith("1 fault in the drawing:")
    assert said in " ".join(done.err.split())
    assert not (drawing.parent / "tower-parts").exists()
