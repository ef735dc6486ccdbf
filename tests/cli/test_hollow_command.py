"""``finial hollow``: a mesh read, mended, hollow, written and read back; nothing of the builder's is lost."""

import pytest
import trimesh


def test_a_mesh_is_made_hollow_and_what_was_mended_is_told(finial, tmp_path) -> None:
    """Two boxes that overlap, a face of one turned: 30 x 30 x 50 mm, its cavity 6 mm less each way."""
    low = trimesh.creation.box((30.0, 30.0, 30.0))
    high = trimesh.creation.box((30.0, 30.0, 30.0))
    high.apply_translation((0.0, 0.0, 20.0))
    both = trimesh.util.concatenate([low, high])
    both.faces[0] = both.faces[0][::-1]
    both.export(tmp_path / "post.stl")
    done = finial("hollow", tmp_path / "post.stl", "--wall", "3 mm", "--unit", "mm")
    assert done.code == 0, done.err
    told = " ".join(done.out.split())
    assert "read 2 bodies united" in told
    assert "mended 1 face was the wrong way round and was turned" in told
    assert "solid before 45 cm3" in told
    back = trimesh.load_mesh(tmp_path / "post-hollow.stl")
    assert back.is_watertight
    assert back.volume == pytest.approx(45_000 - 24 * 24 * 44, rel=0.02)
    again = finial("hollow", tmp_path / "post.stl", "--wall", "3 mm", "--unit", "mm")
    assert again.code == 2
    assert "is there already" in again.err


def test_what_cannot_be_hollow_is_told_and_nothing_is_written(finial, tmp_path) -> None:
    box = trimesh.creation.box((30.0, 30.0, 30.0))
    box.export(tmp_path / "box.stl")
    for wall, unit, said in (
        ("16 mm", "mm", "1 fault in the meshes: "),
        ("16 mm", "mm", "no room for a cavity"),
        ("3 kg", "mm", "3 kg"),
        ("3 mm", "m", "1 fault in the meshes: "),
        ("3 mm", "m", "5 m are read"),
    ):
        done = finial("hollow", tmp_path / "box.stl", "--wall", wall, "--unit", unit)
        assert done.code == 2, done.err
        assert said in " ".join(done.err.split())
    assert [path.name for path in tmp_path.iterdir()] == ["box.stl"]
