"""Commands as a builder runs them: words, exit codes, files written."""

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader

from finial.cli.main import COMMANDS, main
from finial.files.read_by import revision_of

EXAMPLES = Path(__file__).parents[2] / "examples"
SKERRY = EXAMPLES / "skerry-light" / "skerry-light.toml"
BUOY = EXAMPLES / "buoy-tiers" / "buoy-tiers.toml"
pytestmark = pytest.mark.usefixtures("no_advice")


def run(monkeypatch: pytest.MonkeyPatch, *words: str) -> int:
    monkeypatch.setattr(sys, "argv", ["finial", *words])
    with pytest.raises(SystemExit) as ended:
        main()
    return int(ended.value.code or 0)


@pytest.mark.parametrize(
    ("example", "code", "opening"),
    [("skerry-light", 0, "Go"), ("phone-box", 3, "No-go"), ("pagoda", 4, "Not known")],
)
def test_the_examples_give_three_different_verdicts(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], example: str, code: int, opening: str
) -> None:
    assert run(monkeypatch, "check", str(EXAMPLES / example / f"{example}.toml"), "--brief") == code
    assert capsys.readouterr().out.startswith(opening)


def test_json_goes_to_stdout_and_notes_to_stderr(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """Of a sheet that was answered before there is nothing to note: it is looked at anew."""
    folder = Path(shutil.copytree(BUOY.parent, tmp_path / "buoy"))
    run(monkeypatch, "check", str(folder / BUOY.name), "--json")
    told = capsys.readouterr()
    answer = json.loads(told.out)
    assert set(answer) >= {"shape", "mass", "air", "stability", "strength", "flight", "recovery", "findings"}
    assert "slicing the skin" in told.err


def test_quiet_says_nothing_on_stderr(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    run(monkeypatch, "check", str(BUOY), "--json", "--quiet")
    assert capsys.readouterr().err == ""


def test_report_writes_a_pdf_that_reads_back(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    target = tmp_path / "new" / "skerry.pdf"
    assert run(monkeypatch, "report", str(SKERRY), "--output", str(target), "--quiet") == 0
    assert "Skerry Light" in PdfReader(target).pages[0].extract_text()
    assert [path.name for path in target.parent.iterdir()] == ["skerry.pdf"]


def test_the_card_is_one_page_with_the_revision_of_the_files(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    target = tmp_path / "card.pdf"
    assert run(monkeypatch, "report", str(SKERRY), "--card", "--output", str(target), "--quiet") == 0
    (page,) = PdfReader(target).pages
    assert f"files it reads: {revision_of(SKERRY)}" in " ".join(page.extract_text().split())


def test_fly_draws_and_writes_the_trace(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    trace = tmp_path / "trace.csv"
    words = ("fly", str(BUOY), "--plots", str(tmp_path / "plots"), "--trace", str(trace))
    assert run(monkeypatch, *words) == 3  # the verdict of the whole check
    assert "apogee" in capsys.readouterr().out
    assert {path.suffix for path in (tmp_path / "plots").iterdir()} == {".svg"}
    header, first, *_ = trace.read_text(encoding="utf-8").splitlines()
    assert len(header.split(",")) == len(first.split(","))


def test_new_writes_a_project_that_checks(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    folder = tmp_path / "mine"
    assert run(monkeypatch, "new", str(folder), "--example", "buoy-tiers") == 0
    assert run(monkeypatch, "check", str(folder / "buoy-tiers.toml"), "--quiet", "--brief") in (0, 3, 4)
    assert "Channel Buoy" in capsys.readouterr().out
    first = (folder / "buoy-tiers.toml").read_text(encoding="utf-8").splitlines()[0]
    assert (folder / first.removeprefix("#:schema ")).is_file()


def test_new_never_overwrites(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    kept = tmp_path / "kept.txt"
    kept.write_text("mine", encoding="utf-8")
    assert run(monkeypatch, "new", str(tmp_path)) == 2
    assert kept.read_text(encoding="utf-8") == "mine"
    assert "not empty" in capsys.readouterr().err


@pytest.mark.parametrize("name", list(COMMANDS))
def test_every_command_explains_itself(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    assert run(monkeypatch, name, "--help") == 0
    assert "Usage: finial" in capsys.readouterr().out


def test_help_loads_no_heavy_library() -> None:
    heavy = "{'numpy', 'scipy', 'trimesh', 'numba', 'shapely', 'pydantic'}"
    code = f"import sys; import finial.cli.main; print(sorted({heavy} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_an_unknown_command_is_a_usage_error(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, "chekc", str(BUOY)) == 2
    assert "No such command" in capsys.readouterr().err


def test_fly_in_gusts_shows_another_flight_and_the_same_verdict(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    told = []
    for number, more in enumerate(((), ("--gusts", "3"))):
        words = ("fly", str(BUOY), "--plots", str(tmp_path / str(number)), "--quiet", *more)
        told.append((run(monkeypatch, *words), capsys.readouterr().out))
    (calm, first), (gusty, second) = told
    assert calm == gusty == 3
    landed = [next(line for line in text.splitlines() if "  ground " in line) for text in (first, second)]
    assert landed[0] != landed[1]
    assert first.splitlines()[0] == second.splitlines()[0]
