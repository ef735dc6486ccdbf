"""Places where a small fault can be put into a source file, and the file with one put in.

What is tried: an operator, a comparison, a constant, a truth value, a least for a largest, what is
returned. What is not: compiled kernels (the tests reach their machine code, not these lines),
words, docstrings, types, decorators, what only shapes the message of an error, and the invented
vehicles of examples, whose numbers no test could know better.
"""

import ast
import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import cast

TURNED: dict[type[ast.AST], type[ast.AST]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
    ast.Lt: ast.GtE,
    ast.GtE: ast.Lt,
    ast.Gt: ast.LtE,
    ast.LtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.And: ast.Or,
    ast.Or: ast.And,
}
SWAPPED = {"min": "max", "max": "min", "minimum": "maximum", "maximum": "minimum", "any": "all", "all": "any"}
KERNEL_MARKS = ("@inner", ".outer")
SLACK = 1e-6
"""A constant below this only keeps rounding away; a fifth more of it changes nothing."""
WORDS = ("report/wording/", "words.py", "core/compiled.py", "flight/gpu/", "/example.py")


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """One fault in one place. ``function`` is the first line of the innermost function it stands in."""

    file: str
    place: int
    line: int
    function: int | None
    before: str
    after: str

    @property
    def package(self) -> str:
        parts = self.file.split("/")
        return parts[1] if len(parts) > 2 else "(top)"

    @property
    def key(self) -> str:
        return f"{self.file}:{self.place}:{self.line}:{self.before}>{self.after}"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Fault:
    node: ast.expr | ast.stmt
    function: int | None
    put_in: Callable[[], Callable[[], None]]
    """Puts the fault in, and returns what takes it out again."""


def sites_in(folder: Path) -> list[Site]:
    """Return every place in the sources under a folder, in order."""
    return [site for path in sorted(folder.rglob("*.py")) if _tried(path) for site in _in_file(path, folder)]


def sample(sites: Sequence[Site], count: int, seed: int, least: int = 8) -> list[Site]:
    """Draw from each package its share of ``count``, and at least ``least`` where it has so many."""
    chosen: list[Site] = []
    for package in sorted({site.package for site in sites}):
        own = [site for site in sites if site.package == package]
        random.Random(f"{seed} {package}").shuffle(own)
        chosen += own[: max(least, round(count * len(own) / len(sites)))]
    return chosen


def with_fault(path: Path, place: int) -> ast.Module:
    """Return the tree of a source file with the fault of that place put in."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    fault = list(_faults(tree, None))[place]
    fault.put_in()
    return ast.fix_missing_locations(tree)


def _tried(path: Path) -> bool:
    name = path.as_posix()
    return not any(mark in name for mark in WORDS) and not any(
        mark in path.read_text(encoding="utf-8") for mark in KERNEL_MARKS
    )


def _in_file(path: Path, folder: Path) -> Iterator[Site]:
    file = f"{folder.name}/{path.relative_to(folder).as_posix()}"
    for place, fault in enumerate(list(_faults(ast.parse(path.read_text(encoding="utf-8")), None))):
        before = _shown(fault.node)
        take_out = fault.put_in()
        yield Site(
            file=file,
            place=place,
            line=fault.node.lineno,
            function=fault.function,
            before=before,
            after=_shown(fault.node),
        )
        take_out()


def _shown(node: ast.AST) -> str:
    return ast.unparse(node).splitlines()[0][:90]


def _faults(node: ast.AST, function: int | None) -> Iterator[_Fault]:
    if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
        function_inside = min([node.lineno, *(one.lineno for one in node.decorator_list)])
        for default in (*node.args.defaults, *node.args.kw_defaults):
            if default is not None:
                yield from _faults(default, function)
        for statement in node.body:
            yield from _faults(statement, function_inside)
        return
    yield from _here(node, function)
    for child in _children(node):
        yield from _faults(child, function)


def _children(node: ast.AST) -> Iterator[ast.AST]:
    if isinstance(node, ast.Raise | ast.Assert | ast.JoinedStr | ast.Import | ast.ImportFrom):
        return
    if isinstance(node, ast.keyword) and node.arg == "strict":
        return
    if isinstance(node, ast.ClassDef):
        yield from node.body
    elif isinstance(node, ast.AnnAssign):
        yield from [node.value] if node.value is not None else []
    elif isinstance(node, ast.Subscript) and isinstance(node.ctx, ast.Store):
        yield node.value
    else:
        yield from ast.iter_child_nodes(node)


def _here(node: ast.AST, function: int | None) -> Iterator[_Fault]:
    """Return the faults that can be put into this very node."""
    if isinstance(node, ast.expr | ast.stmt):
        for put_in in _changes(node):
            yield _Fault(node=node, function=function, put_in=put_in)


def _changes(node: ast.expr | ast.stmt) -> Iterator[Callable[[], Callable[[], None]]]:
    match node:
        case ast.BinOp(op=operator) if type(operator) in TURNED and not _is_text(node):
            yield _setting(node, "op", TURNED[type(operator)]())
        case ast.BoolOp(op=operator):
            yield _setting(node, "op", TURNED[type(operator)]())
        case ast.Compare():
            yield from (_setting_operator(node, number) for number in range(len(node.ops)))
        case ast.UnaryOp(op=ast.USub()):
            yield _setting(node, "op", ast.UAdd())
        case ast.UnaryOp(op=ast.Not()):
            yield _setting(node, "operand", ast.UnaryOp(op=ast.Not(), operand=node.operand))
        case ast.Constant(value=bool() | int() | float() as value) if not 0.0 < abs(value) < SLACK:
            yield _setting(node, "value", _other(value))
        case ast.Call(func=ast.Name(id=name)) if name in SWAPPED:
            yield _setting(node.func, "id", SWAPPED[name])
        case ast.Call(func=ast.Attribute(attr=name)) if name in SWAPPED:
            yield _setting(node.func, "attr", SWAPPED[name])
        case ast.Return() if not _is_none(node.value):
            yield _setting(node, "value", ast.Constant(None))
        case _:
            return


def _other(value: bool | float) -> bool | float:
    if isinstance(value, bool):
        return not value
    if isinstance(value, int):
        return value + 1
    return 1.2 * value if value else 1.0


def _is_text(node: ast.BinOp) -> bool:
    def text(side: ast.expr) -> bool:
        return isinstance(side, ast.JoinedStr) or (
            isinstance(side, ast.Constant) and isinstance(side.value, str)
        )

    return text(node.left) or text(node.right)


def _is_none(value: ast.expr | None) -> bool:
    return value is None or (isinstance(value, ast.Constant) and value.value is None)


def _setting(node: ast.AST, field: str, value: object) -> Callable[[], Callable[[], None]]:
    def put_in() -> Callable[[], None]:
        before = getattr(node, field)
        setattr(node, field, value)
        return lambda: setattr(node, field, before)

    return put_in


def _setting_operator(node: ast.Compare, number: int) -> Callable[[], Callable[[], None]]:
    operators = list(node.ops)
    operators[number] = cast("ast.cmpop", TURNED[type(node.ops[number])]())
    return _setting(node, "ops", operators)
