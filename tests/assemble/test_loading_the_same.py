"""The same vehicle written otherwise gives the same answer: other order, origin, axis or unit."""

import re
import shutil
from pathlib import Path

import numpy as np
import pytest

from finial.assemble.looks.answer import StageResults, answer
from finial.assemble.vehicle.loading import load_vehicle
from finial.core.frames import body_from_mesh

EXAMPLES = Path(__file__).parents[2] / "examples"
SAME = 2e-4
"""STL holds single precision: far from the origin a coordinate moves by a hundredth of a millimetre."""


@pytest.fixture
def box(tmp_path: Path) -> Path:
    folder = tmp_path / "phone-box"
    shutil.copytree(EXAMPLES / "phone-box", folder)
    return folder / "phone-box.toml"


@pytest.fixture(scope="module")
def as_shipped() -> dict[str, float]:
    return numbers(answered(EXAMPLES / "phone-box" / "phone-box.toml"))


def answered(sheet: Path) -> StageResults:
    return answer(load_vehicle(sheet, lambda note: None))


def numbers(found: StageResults) -> dict[str, float]:
    return {
        "length": found.shape.skin.length_m,
        "volume": found.shape.skin.volume_m3,
        "mass": found.mass.lift_off.mass_kg,
        "balance": found.mass.lift_off_balance.value,
        "roll inertia": float(found.mass.lift_off.inertia_kg_m2[0, 0]),
        "pressure": float(found.air.pressure_central_m.min()),
        "worst margin": min(point.margin.low for point in found.stability),
        "apogee": found.flight.apogee_agl.value,
        "drift": found.flight.drift.value,
    }


def moved(sheet: Path, change) -> None:
    """Change the corners of every mesh beside the sheet."""
    import trimesh

    for path in (sheet.parent / "meshes").glob("*.stl"):
        mesh = trimesh.load_mesh(path, process=False)
        mesh.vertices = change(np.asarray(mesh.vertices))
        mesh.export(path)


def test_the_order_of_the_parts_does_not_matter(box: Path, as_shipped: dict[str, float]) -> None:
    text = box.read_text(encoding="utf-8")
    tables = re.findall(r"(?ms)^\[\[part\]\]\n.*?(?=^\[)", text)
    assert len(tables) > 1
    before = text[: text.index(tables[0])]
    after = text[text.index(tables[-1]) + len(tables[-1]) :]
    box.write_text(before + "".join(reversed(tables)) + after, encoding="utf-8")
    assert numbers(answered(box)) == pytest.approx(as_shipped, rel=1e-6)


def test_an_origin_far_away_does_not_matter(box: Path, as_shipped: dict[str, float]) -> None:
    moved(box, lambda corners: corners + np.array([700.0, -450.0, 320.0]))
    found = answered(box)
    assert numbers(found) == pytest.approx(as_shipped, rel=SAME)
    assert any("700.0 mm and 450.0 mm across" in note for note in found.shape.repairs)


@pytest.mark.parametrize("up", ["-x", "+y", "-z"])
def test_another_axis_up_does_not_matter(box: Path, as_shipped: dict[str, float], up: str) -> None:
    turn = body_from_mesh("+z").T @ body_from_mesh(up)
    moved(box, lambda corners: corners @ turn)
    text = box.read_text(encoding="utf-8")
    assert text.count('up = "+z"') == 1
    box.write_text(text.replace('up = "+z"', f'up = "{up}"'), encoding="utf-8")
    assert numbers(answered(box)) == pytest.approx(as_shipped, rel=SAME)


def test_meshes_in_inches_give_the_same_vehicle(box: Path, as_shipped: dict[str, float]) -> None:
    moved(box, lambda corners: corners / 25.4)
    text = box.read_text(encoding="utf-8")
    assert 'mesh_unit = "mm"' in text
    box.write_text(text.replace('mesh_unit = "mm"', 'mesh_unit = "in"'), encoding="utf-8")
    assert numbers(answered(box)) == pytest.approx(as_shipped, rel=SAME)


def test_a_quarter_turn_of_mesh_and_fins_together_does_not_matter(
    box: Path, as_shipped: dict[str, float]
) -> None:
    moved(box, lambda corners: np.column_stack([-corners[:, 1], corners[:, 0], corners[:, 2]]))
    turned = numbers(answered(box))
    # Fins come four at a time and the guide adds no moment: only the wind meets another side.
    assert {**turned, "drift": 0.0, "apogee": 0.0} == pytest.approx(
        {**as_shipped, "drift": 0.0, "apogee": 0.0}, rel=SAME
    )


def test_what_is_read_again_unchanged_is_the_very_same(box: Path) -> None:
    first, again = load_vehicle(box, lambda note: None), load_vehicle(box, lambda note: None)
    assert all(one is other for one, other in zip(first.parts, again.parts, strict=True))
    assert (again.skin is first.skin, again.body is first.body) == (True, True)


def test_a_mesh_that_moved_is_never_the_one_of_before(box: Path) -> None:
    first = load_vehicle(box, lambda note: None)
    moved(box, lambda corners: corners * 1.001)
    again = load_vehicle(box, lambda note: None)
    assert again.skin.length_m == pytest.approx(1.001 * first.skin.length_m, rel=1e-5)
    assert all(
        one.solid.volume_m3.value > other.solid.volume_m3.value
        for one, other in zip(again.parts, first.parts, strict=True)
    )


def test_a_key_that_is_written_is_told_from_one_that_has_its_value_unwritten(box: Path) -> None:
    said = load_vehicle(box, lambda note: None)
    text = box.read_text(encoding="utf-8")
    box.write_text(text.replace(', layers_along = "z"', "", 1), encoding="utf-8")
    unsaid = load_vehicle(box, lambda note: None)
    assert unsaid.parts[0].spec == said.parts[0].spec
    told = [
        ["layers_along" in part.spec.print.model_fields_set for part in vehicle.parts if part.spec.print]
        for vehicle in (said, unsaid)
    ]
    assert all(told[0])
    assert told[1] == [False, *told[0][1:]]


def test_a_change_elsewhere_in_the_sheet_leaves_the_shape_as_it_was_found(box: Path) -> None:
    first = load_vehicle(box, lambda note: None)
    text = box.read_text(encoding="utf-8")
    box.write_text(text.replace('preload = "200 N +- 40 N"', 'preload = "210 N +- 40 N"'), encoding="utf-8")
    again = load_vehicle(box, lambda note: None)
    assert again.sheet != first.sheet
    assert again.body is first.body
