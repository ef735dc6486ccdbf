"""What ``finial open`` hands to the page: a draft or a vehicle, a port, a browser or none."""

import click
import pytest

from finial.cli import open_command
from finial.findings import check
from finial.web import serve


@pytest.fixture
def handed(monkeypatch):
    told = []
    monkeypatch.setattr(serve, "serve_session", lambda one, **how: told.append(("draft", one, how)))
    monkeypatch.setattr(serve, "serve", lambda one, **how: told.append(("sheet", one, how)))
    monkeypatch.setattr(check, "load_begun", lambda path, tell: f"loaded {path.name}")
    return told


def asked(finial, handed, *words):
    assert finial("open", *words).code == 0
    (one,) = handed
    handed.clear()
    return one


def test_what_is_not_there_is_begun_and_what_is_there_opens_as_it_is(finial, handed, tmp_path):
    kind, draft, how = asked(finial, handed, tmp_path / "new.toml", "--begin", "photos", "--no-browser")
    assert (kind, draft.kind) == ("draft", "photos")
    assert (how["port"], how["open_browser"], how["tell"]) == (0, False, click.echo)
    tower = tmp_path / "tower.toml"
    tower.write_text('name = "T"\n', encoding="utf-8")
    for words in (("--begin", "photos"), ()):
        kind, draft, how = asked(finial, handed, tower, *words)
        assert (kind, draft.kind, how["open_browser"]) == ("draft", "tower", True)


def test_a_sheet_is_loaded_and_shown_on_the_port_that_was_asked(finial, handed, tmp_path):
    sheet = tmp_path / "it.toml"
    sheet.write_text('[vehicle]\nname = "It"\nup = "+z"\n', encoding="utf-8")
    kind, loaded, how = asked(finial, handed, sheet, "--port", "8123")
    assert (kind, loaded, how["port"], how["open_browser"]) == ("sheet", "loaded it.toml", 8123, True)


def test_the_port_is_any_free_one_unless_it_is_told():
    ports = {option.name: option for option in open_command.command.params}
    assert ports["port"].default == 0
    assert (ports["port"].type.min, ports["port"].type.max) == (0, 65535)
