"""Long looks are kept by what they were computed from: the second is read back, damage is seen."""

import os
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from finial.core.content import content_hash
from finial.core.estimates import exact
from finial.files.kept import WHOLE, answers_folder, kept


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Any:
    monkeypatch.setenv("FINIAL_CACHE_DIR", str(tmp_path))
    return tmp_path / "answers"


def counted(results: list[int]) -> Any:
    def compute() -> Any:
        results.append(len(results))
        return results[-1]

    return compute


def aged(folder: Path) -> None:
    """Let a minute pass."""
    for path in folder.iterdir():
        then = path.stat().st_mtime - 60.0
        os.utime(path, (then, then))


def test_what_was_computed_is_read_back_and_not_computed_again(folder: Path) -> None:
    asked: list[int] = []
    assert kept("strength", "abc", counted(asked)) == 0
    assert kept("strength", "abc", counted(asked)) == 0
    assert asked == [0]
    assert kept("strength", "other", counted(asked)) == 1
    assert kept("recovery", "abc", counted(asked)) == 2


def test_a_damaged_answer_is_computed_anew(folder: Path) -> None:
    asked: list[int] = []
    kept("strength", "abc", counted(asked))
    (path,) = folder.iterdir()
    raw = bytearray(path.read_bytes())
    for place in (0, len(raw) // 2, len(raw) - 1):
        broken = bytearray(raw)
        broken[place] ^= 1
        path.write_bytes(bytes(broken))
        before = len(asked)
        assert kept("strength", "abc", counted(asked)) == before
    path.write_bytes(b"")
    kept("strength", "abc", counted(asked))
    assert asked == [0, 1, 2, 3, 4]


def test_a_folder_that_cannot_be_made_keeps_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("FINIAL_CACHE_DIR", str(tmp_path / "file"))
    asked: list[int] = []
    assert answers_folder() is None
    assert [kept("strength", "abc", counted(asked)) for _ in range(2)] == [0, 1]


def test_a_look_that_fails_is_not_kept(folder: Path) -> None:
    def fails() -> Any:
        raise ValueError("no answer")

    with pytest.raises(ValueError, match="no answer"):
        kept("strength", "abc", fails)
    assert kept("strength", "abc", lambda: 7) == 7


def test_only_the_user_reads_what_is_kept(folder: Path) -> None:
    kept("strength", "abc", lambda: 1)
    assert os.stat(folder).st_mode & 0o077 == 0


def test_old_answers_are_dropped(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("finial.files.kept.MOST_FILES", 3)
    for index in range(6):
        kept("strength", str(index), lambda: 1)
    assert len(list(folder.iterdir())) == 3


def test_what_is_asked_for_again_stays(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("finial.files.kept.MOST_FILES", 3)
    asked: list[int] = []
    for index in range(3):
        kept("strength", str(index), counted(asked))
        aged(folder)
    assert kept("strength", "0", counted(asked)) == 0
    aged(folder)
    kept("strength", "3", counted(asked))
    assert kept("strength", "0", counted(asked)) == 0
    assert kept("strength", "1", counted(asked)) == 4


@pytest.mark.parametrize("whole", WHOLE)
def test_many_small_answers_push_no_whole_one_out(
    folder: Path, monkeypatch: pytest.MonkeyPatch, whole: str
) -> None:
    monkeypatch.setattr("finial.files.kept.MOST_FILES", 2)
    monkeypatch.setattr("finial.files.kept.MOST_WHOLE", 2)
    asked: list[int] = []
    kept(whole, "abc", counted(asked))
    for index in range(4):
        aged(folder)
        kept("strength", str(index), lambda: 1)
    assert kept(whole, "abc", counted(asked)) == 0
    for index in range(2):
        aged(folder)
        kept(whole, str(index), counted(asked))
    assert kept(whole, "abc", counted(asked)) == 3


@pytest.mark.parametrize(
    "pair",
    [
        (1.0, 2.0),
        (1, 1.0),
        ("1", 1),
        ((1, 2), (1, (2,))),
        (np.zeros(2), np.zeros((2, 1))),
        (np.zeros(2), np.zeros(2, dtype=np.float32)),
        ({"a": 1}, {"a": 2}),
        (exact(1.0), exact(1.0, method="other")),
        (None, 0),
    ],
)
def test_other_content_has_another_hash(pair: Any) -> None:
    assert content_hash(pair[0]) != content_hash(pair[1])
    assert content_hash(pair[0]) == content_hash(pair[0])


def test_what_has_no_content_is_refused() -> None:
    with pytest.raises(TypeError, match="no content"):
        content_hash(object())
