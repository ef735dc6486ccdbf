"""The wheel is tried with the Python that runs the tests, and with the newest one of the machine."""

import os
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
pytestmark = pytest.mark.skipif(os.name != "posix", reason="the stand-ins are shell scripts")


@pytest.fixture
def try_wheel(monkeypatch):
    monkeypatch.syspath_prepend(ROOT / ".ci")
    import try_wheel

    return try_wheel


def stand_in(folder, version, code=0):
    """Put something in a folder that answers as a Python of that version does."""
    folder.mkdir(parents=True, exist_ok=True)
    script = folder / f"python{version}"
    script.write_text(f"#!/bin/sh\necho {version.replace('.', ' ')}\nexit {code}\n")
    script.chmod(0o755)
    return script


def test_the_newest_that_runs_and_is_known_is_taken(tmp_path, monkeypatch, try_wheel):
    monkeypatch.setattr(sys, "version_info", (3, 11, 7))
    stand_in(tmp_path / "bin", "3.12")
    wanted = stand_in(tmp_path / "bin", "3.13")
    stand_in(tmp_path / "bin", "3.14")
    monkeypatch.setenv("PATH", str(tmp_path / "bin"))
    assert try_wheel.here_and_newest() == [sys.executable, str(wanted)]


def test_behind_shims_the_real_ones_are_found(tmp_path, monkeypatch, try_wheel):
    monkeypatch.setattr(sys, "version_info", (3, 11, 7))
    stand_in(tmp_path / "shims", "3.13", code=127)
    wanted = stand_in(tmp_path / "versions" / "3.13.0" / "bin", "3.13")
    monkeypatch.setenv("PATH", str(tmp_path / "shims"))
    assert try_wheel.here_and_newest() == [sys.executable, str(wanted)]


def test_without_a_newer_one_it_says_so(tmp_path, monkeypatch, try_wheel, capsys):
    stand_in(tmp_path / "bin", "3.10")
    monkeypatch.setenv("PATH", str(tmp_path / "bin"))
    assert try_wheel.here_and_newest() == [sys.executable]
    assert "no newer Python" in capsys.readouterr().out
