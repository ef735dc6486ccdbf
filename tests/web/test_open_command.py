"""``finial open``: a sheet, a tower or marks of photos, there or to be begun."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from finial.cli.main import finial
from finial.web import serve
from finial.web.drafts.draft import Draft


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    seen: list[object] = []
    monkeypatch.setattr(serve, "serve_session", lambda session, **_how: seen.append(session))
    return seen


def kinds(opened: list[object]) -> list[str]:
    assert all(isinstance(one, Draft) for one in opened)
    return [one.kind for one in opened]


@pytest.mark.parametrize("kind", ["tower", "photos"])
def test_a_file_that_is_not_there_is_begun_and_not_yet_written(
    tmp_path: Path, opened: list[object], kind: str
) -> None:
    path = tmp_path / "new.toml"
    done = CliRunner().invoke(finial, ["open", str(path), "--begin", kind, "--no-browser"])
    assert done.exit_code == 0, done.output
    assert kinds(opened) == [kind]
    assert not path.exists()


def test_a_file_that_is_there_opens_as_what_it_is(tmp_path: Path, opened: list[object]) -> None:
    tower, photos = tmp_path / "tower.toml", tmp_path / "marks.toml"
    tower.write_text('name = "T"\n', encoding="utf-8")
    photos.write_text('[[photo]]\nname = "east"\n', encoding="utf-8")
    for path in (tower, photos):
        assert CliRunner().invoke(finial, ["open", str(path), "--begin", "tower"]).exit_code == 0
    assert kinds(opened) == ["tower", "photos"]


def test_without_a_file_and_without_begin_the_sheets_reader_says_so(
    tmp_path: Path, opened: list[object]
) -> None:
    done = CliRunner().invoke(finial, ["open", str(tmp_path / "none.toml")])
    assert "no such file" in str(done.exception)
    assert opened == []
