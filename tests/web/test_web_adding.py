"""Tables added to a sheet: which there may be, what they need, and what is written."""

import shutil
import tomllib
from pathlib import Path

import pytest

from finial.core.errors import BuildSheetError, OutsideRange
from finial.files.edit import with_table
from finial.files.source import read_toml, toml_from
from finial.findings.check import load
from finial.web.adding import Adding, addable
from finial.web.desk import ChangedMeanwhile, Desk
from finial.web.question import read_adding
from finial.web.serve import session_of

EXAMPLE = Path(__file__).parents[2] / "examples" / "buoy-tiers"


@pytest.fixture(scope="module")
def at_desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    """The desk of a real session, so that the sheet's own reader is asked."""
    folder = tmp_path_factory.mktemp("adding") / "buoy"
    shutil.copytree(EXAMPLE, folder)
    desk = session_of(load(folder / "buoy-tiers.toml")).desk
    assert desk is not None
    return desk


def item(**changed: str) -> Adding:
    return Adding(path="item", values={"name": "camera", "mass": "41 g", "station": "300 mm", **changed})


def test_one_of_many_may_be_had_again_and_what_is_there_once_not() -> None:
    text = '[vehicle]\nname = "It"\nup = "+z"\n[[item]]\nname = "a"\n[launch]\nsite = "s.toml"\n'
    found = {one.path: one for one in addable(toml_from(Path("it.toml"), text))}
    assert found["item"].one_of_many
    assert found["item"].needs == ("item.name", "item.mass", "item.station")
    assert not found["weighing"].one_of_many
    assert found["recovery.joint"].needs == ("recovery.joint.name", "recovery.joint.station")
    assert not {"vehicle", "launch"} & set(found)
    inline = toml_from(Path("it.toml"), 'item = [{ name = "a" }]\nrod = ["x"]\n')
    assert "rod" not in {one.path for one in addable(inline)}


def test_it_goes_to_the_end_and_every_other_byte_stays(at_desk: Desk) -> None:
    before = at_desk.path.read_text(encoding="utf-8")
    at_desk.add(item(), at_desk.revision() or "")
    after = at_desk.path.read_text(encoding="utf-8")
    assert after == before + '\n[[item]]\nname = "camera"\nmass = "41 g"\nstation = "300 mm"\n'
    assert tomllib.loads(after)["item"][-1]["name"] == "camera"
    at_desk.path.write_text(before, encoding="utf-8")


@pytest.mark.parametrize(
    ("adding", "fault", "says"),
    [
        (item(mass="41 grams or so"), BuildSheetError, "mass"),
        (item(station="9 m"), BuildSheetError, "9 m"),
        (item(colour="red"), OutsideRange, "takes mass, name, station"),
        (Adding(path="item", values={"name": "x"}), OutsideRange, "takes mass, name, station"),
        (Adding(path="vehicle", values={}), OutsideRange, "'vehicle'"),
        (Adding(path="item]]\n[x", values={}), OutsideRange, "can be added"),
    ],
)
def test_what_the_sheet_would_not_take_is_not_written(
    at_desk: Desk, adding: Adding, fault: type[Exception], says: str
) -> None:
    before = at_desk.path.read_bytes()
    with pytest.raises(fault, match=says):
        at_desk.add(adding, at_desk.revision() or "")
    assert at_desk.path.read_bytes() == before


def test_nothing_is_added_to_a_sheet_changed_meanwhile(at_desk: Desk) -> None:
    before = at_desk.path.read_bytes()
    with pytest.raises(ChangedMeanwhile):
        at_desk.add(item(), "another")
    assert at_desk.path.read_bytes() == before


@pytest.mark.parametrize("ending", ["", "\n", "\r\n", " # a remark"])
def test_the_last_line_may_end_as_it_likes(ending: str) -> None:
    newline = "\r\n" if ending == "\r\n" else "\n"
    source = toml_from(Path("it.toml"), f'[a]{newline}b = "c"{ending}')
    text = with_table(source, ("d", "e f"), {"g": 1}, one_of_many=True)
    assert tomllib.loads(text) == {"a": {"b": "c"}, "d": {"e f": [{"g": 1}]}}
    assert text.startswith(source.text)
    assert ("\r\n" in text) == (newline == "\r\n")


def test_a_table_that_is_there_in_one_line_is_a_fault_of_the_sheet() -> None:
    source = toml_from(Path("it.toml"), "print = { bed = [] }\n")
    with pytest.raises(BuildSheetError, match=r"a further \[print\]"):
        with_table(source, ("print",), {}, one_of_many=False)


@pytest.mark.parametrize(
    "body",
    [
        b"{}",
        b'{"table": 1, "revision": "a", "values": {}}',
        b'{"table": "item", "revision": "a", "values": {"a": 1}}',
    ],
)
def test_a_question_that_is_none_is_refused(body: bytes) -> None:
    with pytest.raises(OutsideRange):
        read_adding(body)


def test_lists_are_read_as_the_sheet_has_them(at_desk: Desk) -> None:
    typed = {"thread": "M4", "material": "steel", "stations": '["100 mm", "200 mm"]'}
    _, values = Adding(path="rod", values=typed).in_full(read_toml(at_desk.path))
    assert values["stations"] == ["100 mm", "200 mm"]
