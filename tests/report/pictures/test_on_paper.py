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
PLANS = {"landings", "drift_plan"}
"""What is drawn to one scale both ways may leave paper beside it."""

NAMES = (
    "side_view margin_by_angle pressure_by_roll flight_traces drift_plan body_loads firing_paths "
    "air-load.svg margin-map.svg landings shares spread tracks opening pressure tension zipper front "
    "fin-modes fin-sweep fin-envelope fin-stays strength-loads reserves rods"
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


def test_no_words_stand_on_others(papers):
    for found, _, _ in papers:
        texts = [box for box in found if box.text]
        assert len(texts) >= 2
        for one, other in itertools.combinations(texts, 2):
            across, along = one.overlap(other)
            assert across < 0.4 or along < 0.4, (one.text, other.text)
