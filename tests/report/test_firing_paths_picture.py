"""The diagram of what fires what: every part once, wires between the right ones, what stands alone thick."""

from itertools import pairwise
from xml.etree import ElementTree

import pytest

from finial.assemble.electronics.study import electronics_result
from finial.core.dimensions import Dimension
from finial.core.units import show
from finial.report.pictures.firing_paths import firing_paths
from finial.report.pictures.svg import RUST

SVG = "{http://www.w3.org/2000/svg}"


def wired(vehicle, **tables):
    electronics = vehicle.sheet.electronics.model_copy(update=tables)
    return electronics_result(vehicle.sheet.model_copy(update={"electronics": electronics}))


def drawn(result) -> ElementTree.Element:
    return ElementTree.fromstring(firing_paths(result))


def boxes(root: ElementTree.Element) -> dict[str, ElementTree.Element]:
    """Rectangles by the words that stand in them, the first line where a name has two."""
    found: dict[str, ElementTree.Element] = {}
    for group in root.iter(f"{SVG}g"):
        rects = group.findall(f"{SVG}rect")
        texts = group.findall(f"{SVG}text")
        if len(rects) == 1:
            found[" ".join(text.text for text in texts)] = rects[0]
        elif rects:
            found |= {text.text: rect for rect, text in zip(rects, texts, strict=True)}
    return found


def middle(rect: ElementTree.Element) -> tuple[float, float]:
    x, y, width, height = (float(rect.get(key)) for key in ("x", "y", "width", "height"))
    return x + width / 2, y + height / 2


def joined(root: ElementTree.Element, one: str, two: str) -> bool:
    """Whether a line runs from the right edge of one box to the left edge of another."""
    first, second = (
        next(rect for words, rect in boxes(root).items() if words.startswith(name)) for name in (one, two)
    )
    from_x, from_y = middle(first)
    to_x, to_y = middle(second)
    ends = (
        from_x + float(first.get("width")) / 2,
        from_y,
        to_x - float(second.get("width")) / 2,
        to_y,
    )
    lines = [
        tuple(float(line.get(key)) for key in ("x1", "y1", "x2", "y2")) for line in root.iter(f"{SVG}line")
    ]
    return any(line == pytest.approx(ends, abs=0.01) for line in lines)


def test_the_lighthouse_s_two_chains_meet_at_the_canopy(lighthouse) -> None:
    root = drawn(electronics_result(lighthouse.sheet))
    chain = ("battery A", "computer A", "igniter A", "lantern charge", "main")
    backup = ("battery B", "computer B", "igniter B", "lantern backup", "main")
    for parts in (chain, backup):
        assert all(joined(root, one, two) for one, two in pairwise(parts))
    assert not joined(root, "igniter A", "lantern backup")
    thick = {words for words, rect in boxes(root).items() if rect.get("stroke") == RUST}
    assert thick == {"main"}


def test_what_stands_alone_is_thick_and_nothing_overlaps(lighthouse) -> None:
    electronics = lighthouse.sheet.electronics
    shared = electronics.computer[1].model_copy(update={"battery": "battery A"})
    root = drawn(wired(lighthouse, computer=(electronics.computer[0], shared)))
    found = boxes(root)
    assert found["battery A"].get("stroke") == RUST
    assert joined(root, "battery A", "computer B")
    places = sorted(middle(rect) for rect in found.values())
    for (x, y), (other_x, other_y) in pairwise(places):
        assert other_x - x > 20 or other_y - y > 11.4


def test_switches_in_series_stand_side_by_side_and_parallel_ones_above_each_other(lighthouse) -> None:
    electronics = lighthouse.sheet.electronics
    first = electronics.computer[0].model_copy(
        update={"switch": None, "switches": (("switch A",), ("switch A", "switch B"))}
    )
    root = drawn(wired(lighthouse, computer=(first, electronics.computer[1])))
    group = next(one for one in root.iter(f"{SVG}g") if len(one.findall(f"{SVG}rect")) == 3)
    (one, _), (two, upper), (three, below) = (middle(rect) for rect in group.findall(f"{SVG}rect"))
    assert one < two == three
    assert upper < below


def test_no_switch_and_what_leads_nowhere_are_shown(lighthouse) -> None:
    electronics = lighthouse.sheet.electronics
    live = electronics.computer[0].model_copy(update={"switch": None})
    found = boxes(
        drawn(
            wired(
                lighthouse,
                computer=(live, electronics.computer[1]),
                igniter=(electronics.igniter[0],),
            )
        )
    )
    assert "no switch: live at once" in found
    assert found["lantern backup charge"].get("stroke-dasharray")
    assert found["computer B"].get("stroke-dasharray")
    assert not found["computer A"].get("stroke-dasharray")


def test_an_igniter_tells_its_current_against_what_it_wants(lighthouse) -> None:
    igniter = lighthouse.sheet.electronics.igniter[0]
    result = electronics_result(lighthouse.sheet)
    low = result.paths[0].current.low
    assert f"igniter A {show(low, Dimension.CURRENT)}; wants 1 A apogee" in boxes(drawn(result))
    unknown = igniter.model_copy(update={"all_fire": None})
    found = boxes(drawn(wired(lighthouse, igniter=(unknown, lighthouse.sheet.electronics.igniter[1]))))
    assert any(words.startswith("igniter A") and "at least" in words for words in found)


@pytest.mark.parametrize(
    ("name", "lines"),
    [
        ("sixteen letters!", ["sixteen letters!"]),
        ("seventeen letters", ["seventeen", "letters"]),
        ("igniter of the lantern charge", ["igniter of the", "lantern charge"]),
        ("igniter of the very last charge", ["igniter of the", "very last charge"]),
        ("igniter of the very last charges", ["igniter of the", "very last charg…"]),
        ("withoutanyblankatall", ["withoutanyblank…"]),
    ],
)
def test_names_that_do_not_fit_their_box_break_once_and_are_then_cut(lighthouse, name, lines) -> None:
    igniters = lighthouse.sheet.electronics.igniter
    renamed = igniters[0].model_copy(update={"name": name})
    root = drawn(wired(lighthouse, igniter=(renamed, igniters[1])))
    groups = [[text.text for text in group.findall(f"{SVG}text")] for group in root.iter(f"{SVG}g")]
    assert any(group[: len(lines)] == lines for group in groups), groups


def test_plugs_are_numbered_on_the_wires_and_named_below(lighthouse) -> None:
    """One plug that feeds both computers fails alone; one of a single lead does not."""
    electronics = lighthouse.sheet.electronics
    computers = tuple(one.model_copy(update={"plugs": ("power plug",)}) for one in electronics.computer)
    igniters = (
        electronics.igniter[0].model_copy(update={"plugs": ("bay plug",)}),
        *electronics.igniter[1:],
    )
    root = drawn(wired(lighthouse, computer=computers, igniter=igniters))
    texts = [text.text for text in root.iter(f"{SVG}text")]
    assert "plugs: 1 power plug (alone), 2 bay plug" in texts
    plugs = {words: middle(rect) for words, rect in boxes(root).items() if words.isdigit()}
    computer, igniter = (
        next(middle(rect) for words, rect in boxes(root).items() if words.startswith(name))
        for name in ("computer B", "igniter A")
    )
    assert plugs["1"][1] == pytest.approx(computer[1])
    assert plugs["1"][0] < computer[0]
    assert plugs["2"][1] == pytest.approx(igniter[1])
    assert computer[0] < plugs["2"][0] < igniter[0]
