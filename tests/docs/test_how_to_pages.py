"""Pages that show how and why: their commands run as written, and say what the page quotes of them."""

import shlex
import sys
from pathlib import Path

import pytest
from code_blocks import blocks

from finial.cli.main import main

ROOT = Path(__file__).resolve().parents[2]
PAGES = ("a-lopsided-shape", "a-short-fat-body", "choosing-a-canopy", "ground-testing")
JUDGED = (0, 3, 4)


def plain(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("page", PAGES)
def test_commands_run_and_say_what_the_page_quotes(page, tmp_path, monkeypatch, capsys) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "examples").symlink_to(ROOT / "examples")
    told, run = "", 0
    for kind, body in blocks(ROOT / "docs" / f"{page}.md"):
        if kind == "sh":
            monkeypatch.setattr(sys, "argv", shlex.split(body, comments=True))
            with pytest.raises(SystemExit) as ended:
                main()
            assert ended.value.code in JUDGED
            told, run = plain(capsys.readouterr().out), run + 1
        elif kind == "text":
            for line in body.splitlines():
                assert plain(line) in told, line
    assert run
