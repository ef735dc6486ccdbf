"""One run at a time in a folder."""

import os

import pytest

from finial.core.errors import CampaignError
from finial.files.alone import LOCK, sole_run


def test_a_second_run_is_told_who_holds_the_folder(tmp_path) -> None:
    folder = tmp_path / "campaign" / "store"
    with sole_run(folder):
        assert (folder / LOCK).read_text() == f"process {os.getpid()}\n"
        with (
            pytest.raises(CampaignError, match=rf"another run writes to .*store \(process {os.getpid()}\)"),
            sole_run(folder),
        ):
            pytest.fail("two at once")


def test_a_run_that_ended_lets_the_next_one_in(tmp_path) -> None:
    for _ in range(2):
        with sole_run(tmp_path):
            assert (tmp_path / LOCK).is_file()
    with pytest.raises(RuntimeError), sole_run(tmp_path):
        raise RuntimeError
    with sole_run(tmp_path):
        pass


def test_a_longer_name_of_the_holder_before_leaves_nothing_behind(tmp_path) -> None:
    (tmp_path / LOCK).write_text("process 99999999 of a long name\n")
    with sole_run(tmp_path):
        assert (tmp_path / LOCK).read_text() == f"process {os.getpid()}\n"


def test_a_folder_that_cannot_be_made_is_told(tmp_path) -> None:
    (tmp_path / "file").write_text("")
    with (
        pytest.raises(CampaignError, match="cannot be made or written to"),
        sole_run(tmp_path / "file" / "in"),
    ):
        pytest.fail("no folder")


def test_the_lock_is_never_taken_through_a_link(tmp_path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.write_text("mine")
    folder = tmp_path / "folder"
    folder.mkdir()
    (folder / LOCK).symlink_to(elsewhere)
    with pytest.raises(CampaignError), sole_run(folder):
        pytest.fail("through a link")
    assert elsewhere.read_text() == "mine"
