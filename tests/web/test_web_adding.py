"""Tables added to a sheet: which there may be, what they need, and what is written."""

import shutil
import tomllib
from pathlib import Path

import pytest
from untried import untried

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
    with untried():
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


def test_what_stands_in_an_entry_is_added_there_by_the_name_of_its_owner(at_desk: Desk) -> None:
    source = read_toml(at_desk.path)
    found = {one.path: one for one in addable(source)}
    part = source.values["part"][0]["name"]
    assert (found["part[1].bores"].of, found["part[1].bores"].key) == (part, "part.bores")
    assert found["part[1].bores"].needs == ("part.bores.stations",)
    before = at_desk.path.read_text(encoding="utf-8")
    text = Adding(path="part[1].bores", values={"stations": '["20 mm", "40 mm"]'}).text(source)
    held = tomllib.loads(text)["part"]
    assert held[0]["bores"][-1] == {"stations": ["20 mm", "40 mm"]}
    assert held[1:] == source.values["part"][1:]
    kept = text.splitlines()
    assert all(line in kept for line in before.splitlines())


def test_a_table_of_its_own_in_an_entry_is_had_once_and_a_list_grows() -> None:
    text = '[[item]]\nname = "eye bolt"\n[[fin]]\nname = "fins"\nstays = [{ diameter = "1 mm" }]\n'
    source = toml_from(Path("it.toml"), text)
    stay = Adding(
        path="fin[1].stays",
        values={"diameter": "2 mm", "along": "1 mm", "outward": "3 mm", "preload": "5 N"},
    )
    assert [one["diameter"] for one in tomllib.loads(stay.text(source))["fin"][0]["stays"]] == [
        "1 mm",
        "2 mm",
    ]
    eye = Adding(path="item[1].eye", values={"thread": "M5", "washer": "15 mm"})
    held = toml_from(Path("it.toml"), eye.text(source))
    assert held.values["item"][0]["eye"] == {"thread": "M5", "washer": "15 mm"}
    assert "item[1].eye" not in {one.path for one in addable(held)}


def test_a_table_is_taken_away_where_the_reader_takes_the_rest(at_desk: Desk) -> None:
    before = at_desk.path.read_text(encoding="utf-8")
    at_desk.add(item(), at_desk.revision() or "")
    number = len(read_toml(at_desk.path).values["item"])
    at_desk.take_away(f"item[{number}]", at_desk.revision() or "")
    assert tomllib.loads(at_desk.path.read_text("utf-8")) == tomllib.loads(before)
    at_desk.path.write_text(before, encoding="utf-8")


@pytest.mark.parametrize(
    ("place", "revision", "fault"),
    [
        ("vehicle", "", BuildSheetError),
        ("item[99]", "", OutsideRange),
        ("item", "", OutsideRange),
        ("", "", OutsideRange),
        ("item[1]", "another", ChangedMeanwhile),
    ],
)
def test_what_the_sheet_needs_or_has_not_is_not_taken_away(
    at_desk: Desk, place: str, revision: str, fault: type[Exception]
) -> None:
    before = at_desk.path.read_bytes()
    with pytest.raises(fault):
        at_desk.take_away(place, revision or at_desk.revision() or "")
    assert at_desk.path.read_bytes() == before
