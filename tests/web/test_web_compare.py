"""Named variants: kept beside the sheet, and set side by side with only what differs."""

import shutil
from collections.abc import Callable, Coroutine
from dataclasses import replace
from pathlib import Path

import httpx
import pytest

from finial.core.errors import OutsideRange
from finial.files.typed import named_entries
from finial.files.variants import MOST_VARIANTS, Variants
from finial.findings.finding import Verdict
from finial.findings.readiness import Depth, Readiness
from finial.report.place_words import place_words
from finial.web.app import create_app
from finial.web.compare import NOT_ASKED, Compared, compared
from finial.web.desk import Desk
from finial.web.session import PageQuestion, Session

from .conftest import PAGE_KEY, answered, with_key

EXAMPLES = Path(__file__).parents[2] / "examples"

EXAMPLE = Path(__file__).parents[2] / "examples" / "buoy-tiers"
PORT = 8766


@pytest.fixture
def variants(tmp_path: Path) -> Variants:
    return Variants.of_sheet(tmp_path / "it.toml")


def with_ballast(kg: float) -> Readiness:
    return answered(PageQuestion(ballast_kg={"nose ballast": kg}, fin_span_scale=1.0))


def side_by_side(*answers: Readiness):
    names = ("sheet", "heavier", "third")
    return compared(
        [
            Compared(name=name, change=(), answer=one)
            for name, one in zip(names[: len(answers)], answers, strict=True)
        ]
    )


def test_what_was_kept_comes_back_and_one_of_the_same_name_is_replaced(variants: Variants) -> None:
    assert variants.kept() == ()
    variants.keep("  long   fins ", {"fin[1].span": "2 m"})
    variants.keep("heavy", {"item[1].mass": "2 kg"})
    variants.keep("long fins", {"fin[1].span": "3 m"})
    assert [(one.name, dict(one.change)) for one in variants.kept()] == [
        ("heavy", {"item[1].mass": "2 kg"}),
        ("long fins", {"fin[1].span": "3 m"}),
    ]
    variants.forget("heavy")
    assert [one.name for one in variants.kept()] == ["long fins"]
    with pytest.raises(OutsideRange, match="heavy"):
        variants.named("heavy")


def test_names_have_letters_and_there_is_an_end_to_them(variants: Variants) -> None:
    for name in ("", "  ", "x" * 61):
        with pytest.raises(OutsideRange, match="1 to 60"):
            variants.keep(name, {"a": "b"})
    for number in range(MOST_VARIANTS):
        variants.keep(str(number), {"a": "b"})
    with pytest.raises(OutsideRange, match="throw one away"):
        variants.keep("one more", {"a": "b"})
    variants.keep("3", {"a": "c"})


@pytest.mark.parametrize(
    "text",
    [
        "{",
        "{}",
        "[1]",
        '[{"name": "a"}]',
        '[{"name": 1, "change": {}}]',
        '[{"name": "a", "change": {"b": 1}}]',
    ],
)
def test_a_damaged_file_is_never_taken_for_none_and_never_written_over(variants: Variants, text: str) -> None:
    variants.path.write_text(text, encoding="utf-8")
    for act in (variants.kept, lambda: variants.keep("a", {"b": "c"}), lambda: variants.forget("a")):
        with pytest.raises(OutsideRange, match="not as it was written"):
            act()
    assert variants.path.read_text(encoding="utf-8") == text


def test_costs_are_told_against_the_first() -> None:
    # By hand, see conftest: 1.5 kg of ballast makes 7.5 kg, balance 0.580 m; 3.4 kg makes 9.4 kg, 0.483 m.
    # Bad ends: the band begins at 0.600 m, the balance point may lie 5 mm further aft.
    found = side_by_side(with_ballast(1.5), with_ballast(3.4))
    mass, apogee, margin = found.costs
    assert [(cell.value, cell.more) for cell in mass.cells] == [("7.5 kg", ""), ("9.4 kg", "+1.9 kg")]
    # 4000 / mass: 533.3 m and 425.5 m.
    assert apogee.cells[1].more.startswith("-108")
    assert [cell.value for cell in margin.cells] == ["15 mm", "112 mm"]
    assert margin.cells[1].more == "+97 mm"


def test_only_what_differs_is_shown() -> None:
    found = side_by_side(with_ballast(1.5), with_ballast(3.4))
    # 50 mm are needed: the light one is no-go, the heavy one goes; the speed off the rail goes in both.
    assert [row.cells for row in found.verdicts] == [("no-go", "go")]
    names = [row.name for row in found.numbers]
    assert "Mass at lift-off" in names
    assert "Length" not in names
    assert all(len(set(row.cells)) > 1 for row in found.numbers)
    same = side_by_side(with_ballast(1.5), with_ballast(1.5))
    assert (same.verdicts, same.numbers) == ((), ())
    assert all(cell.more == "" for row in same.costs for cell in row.cells)


def test_a_check_that_only_one_has_is_not_judged_in_the_other() -> None:
    whole = with_ballast(1.5)
    without = replace(whole, findings=tuple(one for one in whole.findings if one.key != "firing-current"))
    found = side_by_side(whole, without)
    assert [row.cells for row in found.verdicts] == [("not known", NOT_ASKED)]
    # No-go on the margin stays the verdict of both.
    assert [one.verdict for one in found.columns] == ["no-go", "no-go"]


def test_changes_are_told_by_whose_they_are_the_same_for_several_once() -> None:
    names = named_entries(EXAMPLES / "skerry-light" / "skerry-light.toml")
    parts = [names[f"part[{number}]"] for number in range(1, 6)]
    assert parts[:2] == ["dome", "lantern and gallery"]
    assert names["item[1]"] == "steel ballast"
    typed = {"item[1].mass": "2 kg", **{f"part[{number}].print.wall": "3 mm" for number in range(1, 6)}}
    assert place_words(typed, names) == (
        f"mass of {names['item[1]']} = 2 kg",
        f"print wall of {parts[0]}, {parts[1]} and 3 more = 3 mm",
    )
    three = {f"part[{number}].print.wall": "3 mm" for number in range(1, 4)}
    assert place_words(three, names) == (f"print wall of {parts[0]}, {parts[1]} and {parts[2]} = 3 mm",)
    apart = {"part[1].print.wall": "3 mm", "part[2].print.wall": "4 mm"}
    assert len(place_words(apart, names)) == 2


def test_the_whole_look_leaves_no_check_out() -> None:
    """A check that the quick look leaves to the whole one counts there, and the verdict with it."""
    answer = with_ballast(3.4)
    go = tuple(one for one in answer.findings if one.verdict is Verdict.GO)
    assert go
    open_still = next(one for one in answer.findings if one.verdict is Verdict.NOT_KNOWN)
    quick = replace(answer, findings=(*go, replace(open_still, key="strength-looked")), depth=Depth.QUICK)
    whole = replace(quick, depth=Depth.WHOLE)
    by_quick, by_whole = side_by_side(quick, quick), side_by_side(whole, whole)
    assert (by_quick.whole, by_whole.whole) == (False, True)
    assert {one.verdict for one in by_quick.columns} == {"go"}
    assert {one.verdict for one in by_whole.columns} == {"not known"}


@pytest.fixture
def at_desk(session: Session, tmp_path: Path) -> Session:
    shutil.copytree(EXAMPLE, tmp_path / "it")
    desk = Desk(path=tmp_path / "it" / "buoy-tiers.toml", refuse=lambda _changes: None)
    return replace(
        session,
        desk=desk,
        changes=lambda question: question.sheet,
        quickly=lambda changes: with_ballast(1.5 if not changes else 3.4),
    )


def test_the_page_keeps_and_compares(
    at_desk: Session, in_a_loop_of_its_own: Callable[[Coroutine], list[httpx.Response]]
) -> None:
    tried = {"sheet": {"vehicle.note": "heavier"}}

    async def talk() -> list[httpx.Response]:
        transport = httpx.ASGITransport(app=create_app(at_desk, port=PORT, key=PAGE_KEY))
        async with httpx.AsyncClient(
            transport=transport, base_url=f"http://127.0.0.1:{PORT}", cookies=with_key(PORT)
        ) as client:
            return [
                await client.post("/api/variants/keep", json={"name": "a", "tried": tried}),
                await client.post("/api/variants/keep", json={"name": "b", "tried": {}}),
                await client.post("/api/variants/compare", json={"names": ["", "a"]}),
                await client.post("/api/variants/compare", json={"names": ["a", "a"]}),
                await client.post("/api/variants/compare", json={"names": ["", "gone"]}),
                await client.post("/api/variants/forget", json={"name": "a"}),
            ]

    kept, nothing, found, twice, gone, forgotten = in_a_loop_of_its_own(talk())
    assert kept.json() == {
        "variants": [{"name": "a", "change": {"vehicle.note": "heavier"}, "said": ["vehicle note = heavier"]}]
    }
    assert nothing.status_code == 422
    assert "nothing is tried" in nothing.json()["error"]
    assert found.json()["on_their_way"] == 0
    columns = found.json()["found"]["columns"]
    assert [one["name"] for one in columns] == ["the sheet as saved", "a"]
    assert columns[1]["change"] == ["vehicle note = heavier"]
    assert twice.status_code == 422
    assert gone.status_code == 422
    assert forgotten.json() == {"variants": []}
