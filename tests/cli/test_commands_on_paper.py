"""Commands with what they call replaced by stand-ins: what is asked, where it goes, the code in the end."""

import json
from types import SimpleNamespace

import pytest

from finial.findings.finding import Verdict

CODES = {Verdict.GO: 0, Verdict.CAUTION: 0, Verdict.NO_GO: 3, Verdict.NOT_KNOWN: 4}


@pytest.fixture
def put(monkeypatch):
    """Put stand-ins in place of functions, by module and name."""

    def stand(stand_ins):
        for place, one in stand_ins.items():
            monkeypatch.setattr(f"finial.{place}", one)

    return stand


def judged(verdict):
    return SimpleNamespace(verdict=verdict, us_units=False)


def test_a_check_is_explained_without_a_vehicle_or_on_one(finial, put, tmp_path):
    every = finial("explain")
    assert (every.code, every.err) == (0, "")
    assert "fin-flutters" in every.out
    told = finial("explain", "fin-flutters", "--json")
    assert told.code == 0
    assert json.loads(told.out)["key"] == "fin-flutters"
    assert finial("explain", "fin-flutters").code == 0
    assert finial("explain", "no-such-check").code == 2
    here = []
    put(
        {
            "findings.check.load": lambda sheet, tell: sheet,
            "report.explain.here_lines": lambda key, answer, width: here.append((key, answer.verdict)) or (),
        }
    )
    for verdict, code in CODES.items():
        put({"findings.advice.answered": lambda _vehicle, verdict=verdict: judged(verdict)})
        assert finial("explain", "fin-flutters", tmp_path / "a.toml").code == code
    assert here == [("fin-flutters", verdict) for verdict in CODES]
    as_json = finial("explain", "fin-flutters", tmp_path / "a.toml", "--json")
    assert as_json.code == 0
    assert len(here) == len(CODES)


class Draw(SimpleNamespace):
    """A drawing of the whole at a scale."""

    def __call__(self, scale):
        return SimpleNamespace(title=self.title, scale=scale)


@pytest.fixture
def drawing(put):
    """Two fins to cut and one drawing of the whole, which two sheets hold at 1:5; a jig."""
    jig = SimpleNamespace(fins="tail fins", sound=SimpleNamespace(vertices_mm=None, faces=None))
    vehicle = SimpleNamespace(us_units=False)
    put(
        {
            "findings.check.load_begun": lambda sheet, tell: vehicle,
            "report.drawings.sheets.templates": lambda _vehicle: [SimpleNamespace(title="Fin", scale=1)],
            "report.drawings.sheets.wholes": lambda _vehicle: [Draw(title="From the side")],
            "report.drawings.as_svg.svg": lambda one, us_units: f"svg of 1:{one.scale}, us {us_units}",
            "report.drawings.as_pdf.pdf": lambda one, size, us_units: f"{size} of 1:{one.scale}".encode(),
            "report.drawings.as_pdf.fitting": lambda draw, size: draw(5),
            "report.drawings.as_dxf.dxf": lambda one: f"dxf of 1:{one.scale}".encode(),
            "report.drawings.as_dxf.can_write_dxf": lambda: True,
            "assemble.prints.jigs.fin_jigs": lambda _vehicle: [jig],
            "files.stl.stl_bytes": lambda _corners, _faces: b"solid",
        }
    )
    return vehicle


def written(folder):
    return {path.name: path.read_text() for path in sorted(folder.iterdir())}


def test_drawings_are_as_large_as_fits_and_true_to_scale_as_dxf(finial, drawing, tmp_path):
    done = finial("draw", tmp_path / "a.toml", "--quiet")
    assert (done.code, done.err) == (0, "")
    fit = written(tmp_path / "a-drawings")
    assert fit == {
        "1-fin.dxf": "dxf of 1:1",
        "1-fin.pdf": "a4 of 1:1",
        "1-fin.svg": "svg of 1:1, us False",
        "2-from-the-side.dxf": "dxf of 1:1",
        "2-from-the-side.pdf": "a4 of 1:5",
        "2-from-the-side.svg": "svg of 1:5, us False",
        "jig-tail-fins.stl": "solid",
    }
    assert done.out.splitlines() == [f"wrote {tmp_path / 'a-drawings' / name}" for name in _in_order(fit)]


def _in_order(names):
    """Each drawing as SVG, PDF and DXF, then the jigs."""
    ends = (".svg", ".pdf", ".dxf", ".stl")
    return sorted(names, key=lambda name: (name.endswith("stl"), name.split(".")[0], ends.index(name[-4:])))


def test_a_scale_a_paper_and_a_folder_are_taken_as_told(finial, drawing, put, tmp_path):
    put({"report.drawings.as_dxf.can_write_dxf": lambda: False})
    drawing.us_units = True
    target = tmp_path / "deep" / "there"
    done = finial("draw", tmp_path / "a.toml", "--scale", "1:10", "--folder", target)
    assert "finial[dxf]" in done.err
    assert written(target) == {
        "1-fin.pdf": "letter of 1:1",
        "1-fin.svg": "svg of 1:1, us True",
        "2-from-the-side.pdf": "letter of 1:10",
        "2-from-the-side.svg": "svg of 1:10, us True",
        "jig-tail-fins.stl": "solid",
    }
    finial("draw", tmp_path / "a.toml", "--paper", "a4", "--folder", target, "--quiet")
    assert written(target)["1-fin.pdf"] == "a4 of 1:1"


@pytest.mark.parametrize("verdict", CODES)
def test_a_report_ends_with_the_verdict_s_code_and_lies_beside_the_sheet(finial, put, tmp_path, verdict):
    made = []

    def pdf(answer, annex, *, revision, card_alone, paper):
        made.append((annex, revision, card_alone, paper))
        return b"pages"

    put(
        {
            "findings.kept_check.kept_check": lambda sheet, depth, tell: judged(verdict),
            "report.pdf.pdf_bytes": pdf,
            "report.words.answer": lambda one: "as it is",
            "cli.report_command._annex": lambda *asked: "annex",
            "cli.report_command.with_kept_tunnel": lambda answer, sheet: answer,
        }
    )
    sheet = tmp_path / "a.toml"
    sheet.touch()
    done = finial("report", sheet, "--quiet")
    assert (done.code, done.err) == (CODES[verdict], f"as it is\nreport written to {tmp_path / 'a.pdf'}\n")
    card = finial("report", sheet, "--card", "--paper", "a4")
    assert card.err.startswith("... setting the report\n")
    assert (tmp_path / "a.card.pdf").read_bytes() == b"pages"
    finial("report", sheet, "--output", tmp_path / "b" / "c.pdf", "--quiet")
    assert (tmp_path / "b" / "c.pdf").is_file()
    assert [row[2:] for row in made] == [(False, None), (True, "a4"), (False, None)]
    assert {row[:1] for row in made} == {("annex",)}


@pytest.mark.parametrize("kept", ["", "campaign", "surfaces", "flows"])
def test_a_page_to_send_takes_along_what_is_kept(finial, put, tmp_path, kept):
    from finial.tunnel_study.flows import FLOWS
    from finial.tunnel_study.surfaces import SURFACES
    from finial.web.share import NOTHING

    folder, flown = tmp_path / "tunnel", tmp_path / "flown"
    folder.mkdir()
    if kept == "campaign":
        flown.mkdir()
    for name, file in (("surfaces", SURFACES), ("flows", FLOWS)):
        if name == kept:
            (folder / file).touch()
    sent = []
    put(
        {
            "findings.kept_check.kept_check": lambda sheet, depth, tell: judged(Verdict.NO_GO),
            "files.own_campaign.own_campaign": lambda sheet: flown,
            "files.tunnel_runs.own_folder": lambda sheet: folder,
            "cli.share_command._beside": lambda sheet, checked: "what is kept",
            "web.share.shared_page": lambda checked, static, *, revision, when, beside: (
                sent.append(beside) or "<p>"
            ),
            "report.words.answer": lambda one: "as it is",
        }
    )
    sheet = tmp_path / "a.toml"
    sheet.touch()
    done = finial("share", sheet, "--quiet")
    assert (done.code, (tmp_path / "a.page.html").read_text()) == (3, "<p>")
    assert sent == [NOTHING if not kept else "what is kept"]
    finial("share", sheet, "--output", tmp_path / "b" / "c.html", "--quiet")
    assert (tmp_path / "b" / "c.html").is_file()
