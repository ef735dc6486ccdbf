"""``finial checklist`` writes a PDF beside the sheet's answer."""

from pathlib import Path

from pypdf import PdfReader

SKERRY = Path(__file__).parents[2] / "examples" / "skerry-light" / "skerry-light.toml"


def test_it_writes_the_list_with_the_verdict_and_its_exit_code(finial, tmp_path):
    target = tmp_path / "new" / "list.pdf"
    done = finial("checklist", SKERRY, "--quiet", "--output", target)
    assert done.code == 0
    assert "checklist written to" in done.err
    assert "Go, with" in " ".join(PdfReader(target).pages[0].extract_text().split())


def test_a_mesh_alone_has_no_checklist_yet(finial, tmp_path):
    begun = tmp_path / "begun.toml"
    begun.write_text('[vehicle]\nname = "Begun"\n\n[[part]]\nname = "all"\ntiers = []\nmaterial = "PLA"\n')
    done = finial("checklist", begun, "--quiet")
    assert done.code != 0
    assert not list(tmp_path.glob("*.pdf"))
