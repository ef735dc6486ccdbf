"""A class name is met once in the whole library."""

import ast
from collections import defaultdict
from pathlib import Path

import finial

SOURCE = Path(finial.__file__).parent


def class_names() -> dict[str, list[str]]:
    found: dict[str, list[str]] = defaultdict(list)
    for path in SOURCE.rglob("*.py"):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                found[node.name].append(str(path.relative_to(SOURCE)))
    return found


def test_no_name_stands_for_two_things() -> None:
    every = class_names()
    assert len(every) > 400
    assert {name: places for name, places in every.items() if len(places) > 1} == {}
