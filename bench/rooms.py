"""How many rooms, on how many floors, with how many arrows between them: run ``python bench/rooms.py``.

A room is what stands directly in a folder: a module, or a folder seen as one. An arrow is one room that
imports another; a floor is one more than the highest room below it. Fewer of each is easier to hold in
the head, and one floor for all would be no order at all.
"""

import ast
import sys
from dataclasses import dataclass
from pathlib import Path

import grimp
from goals import judged, options, steady

ROOT = Path(__file__).resolve().parent.parent / "src"
HOUSES = ("finial", "finial.assemble", "finial.structure", "finial.recovery", "finial.aero", "finial.flight")


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """What one folder's rooms are to each other."""

    name: str
    rooms: int
    floors: int
    """0 where rooms import each other in a circle."""
    arrows: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """The longest of what one reads at a time."""

    longest_module: int
    longest_body: int
    """Statements' lines of a function, its docstring not counted."""


def house(graph: grimp.ImportGraph, name: str) -> House:
    """Count the rooms of a package, their arrows and floors."""
    rooms = sorted(graph.find_children(name))
    below = {
        room: {
            other
            for other in rooms
            if other != room and graph.direct_import_exists(importer=room, imported=other, as_packages=True)
        }
        for room in rooms
    }
    floor: dict[str, int] = {}
    while ready := [
        room for room, others in below.items() if room not in floor and all(each in floor for each in others)
    ]:
        floor |= {room: 1 + max((floor[each] for each in below[room]), default=0) for room in ready}
    return House(
        name=name,
        rooms=len(rooms),
        floors=max(floor.values()) if len(floor) == len(rooms) else 0,
        arrows=sum(map(len, below.values())),
    )


def sizes() -> Sizes:
    """Measure every module and every function under ``src``."""
    modules = [path.read_text(encoding="utf-8") for path in sorted(ROOT.rglob("*.py"))]
    functions = [
        node for text in modules for node in ast.walk(ast.parse(text)) if isinstance(node, ast.FunctionDef)
    ]
    return Sizes(
        longest_module=max(text.count("\n") for text in modules), longest_body=max(map(body_lines, functions))
    )


def body_lines(function: ast.FunctionDef) -> int:
    """Lines of a function's statements, without its docstring."""
    told = ast.get_docstring(function) is not None
    statements = function.body[1:] if told else function.body
    return (statements[-1].end_lineno or 0) - statements[0].lineno + 1 if statements else 0


def main() -> int:
    given = options(__doc__).parse_args()
    graph = grimp.build_graph("finial")
    houses, found = [house(graph, name) for name in HOUSES], sizes()
    for each in houses:
        print(f"{each.name:20} {each.rooms:3} rooms on {each.floors:2} floors, {each.arrows:3} arrows")
    print(f"longest module {found.longest_module} lines, longest body of a function {found.longest_body}")
    assembled = houses[HOUSES.index("finial.assemble")]
    circles = [(f"circles among the rooms of {each.name}", float(each.floors == 0)) for each in houses]
    goals = [
        *(steady(what, got, "exactly", 0) for what, got in circles),
        steady("rooms of assemble", assembled.rooms, "at most", 15),
        steady("arrows among them", assembled.arrows, "at most", 58),
        steady("longest module", found.longest_module, "at most", 500, " lines"),
    ]
    return judged(goals, given)


if __name__ == "__main__":
    sys.exit(main())
