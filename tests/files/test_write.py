"""Files written whole or not at all."""

import os
import stat

import pytest

from finial.files import write
from finial.files.write import write_atomically


def test_new_and_old_files_get_the_content_and_nothing_else_stays(tmp_path):
    path = tmp_path / "a.txt"
    for content in (b"first", b"second, longer", b""):
        write_atomically(path, content)
        assert path.read_bytes() == content
    assert os.listdir(tmp_path) == ["a.txt"]


def test_an_interrupted_write_leaves_the_old_file(tmp_path, monkeypatch):
    path = tmp_path / "a.txt"
    path.write_bytes(b"old")

    def fail(handle):
        raise OSError("disk full")

    monkeypatch.setattr(write.os, "fsync", fail)
    with pytest.raises(OSError, match="disk full"):
        write_atomically(path, b"new")
    assert path.read_bytes() == b"old"
    assert os.listdir(tmp_path) == ["a.txt"]


def test_permissions_are_kept_and_new_files_follow_the_umask(tmp_path):
    path = tmp_path / "a.txt"
    write_atomically(path, b"x")
    (tmp_path / "b.txt").write_bytes(b"x")
    assert stat.S_IMODE(path.stat().st_mode) == stat.S_IMODE((tmp_path / "b.txt").stat().st_mode)
    path.chmod(0o640)
    write_atomically(path, b"y")
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_a_link_stays_a_link(tmp_path):
    (tmp_path / "real.txt").write_bytes(b"old")
    (tmp_path / "link.txt").symlink_to(tmp_path / "real.txt")
    write_atomically(tmp_path / "link.txt", b"new")
    assert (tmp_path / "link.txt").is_symlink()
    assert (tmp_path / "real.txt").read_bytes() == b"new"


def test_a_folder_that_is_not_there_is_an_error(tmp_path):
    with pytest.raises(FileNotFoundError):
        write_atomically(tmp_path / "none" / "a.txt", b"x")
