"""Every picture as a builder finds it on paper: nothing cut off, nothing written over, no blank strip."""

import itertools
from dataclasses import dataclass
from xml.etree import ElementTree

import pytest

SVG = "{http://www.w3.org/2000/svg}"
EM_PER_LETTER = 0.42
"""Mean width of a letter in a serif face, over its height: common practice of setters."""
ROUNDING_MM = 0.01
LEFT_MM, RIGHT_MM, TOP_MM, FOOT_MM = 18.1, 12.1, 8.1, 6.0
"""A wider strip along an edge is wasted paper: the left one has room for numbers of six letters."""
BETWEEN_MM = 8.3
"""From one thing to the next below it: room for two rows of words."""
PLANS = {"landings", "drift_plan"}
"""What is drawn to one scale both ways may leave paper beside it."""

NAMES = (
    "side_view margin_by_angle pressure_by_roll flight_traces drift_plan body_loads firing_paths "
    "air-load.svg margin-map.svg landings shares spread tracks opening pressure tension zipper front "
    "fin-modes fin-sweep fin-envelope fin-stays strength-loads reserves rods inside"
).split()


@dataclass(frozen=True)
class Box:
    left: float
    top: float
    right: float
    bottom: float
    text: str = ""

    def moved(self, east: float, south: float) -> "Box":
        return Box(self.left + east, self.top + south, self.right + east, self.bottom + south, self.text)

    def overlap(self, other: "Box") -> tuple[float, float]:
        across = min(self.right, other.right) - max(self.left, other.left)
        return across, min(self.bottom, other.bottom) - max(self.top, other.top)


def box_of(node: ElementTree.Element) -> Box | None:
    def of(*names: str) -> list[float]:
        return [float(node.get(name)) for name in names]

    match node.tag.removeprefix(SVG):
        case "line":
            x1, y1, x2, y2 = of("x1", "y1", "x2", "y2")
            return Box(min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2))
        case "polyline" | "polygon":
            points = [tuple(map(float, pair.split(","))) for pair in node.get("points").split()]
            xs, ys = zip(*points, strict=True)
            return Box(min(xs), min(ys), max(xs), max(ys))
        case "rect":
            x, y, width, height = of("x", "y", "width", "height")
            return Box(x, y, x + width, y + height)
        case "path":
            numbers = [
                float(part)
                for part in node.get("d").replace("M", " ").replace("L", " ").replace("Z", " ").split()
            ]
            return Box(min(numbers[::2]), min(numbers[1::2]), max(numbers[::2]), max(numbers[1::2]))
        case "circle":
            x, y, r = of("cx", "cy", "r")
            return Box(x - r, y - r, x + r, y + r)
        case "text":
            x, y, size = of("x", "y", "font-size")
            width = EM_PER_LETTER * size * len(node.text)
            left = x - width * {None: 0.0, "start": 0.0, "middle": 0.5, "end": 1.0}[node.get("text-anchor")]
            return Box(left, y - 0.7 * size, left + width, y, node.text)
        case _:
            return None


def boxes(svg: str) -> tuple[list[Box], float, float]:
    """Boxes of all that is drawn, but for the paper itself; width and height of the paper."""
    root = ElementTree.fromstring(svg)
    width, height = (float(part) for part in root.get("viewBox").split()[2:])
    found: list[Box] = []

    def walk(node: ElementTree.Element, shift: tuple[float, float]) -> None:
        if node.tag == f"{SVG}defs":
            return
        if moved := node.get("transform"):
            east, south = map(float, moved.removeprefix("translate(").rstrip(")").split())
            shift = shift[0] + east, shift[1] + south
        if box := box_of(node):
            found.append(box.moved(*shift))
        for child in node:
            walk(child, shift)

    walk(root, (0.0, 0.0))
    assert found[0] == Box(0.0, 0.0, width, height)
    return found[1:], width, height


@pytest.fixture(scope="session", params=NAMES)
def papers(request, drawn, drawn_us):
    return [boxes(drawn[request.param]), boxes(drawn_us[request.param])]


def test_nothing_is_cut_off(papers):
    for found, width, height in papers:
        assert min(box.left for box in found) >= -ROUNDING_MM
        assert min(box.top for box in found) >= -ROUNDING_MM
        assert max(box.right for box in found) <= width + ROUNDING_MM
        assert max(box.bottom for box in found) <= height + ROUNDING_MM
        assert all(height - box.bottom > 0.5 for box in found if box.text), "letters hang below their line"


def test_no_strip_of_the_paper_is_blank(papers, request):
    a_plan = request.node.callspec.params["papers"] in PLANS
    for found, width, height in papers:
        assert max(box.right for box in found) >= width - RIGHT_MM
        assert max(box.bottom for box in found) >= height - FOOT_MM
        assert a_plan or min(box.left for box in found) <= LEFT_MM
        assert a_plan or min(box.top for box in found) <= TOP_MM


def test_no_blank_strip_runs_across_the_paper(papers, request):
    """From head to foot something is drawn: keys and labels stand close to what they belong to."""
    if request.node.callspec.params["papers"] in PLANS:
        return
    for found, _, _ in papers:
        reached = 0.0
        for box in sorted(found, key=lambda box: box.top):
            assert box.top - reached < BETWEEN_MM, box
            reached = max(reached, box.bottom)


def test_no_words_stand_on_others(papers):
    for found, _, _ in papers:
        texts = [box for box in found if box.text]
        assert len(texts) >= 2
        for one, other in itertools.combinations(texts, 2):
            across, along = one.overlap(other)
            assert across < 0.4 or along < 0.4, (one.text, other.text)


def graphs(svg: str) -> list[Box]:
    """Frames of the graphs: open grey boxes whose scales have ticks."""
    root = ElementTree.fromstring(svg)
    return [box_of(node) for node in root.iter(f"{SVG}rect") if node.get("stroke-width") == "0.2"]


@pytest.mark.parametrize("name", [name for name in NAMES if name not in PLANS])
def test_curves_stay_in_their_graph_and_use_its_height(name, drawn, drawn_us):
    for svg in (drawn[name], drawn_us[name]):
        frames, root = graphs(svg), ElementTree.fromstring(svg)
        curves = [box_of(node) for node in root.iter(f"{SVG}polyline")]
        if not frames or not curves:
            continue
        for curve in curves:
            inside = [frame for frame in frames if within(curve, frame)]
            assert inside, curve
        areas = [box_of(node) for tag in ("polygon", "rect") for node in root.iter(SVG + tag)]
        for frame in frames:
            heights = [one for one in (*curves, *areas) if within(one, frame) and one not in frames]
            top, foot = min(one.top for one in heights), max(one.bottom for one in heights)
            assert foot - top > 0.3 * (frame.bottom - frame.top) or foot - top == 0.0


def within(one: Box, other: Box) -> bool:
    return (
        one.left >= other.left - ROUNDING_MM
        and one.right <= other.right + ROUNDING_MM
        and one.top >= other.top - ROUNDING_MM
        and one.bottom <= other.bottom + ROUNDING_MM
    )


@pytest.mark.parametrize("name", NAMES)
def test_a_number_of_a_scale_stands_at_its_tick(name, drawn):
    """Below its tick, its middle on it; or left of it, level with it."""
    root = ElementTree.fromstring(drawn[name])
    ticks = [node for node in root.iter(f"{SVG}g") if node.get("data-at") and len(node) == 2]
    for tick in ticks:
        rule, number = tick
        at = float(tick.get("data-at"))
        size = float(number.get("font-size"))
        if rule.get("x1") == rule.get("x2"):
            assert number.get("text-anchor") == "middle"
            assert float(number.get("x")) == float(rule.get("x1")) == at
            under = float(number.get("y")) - size * 0.7 - float(rule.get("y1"))
            assert 0.5 < under < 3.0
        else:
            assert number.get("text-anchor") == "end"
            assert float(rule.get("y1")) == at
            assert 0.5 < float(rule.get("x1")) - float(number.get("x")) < 2.0
            middle = float(number.get("y")) - size * 0.35
            assert middle == pytest.approx(at, abs=0.1)


def test_graphs_have_ticks_both_ways_and_say_what_they_count(drawn):
    for name in ("opening", "tension", "fin-envelope", "front", "tracks", "spread", "air-load.svg"):
        root = ElementTree.fromstring(drawn[name])
        marks = [node.get("id") for node in root.iter() if node.get("data-at")]
        assert sum("-x-" in mark for mark in marks) >= 3
        assert sum("-y-" in mark for mark in marks) >= 3
        (frame,) = graphs(drawn[name])
        texts = [box for box in boxes(drawn[name])[0] if box.text]
        assert [box for box in texts if 0.5 < frame.top - box.bottom < 3.0 and box.left == frame.left]
        assert [box for box in texts if 4.0 < box.bottom - frame.bottom < 10.0 and box.right < frame.right]


@pytest.mark.parametrize(("name", "count"), [("body_loads", 3), ("strength-loads", 4)])
def test_graphs_of_a_stack_are_equally_high_and_equally_far_apart(name, count, drawn):
    frames = sorted(graphs(drawn[name]), key=lambda frame: frame.top)
    assert len(frames) == count
    heights = [frame.bottom - frame.top for frame in frames]
    assert heights == pytest.approx([heights[0]] * count)
    apart = [below.top - above.bottom for above, below in itertools.pairwise(frames)]
    assert apart == pytest.approx([apart[0]] * (count - 1))
    assert len({(frame.left, frame.right) for frame in frames}) == 1
