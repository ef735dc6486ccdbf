"""The cache of arrays: kept, forgotten, damaged, forbidden; never a crash."""

from pathlib import Path

import numpy as np
import pytest

from finial.files.cache import cache_folder, key_of, recall, remember

ARRAYS = {"slices": np.linspace(0, 1, 50), "faces": np.arange(6).reshape(2, 3), "flag": np.array(True)}


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("FINIAL_CACHE_DIR", str(tmp_path / "cache"))
    return tmp_path / "cache"


def stored_file(folder) -> Path:
    (path,) = folder.rglob("*.npz")
    return path


def test_what_is_remembered_is_recalled_bit_for_bit(folder):
    assert recall("k") is None
    assert remember("k", ARRAYS)
    recalled = recall("k")
    assert recalled is not None
    assert set(recalled) == set(ARRAYS)
    for name, array in ARRAYS.items():
        assert recalled[name].dtype == array.dtype
        np.testing.assert_array_equal(recalled[name], array)
    assert recall("other") is None


def test_the_last_one_remembered_wins(folder):
    remember("k", ARRAYS)
    remember("k", {"a": np.zeros(2)})
    assert set(recall("k") or {}) == {"a"}


@pytest.mark.parametrize("share", [0.0, 0.3, 0.95])
def test_a_file_cut_short_is_a_miss(folder, share):
    remember("k", ARRAYS)
    path = stored_file(folder)
    content = path.read_bytes()
    path.write_bytes(content[: int(share * len(content))])
    assert recall("k") is None


@pytest.mark.parametrize("content", [b"", b"not a zip", b"PK\x03\x04" + b"\0" * 60])
def test_a_file_of_something_else_is_a_miss(folder, content):
    remember("k", ARRAYS)
    stored_file(folder).write_bytes(content)
    assert recall("k") is None


def test_a_flipped_byte_is_a_miss(folder):
    remember("k", ARRAYS)
    path = stored_file(folder)
    content = bytearray(path.read_bytes())
    at = content.index(b"NUMPY") + 200
    content[at] ^= 0xFF
    path.write_bytes(content)
    assert recall("k") is None


def test_pickles_are_neither_written_nor_read(folder):
    objects = np.array([{"a": 1}], dtype=object)
    with pytest.raises(ValueError, match="pickle"):
        remember("k", {"a": objects})
    remember("k", ARRAYS)
    with stored_file(folder).open("wb") as stream:
        np.savez(stream, a=objects)
    assert recall("k") is None


def test_a_cache_that_cannot_be_written_is_not_an_error(tmp_path, monkeypatch):
    (tmp_path / "file").write_bytes(b"")
    monkeypatch.setenv("FINIAL_CACHE_DIR", str(tmp_path / "file"))
    assert remember("k", ARRAYS) is False
    assert recall("k") is None


def test_keys_may_hold_anything_and_name_no_path(folder):
    assert remember("../../etc/passwd\0", ARRAYS)
    assert stored_file(folder).is_relative_to(folder)


def test_keys_differ_when_any_part_does():
    keys = [
        key_of("a", 1),
        key_of("a", 1.0),
        key_of("a", "1"),
        key_of(b"a", 1),
        key_of("a1"),
        key_of("a", None),
    ]
    assert len(set(keys)) == len(keys)
    assert key_of("a", 1.5, b"x", None) == key_of("a", 1.5, b"x", None)


def test_the_users_own_cache_folder_is_the_default(monkeypatch):
    monkeypatch.delenv("FINIAL_CACHE_DIR")
    assert cache_folder().name == "finial"
