"""What is written stays in its folder, and never takes the place of something that is no file."""

import os
import shutil
import stat
from pathlib import Path

import pytest

from finial.files.edit import set_values
from finial.files.kept import answers_folder
from finial.files.write import make_folder, write_atomically

EXAMPLE = Path(__file__).parent / "full_sheet"


def test_a_link_out_of_its_folder_is_not_written_through(tmp_path):
    outside, project = tmp_path / "outside.txt", tmp_path / "project"
    outside.write_bytes(b"precious")
    project.mkdir()
    (project / "report.pdf").symlink_to(outside)
    with pytest.raises(OSError, match="leads out of its folder") as caught:
        write_atomically(project / "report.pdf", b"new")
    assert caught.value.filename == str(project / "report.pdf")
    assert outside.read_bytes() == b"precious"
    assert os.listdir(project) == ["report.pdf"]


def test_a_link_to_nothing_outside_makes_nothing_there(tmp_path):
    project = tmp_path / "project"
    project.mkdir()
    (project / "a.svg").symlink_to(tmp_path / "none.svg")
    with pytest.raises(OSError, match="leads out of its folder"):
        write_atomically(project / "a.svg", b"new")
    assert not (tmp_path / "none.svg").exists()


@pytest.mark.parametrize("make", [os.mkfifo, os.mkdir], ids=["pipe", "folder"])
def test_what_is_no_file_is_not_replaced(tmp_path, make):
    make(tmp_path / "a")
    before = stat.S_IFMT(os.stat(tmp_path / "a").st_mode)
    with pytest.raises(OSError, match="is no file that could be replaced"):
        write_atomically(tmp_path / "a", b"new")
    assert stat.S_IFMT(os.stat(tmp_path / "a").st_mode) == before
    assert os.listdir(tmp_path) == ["a"]


def test_a_circle_of_links_is_an_error(tmp_path):
    (tmp_path / "a").symlink_to(tmp_path / "b")
    (tmp_path / "b").symlink_to(tmp_path / "a")
    with pytest.raises(OSError, match="is a link in a circle"):
        write_atomically(tmp_path / "a", b"new")


def test_a_folder_that_nobody_named_may_not_lie_elsewhere(tmp_path):
    project, elsewhere = tmp_path / "project", tmp_path / "elsewhere"
    project.mkdir()
    elsewhere.mkdir()
    (project / "lamp-campaign").symlink_to(elsewhere)
    with pytest.raises(OSError, match="leads out of the project"):
        make_folder(project / "lamp-campaign", project)
    make_folder(project / "lamp-air", project)
    assert (project / "lamp-air").is_dir()


def test_a_sheet_reached_through_a_link_is_changed_itself(tmp_path):
    project = Path(shutil.copytree(EXAMPLE, tmp_path / "project"))
    (tmp_path / "links").mkdir()
    (tmp_path / "links" / "lamp.toml").symlink_to(project / "lamp.toml")
    set_values(tmp_path / "links" / "lamp.toml", {("vehicle", "name"): "Other"})
    assert '"Other"' in (project / "lamp.toml").read_text(encoding="utf-8")
    assert (tmp_path / "links" / "lamp.toml").is_symlink()


@pytest.mark.parametrize(
    ("name", "told"), [("access", lambda *_: False), ("getuid", lambda: -1)], ids=["read-only", "another's"]
)
def test_answers_are_kept_in_no_folder_that_the_user_does_not_own_and_write(
    tmp_path, monkeypatch, name, told
):
    monkeypatch.setenv("FINIAL_CACHE_DIR", str(tmp_path))
    assert answers_folder() == tmp_path / "answers"
    monkeypatch.setattr(os, name, told)
    assert answers_folder() is None
