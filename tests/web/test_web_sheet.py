"""The sheet as a form: every place there, what is typed put back, and nothing written that should not be."""

import json
import shutil
import tomllib
from collections.abc import Callable, Coroutine
from dataclasses import replace
from pathlib import Path

import httpx
import pytest

from finial.core.dimensions import Dimension
from finial.core.errors import BuildSheetError, Fault, OutsideRange
from finial.files.edit import changed_text, set_values
from finial.files.sheet_form import filled_tables, value_typed
from finial.files.sheet_keys import KeyKind, KeyValue
from finial.files.sheet_rows import rows_of
from finial.files.source import dotted, read_toml
from finial.findings.advice import FIX, mends
from finial.findings.finding import Finding, Fix, Trial, Verdict
from finial.findings.readiness import Readiness
from finial.findings.same_check import check_of
from finial.report.shown import Shown
from finial.web.app import create_app
from finial.web.desk import ChangedMeanwhile, Desk
from finial.web.payload import answer_text, finding_cards
from finial.web.session import PageQuestion, Session, TypedMend

from .conftest import PAGE_KEY, with_key

EXAMPLES = Path(__file__).parents[2] / "examples"
SHEETS = [
    path for path in sorted(EXAMPLES.glob("*/*.toml")) if "vehicle" in tomllib.loads(path.read_text("utf-8"))
]
PORT = 8765
Run = Callable[[Coroutine], httpx.Response]


def willing(_changes: object) -> None:
    """Find nothing wrong."""


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    folder = tmp_path / "buoy"
    shutil.copytree(EXAMPLES / "buoy-tiers", folder)
    return Desk(path=folder / "buoy-tiers.toml", refuse=willing)


def typed_in_full(path: Path) -> dict[str, str]:
    fields = [one for table in filled_tables(read_toml(path)) for one in table.fields]
    return {dotted(one.place): one.text for one in fields if one.text is not None}


@pytest.mark.parametrize(
    "path", [path for path in SHEETS if "vehicle" in tomllib.loads(path.read_text("utf-8"))]
)
def test_typing_what_stands_there_changes_nothing(path: Path) -> None:
    desk, source = Desk(path=path, refuse=willing), read_toml(path)
    changes = desk.changes(typed_in_full(path))
    assert len(changes) > 20
    assert tomllib.loads(changed_text(source, changes)) == source.values


def leaves(place: tuple, value: object):
    """Places that hold no table, nor a list of tables."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from leaves((*place, key), inner)
    elif isinstance(value, list) and value and all(isinstance(one, dict) for one in value):
        for index, inner in enumerate(value):
            yield from leaves((*place, index), inner)
    else:
        yield place


def test_every_value_of_a_sheet_has_its_field() -> None:
    path = EXAMPLES / "skerry-light" / "skerry-light.toml"
    assert set(typed_in_full(path)) == {dotted(place) for place in leaves((), read_toml(path).values)}


def test_a_key_that_the_sheet_may_have_is_a_field_without_text(desk: Desk) -> None:
    tables = {dotted(table.place): table for table in filled_tables(read_toml(desk.path)) if table.place}
    absent = {one.keys[-1] for one in tables["part[1]"].fields if one.text is None}
    assert "glued" in absent
    known = {row.dotted for row in rows_of_the_sheet()}
    assert {".".join(one.keys) for table in tables.values() for one in table.fields} <= known


def rows_of_the_sheet():
    from finial.files.sheet_rows import BUILD_SHEET

    return rows_of(BUILD_SHEET)


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        (KeyKind.COUNT, " 4 ", 4),
        (KeyKind.COUNT, "-4", -4),
        (KeyKind.COUNT, "four", "four"),
        (KeyKind.COUNT, "9" * 30, "9" * 30),
        (KeyKind.YES_NO, "true", True),
        (KeyKind.YES_NO, "false", False),
        (KeyKind.YES_NO, "maybe", "maybe"),
        (KeyKind.QUANTITY, "1.4 kg", "1.4 kg"),
        (KeyKind.TEXT, "true", "true"),
        (KeyKind.LIST, '["1 mm", 2]', ["1 mm", 2]),
        (KeyKind.TABLE, "apogee", "apogee"),
        (KeyKind.TABLE, '{ after = "2 s" }', {"after": "2 s"}),
    ],
)
def test_what_is_typed_is_read_by_the_kind_of_its_key(kind: KeyKind, text: str, value: object) -> None:
    found = value_typed(KeyValue(kind=kind), text)
    assert found == value
    assert type(found) is type(value)


@pytest.mark.parametrize("text", ["1 mm, 2 mm", "[", "[1]\nvehicle = 2", "[" * 5000])
def test_a_list_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(OutsideRange, match="no list"):
        value_typed(KeyValue(kind=KeyKind.LIST), text)


def test_saving_writes_one_line(desk: Desk) -> None:
    before = desk.path.read_text("utf-8").splitlines()
    desk.save({"vehicle.note": "Typed."}, str(desk.revision()))
    after = desk.path.read_text("utf-8").splitlines()
    assert [new for old, new in zip(before, after, strict=True) if old != new] == ['note = "Typed."']


def test_nothing_is_written_over_a_sheet_whose_files_changed(desk: Desk) -> None:
    seen = str(desk.revision())
    curve = desk.path.parent / "motors" / "demo-k500.csv"
    curve.write_bytes(curve.read_bytes() + b"\n")
    before = desk.path.read_bytes()
    with pytest.raises(ChangedMeanwhile, match="nothing is written"):
        desk.save({"vehicle.note": "Typed."}, seen)
    assert desk.path.read_bytes() == before


def test_nothing_is_written_that_the_reader_refuses(desk: Desk) -> None:
    def refuse(_changes: object) -> None:
        raise BuildSheetError([Fault(file="a.toml", field="vehicle.note", given="x", accepted="y")])

    before = desk.path.read_bytes()
    with pytest.raises(BuildSheetError):
        replace(desk, refuse=refuse).save({"vehicle.note": "Typed."}, str(desk.revision()))
    assert desk.path.read_bytes() == before


def test_a_place_that_is_not_there_is_refused(desk: Desk) -> None:
    with pytest.raises(OutsideRange, match=r"no place 'item\[99\].mass'"):
        desk.changes({"item[99].mass": "1 kg"})


def test_changes_are_typed_as_the_sheet_would_have_them(desk: Desk) -> None:
    changes = {("vehicle", "note"): "x", ("part", 0, "outside"): True}
    assert desk.typed(changes) == {"vehicle.note": "x", "part[1].outside": "true"}
    assert desk.typed({("item", 99, "mass"): "1 kg"}) is None


@pytest.mark.parametrize(
    ("stands", "typed"),
    [
        ("2 lb +- 1 oz", "1.06792 lb +- 0.0343921 lb"),
        ("16 +- 1 oz", "17.0867 oz +- 0.550274 oz"),
        ("500 g", "484.4 g +- 15.6 g"),
    ],
)
def test_changes_are_typed_in_the_unit_that_stands_there(desk: Desk, stands: str, typed: str) -> None:
    set_values(desk.path, {("item", 0, "mass"): stands})
    exactly = "484.4 g +- 15.6 g"
    assert desk.typed_as_there({("item", 0, "mass"): exactly}) == {"item[1].mass": typed}
    # What is kept under a name stays as tried: its whole look is known by the very text.
    assert desk.typed({("item", 0, "mass"): exactly}) == {"item[1].mass": exactly}


def talked(session: Session, run: Run, talk: Callable[[httpx.AsyncClient], Coroutine]) -> httpx.Response:
    async def talking() -> httpx.Response:
        transport = httpx.ASGITransport(
            app=create_app(session, port=PORT, key=PAGE_KEY), raise_app_exceptions=False
        )
        async with httpx.AsyncClient(
            transport=transport, base_url=f"http://127.0.0.1:{PORT}", cookies=with_key(PORT)
        ) as client:
            return await talk(client)

    return run(talking())


@pytest.fixture
def at_desk(session: Session, desk: Desk) -> Session:
    """The invented vehicle with a sheet to fill in; read again, it is called otherwise."""
    later = replace(session, as_written=replace(session.as_written, name="Read Again"), desk=desk)
    return replace(session, desk=desk, read_again=lambda: replace(later, read_again=lambda: later))


def test_the_form_comes_with_the_meaning_of_every_key(at_desk: Session, in_a_loop_of_its_own: Run) -> None:
    form = talked(at_desk, in_a_loop_of_its_own, lambda client: client.get("/api/sheet")).json()
    paths = {field["path"] for table in form["tables"] for field in table["fields"]}
    assert paths <= set(form["keys"])
    assert form["keys"]["item.mass"]["units"][:2] == ["g", "kg"]
    assert form["revision"] == at_desk.desk.revision()


def test_what_is_typed_reaches_the_answer(at_desk: Session, in_a_loop_of_its_own: Run) -> None:
    asked: list[PageQuestion] = []

    def answer(change: PageQuestion) -> Readiness:
        asked.append(change)
        return at_desk.as_written

    listening = replace(at_desk, answer=answer)
    question = {"sheet": {"vehicle.note": "Typed."}}
    told = talked(listening, in_a_loop_of_its_own, lambda client: client.post("/api/what-if", json=question))
    assert told.status_code == 200
    assert asked == [PageQuestion(ballast_kg={}, fin_span_scale=1.0, sheet={("vehicle", "note"): "Typed."})]


def test_faults_come_by_place(at_desk: Session, in_a_loop_of_its_own: Run) -> None:
    def answer(_change: PageQuestion) -> Readiness:
        raise BuildSheetError([Fault(file="a.toml", field="item[1].mass", given="1 kilo", accepted="a mass")])

    question = {"sheet": {"vehicle.note": "Typed."}}
    told = talked(
        replace(at_desk, answer=answer),
        in_a_loop_of_its_own,
        lambda client: client.post("/api/what-if", json=question),
    )
    assert told.status_code == 422
    assert [(one["field"], one["accepted"]) for one in told.json()["faults"]] == [("item[1].mass", "a mass")]


def test_saving_answers_with_the_new_revision_and_a_new_vehicle(
    at_desk: Session, in_a_loop_of_its_own: Run
) -> None:
    seen = at_desk.desk.revision()

    async def talk(client: httpx.AsyncClient) -> httpx.Response:
        saved = await client.post("/api/save", json={"sheet": {"vehicle.note": "Typed."}, "revision": seen})
        assert saved.json() == {"revision": at_desk.desk.revision()}
        assert saved.json() != {"revision": seen}
        again = await client.post("/api/save", json={"sheet": {"vehicle.note": "Late."}, "revision": seen})
        assert again.status_code == 409
        return await client.get("/api/vehicle")

    assert talked(at_desk, in_a_loop_of_its_own, talk).json()["name"] == "Read Again"
    assert 'note = "Typed."' in at_desk.desk.path.read_text("utf-8")


@pytest.mark.parametrize(
    ("path", "body", "code"),
    [
        ("/api/what-if", {"sheet": ["vehicle.note"]}, 400),
        ("/api/what-if", {"sheet": {"vehicle.note": 4}}, 400),
        ("/api/what-if", {"sheet": {"nowhere": "4"}}, 400),
        ("/api/save", {"sheet": {"vehicle.note": "x"}}, 400),
        ("/api/save", {"sheet": {"vehicle.note": "x"}, "revision": "0"}, 409),
        ("/api/save", {"sheet": {"vehicle.note": "x" * 70_000}, "revision": "0"}, 413),
    ],
)
def test_hostile_questions_write_nothing(
    at_desk: Session, in_a_loop_of_its_own: Run, path: str, body: dict, code: int
) -> None:
    before = at_desk.desk.path.read_bytes()
    told = talked(at_desk, in_a_loop_of_its_own, lambda client: client.post(path, json=body))
    assert (told.status_code, at_desk.desk.path.read_bytes()) == (code, before)


@pytest.mark.parametrize("path", ["/api/save", "/api/read-again"])
def test_another_site_cannot_write(at_desk: Session, in_a_loop_of_its_own: Run, path: str) -> None:
    body = {"sheet": {"vehicle.note": "x"}, "revision": at_desk.desk.revision()}
    headers = {"Origin": "http://elsewhere.example"}
    told = talked(at_desk, in_a_loop_of_its_own, lambda client: client.post(path, json=body, headers=headers))
    assert told.status_code == 403
    plain = {"Content-Type": "text/plain"}
    told = talked(
        at_desk, in_a_loop_of_its_own, lambda client: client.post(path, content=b"{}", headers=plain)
    )
    assert told.status_code == 415


@pytest.mark.parametrize("path", ["/api/sheet", "/api/revision"])
def test_without_a_sheet_there_is_no_form(session: Session, in_a_loop_of_its_own: Run, path: str) -> None:
    assert talked(session, in_a_loop_of_its_own, lambda client: client.get(path)).status_code == 404


def judged(readiness: Readiness, *trials: Trial, fixes: tuple[Fix, ...] = ()) -> Finding:
    return replace(readiness.findings[0], trials=trials, fixes=fixes)


def trial(lever: str, name: str, *, turns: bool, size: float = 2.0) -> Trial:
    return Trial(lever=lever, name=name, was=1.0, size=size, dimension=Dimension.MASS, turns=turns)


def test_what_was_tried_and_turns_a_finding_is_a_change_of_the_sheet(
    lighthouse, readiness: Readiness
) -> None:
    ballast = lighthouse.sheet.item[0].name
    fix = Fix(key="two", changes={"recovery.joint.main.pins": 3})
    finding = judged(
        readiness, trial("ballast", ballast, turns=False, size=9.0), trial("ballast", ballast, turns=True)
    )
    told = replace(readiness, strength_study=None, findings=(finding,))
    # A ballast that grows keeps to its room: where it stands on its aft end its middle moves too.
    ((check, found),) = mends(lighthouse, told).items()
    assert (check, found.changes["item", 0, "mass"]) == (check_of(finding), "2000 g +- 10 g")
    assert (found.trial, found.named) == (finding.trials[1], {})
    vain = judged(
        readiness, trial("ballast", ballast, turns=False), trial(FIX, "two", turns=False), fixes=(fix,)
    )
    assert mends(lighthouse, replace(told, findings=(vain,))) == {}


MORE = TypedMend(
    trial=trial("ballast", "nose ballast", turns=True),
    named={},
    typed={"item[1].mass": "2 kg"},
    said=("mass of nose = 2 kg",),
)


@pytest.mark.parametrize(
    ("us_units", "says"),
    [(False, "nose ballast of 2 kg (1 kg now)"), (True, "nose ballast of 4.41 lb (2.2 lb now)")],
)
def test_only_what_fails_is_offered_its_change_in_words(
    readiness: Readiness, us_units: bool, says: str
) -> None:
    shown = replace(readiness, us_units=us_units)
    mends = {check_of(one): MORE for one in readiness.findings}
    change = {"says": says, "typed": {"item[1].mass": "2 kg"}, "said": ["mass of nose = 2 kg"]}
    by_verdict = {
        card["verdict"]: card["change"] for card in json.loads(answer_text(shown, mends))["findings"]
    }
    assert by_verdict == {"no-go": change, "not known": change, "go": None}


def test_a_follower_offers_and_says_only_what_its_leader_does_not(readiness: Readiness) -> None:
    leader = replace(readiness.findings[0], verdict=Verdict.NO_GO, trials=(MORE.trial,), cause="balance")
    rail = trial("rail", "", turns=True)
    same = replace(leader, subject=replace(leader.subject, name="another"))
    other = replace(leader, subject=replace(leader.subject, name="third"), trials=(rail,))
    mends = {
        check_of(leader): MORE,
        check_of(same): MORE,
        check_of(other): replace(MORE, trial=rail, typed={"launch.rail": "2 m"}),
    }
    (card,) = finding_cards((leader, same, other), Shown(us_units=False), mends)
    told, own = card.followers
    assert (told.fix, told.change) == ("", None)
    assert own.fix.startswith("With a rail of")
    assert own.change is not None
    assert own.change.typed == {"launch.rail": "2 m"}
