"""Values that would clear the screen, begin a line of their own or turn the reading direction."""

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from finial.cli import main as command_line
from finial.core.errors import BuildSheetError, Fault, MeshError, UnitError
from finial.files.meshes import read_mesh
from finial.files.sheet import read_sheet
from finial.files.source import read_toml
from finial.files.thrust_curve import read_thrust_curve

EXAMPLE = Path(__file__).parents[1] / "files" / "full_sheet"
# Escape, bell, line and paragraph separators, turned and isolated text, a zero-width blank, a delete.
FORGERY = "\x1b[2J\x1b[32mGo\x07\u2028Go\u2029\u202eoG\u2066\u200b\x7f\x85"
IN_TOML = "".join(f"\\u{ord(letter):04x}" for letter in FORGERY)


def assert_harmless(text):
    for line in text.split("\n"):
        assert line.isprintable(), line
        assert line.strip() not in ("Go", "go")


def texts_of(values, path=()):
    """Paths of all texts in the sheet."""
    if isinstance(values, str):
        yield path
    if isinstance(values, dict | list):
        for key, inner in values.items() if isinstance(values, dict) else enumerate(values):
            yield from texts_of(inner, (*path, key))


def test_every_text_of_a_sheet_in_turn_says_nothing_of_its_own(tmp_path):
    folder = Path(shutil.copytree(EXAMPLE, tmp_path / "project"))
    source = read_toml(folder / "lamp.toml")
    paths = list(texts_of(source.values))
    assert len(paths) > 150
    for path in paths:
        start, end = source.places.spans[path]
        quote = source.text[start]
        assert quote == '"'
        text = source.text[: end - 1] + IN_TOML + source.text[end - 1 :]
        (folder / "lamp.toml").write_text(text, encoding="utf-8")
        with pytest.raises(BuildSheetError) as caught:
            read_sheet(folder / "lamp.toml")
        assert_harmless(str(caught.value))


@pytest.mark.parametrize("text", [f'"{IN_TOML}" = 1', f"[vehicle]\n'{IN_TOML}' = 2", f'["{IN_TOML}"]\na = 1'])
def test_keys_and_headings_are_made_visible_too(tmp_path, text):
    (tmp_path / "a.toml").write_text(text.replace("'", '"'), encoding="utf-8")
    with pytest.raises(BuildSheetError) as caught:
        read_sheet(tmp_path / "a.toml")
    assert "\\x1b[2J" in str(caught.value)
    assert_harmless(str(caught.value))


def test_a_line_that_does_not_parse_is_quoted_visibly(tmp_path):
    (tmp_path / "a.toml").write_text("a = \u202eoG\u2066 g", encoding="utf-8")
    with pytest.raises(BuildSheetError) as caught:
        read_sheet(tmp_path / "a.toml")
    assert "\\u202e" in str(caught.value)
    assert_harmless(str(caught.value))


def test_rows_of_a_curve_are_quoted_visibly(tmp_path):
    (tmp_path / "a.csv").write_text("0, 1\n1, \x1b[2J\u202eoG\n", encoding="utf-8")
    with pytest.raises(BuildSheetError) as caught:
        read_thrust_curve(tmp_path / "a.csv")
    assert_harmless(str(caught.value))


def test_a_mesh_file_of_such_a_name_or_with_such_rows(tmp_path):
    path = tmp_path / "\x1b[2J\u202eoG.obj"
    path.write_bytes(b"v 0 0 0\nf \x1b[2J 2 3\n")
    with pytest.raises(MeshError) as caught:
        read_mesh(path, "mm")
    assert_harmless(str(caught.value))


def test_every_field_of_a_fault_is_visible_and_cut():
    fault = Fault(
        file=FORGERY, field=FORGERY, given=FORGERY + "a" * 9000, accepted=FORGERY, likely_slip=FORGERY
    )
    assert_harmless(str(fault))
    assert len(fault.given) < 400
    assert_harmless(str(UnitError(given=FORGERY, accepted="a mass", likely_slip=FORGERY)))


def test_the_command_line_prints_nothing_of_it(tmp_path):
    folder = tmp_path / "\x1b[2J"
    folder.mkdir()
    (folder / "a.toml").write_text(f'[vehicle]\nname = "{IN_TOML}"\n', encoding="utf-8")
    done = CliRunner().invoke(command_line.finial, ["check", str(folder / "a.toml")])
    assert isinstance(done.exception, BuildSheetError)
    assert_harmless(str(done.exception))
