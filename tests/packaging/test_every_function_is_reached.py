"""What only tests reach is no part of the program: it is wired in or goes.

A function is reached where other code of the package names it, or an example in another docstring, a page, a
generator of pages or a benchmark. Functions are known by module and name, methods and properties by name
alone: one that shares its name with another is not found.
"""

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from code_blocks import bodies

ROOT = Path(__file__).parents[2]
SOURCES = ROOT / "src"
AROUND = ("bench", "docs", ".ci")
KEPT = {
    "finial.recovery.cords.kinds.knot_keeps": "the chart of knots, for the share that a builder enters",
    "finial.recovery.tether.kernel.path_lengths": "ways of cords, compiled, for the energy that tests sum",
}
"""Reached by tests alone, and why each stays all the same."""
Function = ast.FunctionDef | ast.AsyncFunctionDef
COMMANDS = {"command", "group"}
FACE = "finial.face"
"""What scripts call."""


def with_its_functions(tree: ast.AST) -> Iterator[tuple[ast.AST, frozenset[str]]]:
    """Every node, and the names of the functions that it stands in."""
    left: list[tuple[ast.AST, frozenset[str]]] = [(tree, frozenset())]
    while left:
        node, inside = left.pop()
        yield node, inside
        deeper = inside | {node.name} if isinstance(node, Function) else inside
        for field in node._fields:
            below = getattr(node, field, None)
            if isinstance(below, list):
                left += [(child, deeper) for child in below if isinstance(child, ast.AST)]
            elif isinstance(below, ast.AST) and below._fields:
                left.append((below, deeper))


def used_by(tree: ast.AST, module: str, besides: frozenset[str] = frozenset()) -> Iterator[str]:
    """Names that code uses, with their module where that is told; not a function's own inside itself."""
    known: dict[str, str] = {}
    through: list[tuple[str, str]] = []
    for node, inside in with_its_functions(tree):
        kind, last, whole = type(node), "", ""
        if kind is ast.Name:
            last, whole = node.id, f"{module}.{node.id}"
        elif kind is ast.Attribute:
            last, whole = node.attr, f".{node.attr}"
            if isinstance(node.value, ast.Name) and last not in inside:
                through.append((node.value.id, last))
        elif kind is ast.keyword and node.arg:
            last, whole = node.arg, f".{node.arg}"
        elif kind is ast.Constant and isinstance(node.value, str) and node.value.isidentifier():
            last, whole = node.value, f".{node.value}"
        elif kind is ast.ImportFrom and node.module:
            yield from (f"{node.module}.{one.name}" for one in node.names)
            known |= {one.asname or one.name: f"{node.module}.{one.name}" for one in node.names}
        elif isinstance(node, Function | ast.ClassDef):
            yield from used_by(example(node), module, inside | {node.name})
        if whole and last not in inside and last not in besides:
            yield whole
    yield from (f"{known[owner]}.{name}" for owner, name in through if owner in known)


def example(node: Function | ast.ClassDef) -> ast.Module:
    lines = [line.strip() for line in (ast.get_docstring(node) or "").splitlines()]
    return ast.parse("\n".join(line[4:] for line in lines if line[:4] in (">>> ", "... ")))


class Methods(NamedTuple):
    """Of a class: public ones by name, and what it stands on."""

    module: str
    owner: str
    names: tuple[str, ...]
    bases: tuple[str, ...]


def methods_of(module: str, node: ast.ClassDef) -> Methods:
    names = tuple(one.name for one in node.body if isinstance(one, Function) and named(one))
    return Methods(module, node.name, names, tuple(ast.unparse(base) for base in node.bases))


def code_around() -> Iterator[tuple[str, str]]:
    """Generators of pages, benchmarks, and what pages show."""
    for folder in AROUND:
        for path in (ROOT / folder).rglob("*.py"):
            yield str(path), path.read_text(encoding="utf-8")
    for page in (ROOT / "docs").glob("*.md"):
        yield str(page), "\n".join(bodies(page, "python"))


def unreached() -> tuple[set[str], int]:
    """Functions and methods that no code uses, and how many there are in all."""
    used = {name for where, text in code_around() for name in used_by(ast.parse(text), where)}
    functions: list[str] = []
    classes: list[Methods] = []
    for path in SOURCES.rglob("*.py"):
        module = ".".join(path.relative_to(SOURCES).with_suffix("").parts).removesuffix(".__init__")
        tree = ast.parse(path.read_text(encoding="utf-8"))
        used.update(used_by(tree, module))
        if not module.startswith(FACE):
            functions += [
                f"{module}.{one.name}" for one in tree.body if isinstance(one, Function) and named(one)
            ]
            classes += [methods_of(module, one) for one in tree.body if isinstance(one, ast.ClassDef)]
    ours = {one.owner for one in classes}
    methods = {
        f"{one.module}.{one.owner}.{name}": f".{name}"
        for one in classes
        if ours.issuperset(one.bases)
        for name in one.names
    }
    left = {one for one in functions if one not in used} | {
        path for path, met in methods.items() if met not in used
    }
    return left, len(functions) + len(methods)


def named(node: Function) -> bool:
    """Whether it is public and called by its name: commands are handed on by their decorator."""
    calls = [one.func if isinstance(one, ast.Call) else one for one in node.decorator_list]
    handed = any(isinstance(one, ast.Attribute) and one.attr in COMMANDS for one in calls)
    return not node.name.startswith("_") and not handed


def test_no_function_is_reached_by_tests_alone() -> None:
    found, of = unreached()
    assert of > 2000
    assert found == set(KEPT)
