"""Commands that show one part of the answer: a begun sheet as far as it goes, a whole one by its own view."""

import json
import shutil
from types import SimpleNamespace

import click
import pytest

from finial.cli.view import View, ViewAsked, shown
from finial.findings.finding import Verdict
from finial.findings.readiness import Depth, Readiness

from .conftest import BUOY

COMMANDS = ("check", "air", "inside", "fly", "strength", "recovery")
BEGUN = """
[vehicle]
name = "Dome"
[[part]]
name = "dome"
mesh = "dome.stl"
mesh_unit = "mm"
material = "PETG"
weighed = "412 g +- 2 g"
"""


@pytest.fixture(scope="module")
def begun(tmp_path_factory):
    """A sheet of one mesh: no motor, no launch, no recovery."""
    folder = tmp_path_factory.mktemp("begun")
    shutil.copy(BUOY.parents[1] / "skerry-light" / "meshes" / "dome.stl", folder)
    sheet = folder / "dome.toml"
    sheet.write_text(BEGUN)
    return sheet


@pytest.mark.parametrize("command", COMMANDS)
def test_a_begun_sheet_is_answered_as_far_as_it_goes_and_is_not_known(finial, begun, command):
    done = finial(command, begun, "--json", "--quiet")
    told = json.loads(done.out)
    assert (done.code, done.err) == (4, "")
    assert told["verdict"] == "not known"
    assert done.out == json.dumps(told, indent=1, ensure_ascii=False) + "\n"


def test_a_begun_sheet_is_answered_in_place_of_a_kit(finial, begun):
    done = finial("kit", begun, "--quiet")
    assert done.code == 4
    assert not begun.with_suffix(".kit.html").exists()


def test_a_begun_sheet_s_tables_come_only_when_asked(finial, begun):
    short, full = (finial("check", begun, "--json", "--quiet", *more).out for more in ((), ("--full",)))
    assert len(full) > 1.5 * len(short)
    brief, long = (finial("check", begun, "--quiet", *more).out for more in (("--brief",), ()))
    assert "Air loads" in long
    assert "Air loads" not in brief


@pytest.fixture
def whole(monkeypatch, buoy):
    """A whole answer that nobody worked out, and what each command shows of it."""
    noted = {}
    answer = Readiness.__new__(Readiness)

    def kept(_path, depth, _tell):
        noted["depth"] = depth
        return answer

    def shows(readiness, view, asked):
        noted.update(readiness=readiness, view=view.name, asked=asked)
        return 3

    monkeypatch.setattr("finial.findings.kept_check.kept_check", kept)
    monkeypatch.setattr("finial.cli.air_command.with_kept_tunnel", lambda shown, sheet: shown)
    monkeypatch.setattr("finial.findings.check.readiness", lambda vehicle, tell: answer)
    monkeypatch.setattr("finial.findings.advice.answered", lambda vehicle, flown=(), tell=None: answer)
    for name in ("air", "inside", "fly", "strength", "recovery"):
        monkeypatch.setattr(f"finial.cli.{name}_command.shown", shows)
    for name in ("inside", "fly", "strength"):
        monkeypatch.setattr(f"finial.cli.{name}_command.loaded_or_begun", lambda sheet, quiet: buoy)
    return noted, answer


@pytest.mark.parametrize(
    ("command", "view"),
    [
        ("air", "air"),
        ("inside", "inside"),
        ("fly", "flight"),
        ("strength", "strength"),
        ("recovery", "recovery"),
    ],
)
def test_each_command_shows_its_own_view_of_the_whole_answer(finial, whole, tmp_path, command, view):
    noted, answer = whole
    done = finial(command, BUOY, "--full", "--plots", tmp_path)
    assert done.code == 3
    assert (noted["readiness"], noted["view"]) == (answer, view)
    assert noted["asked"] == ViewAsked(as_json=False, full=True, plots=tmp_path, quiet=False)
    assert noted.get("depth", Depth.WHOLE) is Depth.WHOLE


@pytest.mark.parametrize(("words", "depth"), [((), Depth.WHOLE), (("--quick",), Depth.QUICK)])
def test_a_check_goes_as_deep_as_asked(finial, monkeypatch, words, depth):
    asked = []
    answer = Readiness.__new__(Readiness)
    object.__setattr__(answer, "verdict", Verdict.CAUTION)
    monkeypatch.setattr(
        "finial.findings.kept_check.kept_check", lambda path, deep, tell: asked.append(deep) or answer
    )
    monkeypatch.setattr(
        "finial.report.text.print_readiness", lambda readiness, brief: click.echo(f"brief {brief}")
    )
    monkeypatch.setattr("finial.report.json_records.to_json", lambda readiness, full: f"full {full}")
    done = finial("check", BUOY, *words)
    assert (done.code, done.out, asked) == (0, "brief False\n", [depth])
    assert finial("check", BUOY, "--strict", "--brief", *words).code == 4
    assert finial("check", BUOY, "--json", *words).out == "full False\n"
    assert finial("check", BUOY, "--json", "--full", *words).out == "full True\n"


def test_pictures_are_drawn_only_where_asked_into_folders_made_for_them(capsys, tmp_path):
    answer = Readiness.__new__(Readiness)
    object.__setattr__(answer, "verdict", Verdict.NO_GO)
    view = View(
        name="air",
        write_text=lambda readiness: click.echo("words"),
        pictures=lambda readiness: {"a.svg": "<svg/>"},
    )

    def show(plots, quiet):
        return shown(answer, view, ViewAsked(as_json=False, full=False, plots=plots, quiet=quiet))

    assert show(None, quiet=False) == 3
    assert list(tmp_path.iterdir()) == []
    assert show(tmp_path / "deep" / "plots", quiet=False) == 3
    assert (tmp_path / "deep" / "plots" / "a.svg").read_text() == "<svg/>"
    assert show(tmp_path / "deep" / "plots", quiet=True) == 3  # again into the same
    told = capsys.readouterr()
    assert told.out == "words\n" * 3
    assert told.err == f"... plots written to {tmp_path / 'deep' / 'plots'}\n"


@pytest.mark.parametrize(("unit", "us"), [("mm", False), ("in", True), ("ft", True)])
def test_a_mesh_by_itself_is_read_in_its_unit_and_shown_in_the_builder_s(
    finial, monkeypatch, tmp_path, unit, us
):
    asked = {}

    def begun_of_mesh(mesh, **how):
        asked.update(how, mesh=mesh)
        return "begun"

    monkeypatch.setattr("finial.findings.begun.begun_of_mesh", begun_of_mesh)
    monkeypatch.setattr("finial.cli.air_command.begun_shown", lambda found, as_json, full: 4)
    mesh = tmp_path / "BODY.STL"
    assert finial("air", mesh, "--unit", unit, "--up", "-x").code == 4
    assert (asked["mesh"], asked["unit"], asked["up"], asked["us_units"]) == (mesh, unit, "-x", us)


def test_a_report_lies_beside_its_sheet_or_where_it_is_told(finial, monkeypatch, tmp_path):
    answer = SimpleNamespace(name="Mine", findings=(), verdict=Verdict.NO_GO)
    monkeypatch.setattr("finial.findings.kept_check.kept_check", lambda path, depth, tell: answer)
    monkeypatch.setattr("finial.files.read_by.revision_of", lambda sheet: None)
    monkeypatch.setattr("finial.cli.report_command._annex", lambda sheet, campaign, tell: "annex")
    monkeypatch.setattr(
        "finial.report.pdf.pdf_bytes",
        lambda readiness, annex, revision, card_alone, paper: f"%PDF {card_alone} {annex} {paper}".encode(),
    )
    sheet = tmp_path / "mine.toml"
    done = finial("report", sheet, "--quiet")
    assert (done.code, done.out) == (3, "")
    assert sheet.with_suffix(".pdf").read_bytes() == b"%PDF False annex None"
    assert done.err == (
        "No-go: do not fly Mine as it stands. 0 of 0 checks fail.\n"
        f"report written to {sheet.with_suffix('.pdf')}\n"
    )
    assert finial("report", sheet, "--card", "--quiet").code == 3
    assert sheet.with_suffix(".card.pdf").read_bytes() == b"%PDF True annex None"
    for _ in range(2):
        assert (
            finial("report", sheet, "--paper", "letter", "--output", tmp_path / "deep" / "there.pdf").code
            == 3
        )
    assert (tmp_path / "deep" / "there.pdf").read_bytes() == b"%PDF False annex letter"
