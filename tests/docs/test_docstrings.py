"""Docstrings say what the code does: arguments with units, range, errors, source and an example.

What a docstring must hold follows from what the function does, never from its name. A function

- **computes** if numbers go in, bare or in records, and something returns: it must hold everything;
- **refuses** if numbers go in and nothing returns: its parameters and what it raises;
- **looks up** if no number goes in: what it returns and raises, since the source stands in the record;
- **is a kernel** if it is compiled for the flight: the unit of each number and a source, but no example,
  since it works on flat memory;
- **joins** if it stands in ``assemble`` and takes records or names: what it raises, and the unit of each bare
  number unless its name ends in it;
- **shows** if it is a property: the unit.

A function of ``assemble`` that takes bare numbers alone is no join: it computes, and is held to that.
A method that says no more than "As :class:`Base` says." is held to what its base says.
Counts (``int``) have no unit. Errors are found in the syntax tree: those a function raises, those of
private functions beside it and of guards, which return nothing, and those its callees tell of.
An error of a callee that cannot come through is named too, with the reason.
"""

import ast
import inspect
import pkgutil
import re
import textwrap
import types
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, fields, is_dataclass
from enum import Enum
from functools import cache, cached_property
from importlib import import_module
from pathlib import Path
from typing import Any, Union, get_args, get_origin, get_type_hints

import numpy as np
import pytest
from numpy.typing import ArrayLike

import finial
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate

PHYSICS = (
    *("aero", "atmosphere", "electronics", "flight", "flown", "inside", "mass", "materials", "motors"),
    *("printing", "range_safety", "recovery", "shape", "structure", "tunnel", "core.statistics"),
)
OTHERS = (
    "campaign",
    "cli",
    "core",
    "face",
    "files",
    "findings",
    "logbook",
    "report",
    "sizing",
    "tunnel_study",
    "web",
)
"""Packages without physics of their own: what they say is read on pages and in --help."""
HEADINGS = ("Parameters", "Returns", "Yields", "Raises", "Notes", "References", "Examples")
SECTIONS = re.compile(rf"\n({'|'.join(HEADINGS)})\n-+\n")
ENTRY = re.compile(r"^([\w*][\w*, ]*?) : (.*)$", re.MULTILINE)
ENTRY_TYPE = re.compile(r"^\w[\w, ]*? : (.*)\n((?:    .*\n?)+)", re.MULTILINE)
UNIT = re.compile(r"\[[^\]\n]+\]")
AS_BASE = re.compile(r"As :class:`(\w+)` says\.")
UNIT_WORDS = frozenset("m m2 m3 m4 s s2 kg n pa k rad j w v a ohm".split())


@cache
def for_types_alone(module: str) -> dict[str, Any]:
    """What a module imports only where types are checked: its annotations need it, its code does not."""
    tree = ast.parse(inspect.getsource(import_module(module)))
    found: dict[str, Any] = {}
    for node in tree.body:
        if isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING":
            exec(compile(ast.Module(body=node.body, type_ignores=[]), module, "exec"), found)
    return found


@dataclass(frozen=True)
class Documented:
    """A public function or method with what its docstring and its code say."""

    package: str
    name: str
    function: types.FunctionType
    compiled: bool = False
    is_property: bool = False
    owner: type = object

    @cached_property
    def text(self) -> str:
        own = inspect.getdoc(self.function) or ""
        elsewhere = AS_BASE.fullmatch(own)
        if elsewhere:
            (base,) = (one for one in self.owner.__mro__[1:] if one.__name__ == elsewhere[1])
            own = inspect.getdoc(vars(base)[self.function.__name__]) or ""
        return "\n" + own

    @cached_property
    def sections(self) -> dict[str, str]:
        parts = SECTIONS.split(self.text)
        return dict(zip(parts[1::2], parts[2::2], strict=True))

    @cached_property
    def hints(self) -> dict[str, Any]:
        return get_type_hints(self.function, localns=for_types_alone(self.function.__module__))

    @cached_property
    def parameters(self) -> list[str]:
        given = [name for name in inspect.signature(self.function).parameters if name not in ("self", "cls")]
        told_elsewhere = memory_of(self.function) - self.described.keys() if self.compiled else ()
        return [name for name in given if name not in told_elsewhere]

    @cached_property
    def returned(self) -> Any:
        return self.hints.get("return", type(None))

    @cached_property
    def kind(self) -> str:
        if self.is_property:
            return "shows"
        if self.compiled:
            return "is a kernel"
        numeric = [name for name in self.parameters if carries_numbers(self.hints.get(name))]
        only_numbers = numeric and all(is_number(self.hints.get(name)) for name in self.parameters)
        only_numbers = only_numbers and "self" not in inspect.signature(self.function).parameters
        if self.package == "assemble" and not only_numbers:
            return "joins"
        if not numeric:
            return "looks up"
        return "refuses" if self.returned is type(None) else "computes"

    @cached_property
    def described(self) -> dict[str, str]:
        """Each parameter's type and description as the docstring has them."""
        parts = ENTRY.split("\n" + self.sections.get("Parameters", ""))
        found = zip(parts[1::3], parts[2::3], parts[3::3], strict=True)
        return {name.strip(" *"): kind + text for names, kind, text in found for name in names.split(",")}


@cache
def memory_of(kernel: types.FunctionType) -> frozenset[str]:
    """Flat arrays whose contents are told once, in the files beside the kernel that lay them out."""
    home = import_module(kernel.__module__.rpartition(".")[0])
    beside = [one.name for one in pkgutil.iter_modules(home.__path__) if one.name.endswith("layout")]
    told = [import_module(f"{home.__name__}.{name}").__doc__ or "" for name in beside]
    return frozenset(re.findall(r"``(\w+)``", " ".join(told)))


def flat(arguments: Any) -> Iterator[Any]:
    for one in arguments:
        if isinstance(one, list | tuple):
            yield from flat(one)
        else:
            yield one


def is_array(annotation: Any) -> bool:
    return annotation in (np.ndarray, ArrayLike) or get_origin(annotation) is np.ndarray


def is_number(annotation: Any) -> bool:
    """Whether the annotation is, or holds, a number of its own: a count, a float, an array, an estimate."""
    if annotation in (int, float, complex, Estimate) or is_array(annotation):
        return True
    return any(map(is_number, flat(get_args(annotation))))


def has_unit(annotation: Any) -> bool:
    """Whether it holds a number that needs a unit; counts, marks and shapes, and arrays of them, do not.

    Nor does what the sheet writes, text or number: its field says the unit.
    """
    if annotation in (float, complex, Estimate) or is_array(annotation):
        return not re.search(r"dtype\[numpy\.(int|bool|object)", str(annotation))
    if get_origin(annotation) in (Union, types.UnionType) and str in get_args(annotation):
        return False
    return any(map(has_unit, flat(get_args(annotation))))


def holds_text(annotation: Any) -> bool:
    if is_array(annotation):
        return False
    return annotation is str or any(map(holds_text, flat(get_args(annotation))))


def holds_array(annotation: Any) -> bool:
    """Whether arrays come in; what a function that comes in takes and gives is told with it."""
    if get_origin(annotation) is Callable:
        return False
    return is_array(annotation) or any(map(holds_array, flat(get_args(annotation))))


def carries_numbers(annotation: Any, seen: tuple[Any, ...] = ()) -> bool:
    """Whether numbers come with it, bare or in the fields of a record."""
    if is_number(annotation):
        return True
    if is_dataclass(annotation) and annotation not in seen:
        hints = get_type_hints(annotation)
        return any(carries_numbers(hints[one.name], (*seen, annotation)) for one in fields(annotation))
    return any(carries_numbers(one, seen) for one in flat(get_args(annotation)) if one not in seen)


def ends_in_unit(name: str) -> bool:
    return name.split("_")[-1] in UNIT_WORDS


def modules(package: str) -> list[types.ModuleType]:
    home = import_module(f"finial.{package}")
    inside = pkgutil.walk_packages(getattr(home, "__path__", ()), f"finial.{package}.")
    names = [one.name for one in inside if not one.name.startswith("finial.flight.gpu")]
    return [home, *map(import_module, names)]


def plain(member: Any) -> Any:
    """Return the Python function under a compiled or cached one."""
    return inspect.unwrap(getattr(member, "py_func", member))


def plain_method(member: Any) -> Any:
    if isinstance(member, property):
        return member.fget
    return member.func if isinstance(member, cached_property) else getattr(member, "__func__", member)


def methods(package: str, owner: type) -> Iterator[Documented]:
    for name, member in vars(owner).items():
        shown = isinstance(member, property | cached_property)
        function = plain_method(member)
        if not name.startswith("_") and inspect.isfunction(function):
            full = f"{owner.__module__}.{owner.__name__}.{name}"
            yield Documented(package, full, function, is_property=shown, owner=owner)


def public(package: str) -> Iterator[Documented]:
    for module in modules(package):
        for name, member in list(vars(module).items()):
            function = plain(member) if callable(member) else None
            if name.startswith("_") or getattr(function, "__module__", "") != module.__name__:
                continue
            if inspect.isfunction(function):
                compiled = hasattr(member, "py_func")
                yield Documented(package, f"{module.__name__}.{name}", function, compiled=compiled)
            elif inspect.isclass(member) and not issubclass(member, Enum):
                yield from methods(package, member)


ALL = [one for package in (*PHYSICS, "assemble") for one in public(package)]


Rule = Callable[[Documented], None]


def complaint(rule: Rule, one: Documented) -> str:
    """What a rule says against a docstring; nothing where it holds."""
    try:
        rule(one)
    except (AssertionError, KeyError) as broken:
        return str(broken).split("\n")[0] or "broken"
    return ""


def each(held: list[Documented]) -> Callable[[Rule], Callable[[], None]]:
    """Make one test of a rule: thousands of docstrings are no thousands of tests."""

    def test_of(rule: Rule) -> Callable[[], None]:
        def test() -> None:
            assert held
            broken = [f"{one.name}: {said}" for one in held if (said := complaint(rule, one))]
            assert not broken, "\n".join(broken)

        test.__name__, test.__doc__, test.rule = rule.__name__, rule.__doc__, rule
        return test

    return test_of


# --- what the code raises -------------------------------------------------------------------------


@cache
def tree(function: types.FunctionType) -> ast.AST:
    return ast.parse(textwrap.dedent(inspect.getsource(function)))


def error_names(nodes: Iterable[ast.expr]) -> frozenset[str]:
    bare = [one.func if isinstance(one, ast.Call) else one for one in nodes]
    return frozenset(one.id for one in bare if isinstance(one, ast.Name) and one.id[0].isupper())


@cache
def raised_here(function: types.FunctionType) -> frozenset[str]:
    return error_names(one.exc for one in ast.walk(tree(function)) if isinstance(one, ast.Raise) and one.exc)


@cache
def caught_here(function: types.FunctionType) -> frozenset[str]:
    return error_names(
        one.type for one in ast.walk(tree(function)) if isinstance(one, ast.ExceptHandler) and one.type
    )


def is_constant(given: ast.expr) -> bool:
    return isinstance(given, ast.Constant) or (isinstance(given, ast.Name) and given.id.isupper())


def only_constants(call: ast.Call) -> bool:
    given = [*call.args, *(one.value for one in call.keywords)]
    return bool(given) and all(map(is_constant, given))


@cache
def called_by(function: types.FunctionType) -> frozenset[types.FunctionType]:
    """Functions of the project called by name, and the checks of the records made by name.

    A call with nothing but constants can only fail by a slip of ours.
    """
    calls = [one for one in ast.walk(tree(function)) if isinstance(one, ast.Call)]
    called = [one.func for one in calls if not only_constants(one)]
    found = [plain(function.__globals__.get(one.id)) for one in called if isinstance(one, ast.Name)]
    found = [getattr(one, "__post_init__", None) if inspect.isclass(one) else one for one in found]
    homes = ("finial.", function.__module__)
    ours = [one for one in found if inspect.isfunction(one) and one.__module__.startswith(homes)]
    return frozenset(ours) - {function}


def gives_something(function: types.FunctionType) -> bool:
    return any(isinstance(one, ast.Return) and one.value for one in ast.walk(tree(function)))


def errors_told(function: types.FunctionType) -> set[str]:
    parts = SECTIONS.split("\n" + (inspect.getdoc(function) or ""))
    text = dict(zip(parts[1::2], parts[2::2], strict=True)).get("Raises", "")
    return set(re.findall(r"^(\w+)$", text, re.MULTILINE))


def must_tell(function: types.FunctionType, seen: tuple[Any, ...] = ()) -> frozenset[str]:
    """Errors of its own, of private functions beside it, and of guards."""
    found = raised_here(function)
    for callee in called_by(function) - {*seen}:
        hidden = callee.__name__.startswith("_") and callee.__module__ == function.__module__
        guard = callee.__annotations__.get("return", "") is None
        if (hidden or guard) and not callee.__name__.startswith("__"):
            found |= must_tell(callee, (*seen, function))
    return found - caught_here(function)


def hands_on(function: types.FunctionType) -> set[str]:
    """Errors its callees tell of.

    A table's name that is not known is an error of whoever chose it: it counts only where a name comes in.
    """
    told = [errors_told(one) for one in called_by(function) if not one.__name__.startswith("__")]
    given = [hint for name, hint in get_type_hints(function).items() if name != "return"]
    not_ours = set() if any(map(holds_text, given)) else {"MissingData"}
    return set().union(*told) - caught_here(function) - not_ours


def may_raise(function: types.FunctionType) -> frozenset[str]:
    """Every error that it or anything it calls can raise."""
    met: set[types.FunctionType] = set()
    left = [function]
    while left:
        one = left.pop()
        if one not in met:
            met.add(one)
            left += called_by(one)
    return frozenset().union(*map(raised_here, met))


# --- the gate -------------------------------------------------------------------------------------


def test_there_is_something_to_look_at() -> None:
    counted = Counter((one.package, one.kind) for one in ALL)
    for (package, kind), count in sorted(counted.items()):
        print(f"{package:16} {kind:12} {count:4}")  # noqa: T201 - shown by pytest -s and on failure
    assert {kind for _, kind in counted} == {
        *("computes", "refuses", "looks up", "is a kernel", "joins", "shows"),
    }
    assert len(ALL) > 700


def test_every_package_is_held_or_said_to_have_no_physics() -> None:
    home = Path(finial.__path__[0])
    packages = {one.name for one in home.iterdir() if (one / "__init__.py").is_file()}
    assert packages == {*PHYSICS, "assemble", *OTHERS} - {"core.statistics"}
    assert {one.package for one in ALL} == {*PHYSICS, "assemble"}


@each(ALL)
def test_every_public_function_says_what_it_does(one: Documented) -> None:
    assert len(one.text.strip().split("\n")[0]) > 10


@each([one for one in ALL if one.kind not in ("joins", "shows") or "Parameters" in one.sections])
def test_parameters_are_those_of_the_signature(one: Documented) -> None:
    assert set(one.described) == set(one.parameters)


@each([one for one in ALL if one.kind not in ("refuses", "shows")])
def test_numbers_that_go_in_have_units_and_arrays_shapes(one: Documented) -> None:
    """A kernel is not annotated: there the type its docstring gives counts."""
    for name in one.parameters:
        told = one.described.get(name, "")
        if not told.startswith("int") if one.compiled else has_unit(one.hints.get(name)):
            named = one.kind == "joins" and ends_in_unit(name)
            assert named or UNIT.search(told), f"{name} has no unit"
        if one.kind != "joins" and holds_array(one.hints.get(name)):
            assert re.search(r"shape|\(\w*, ?\w*\)", told), f"{name} has no shape"


@each(ALL)
def test_numbers_that_come_out_have_units(one: Documented) -> None:
    if has_unit(one.returned) and not (one.kind == "joins" and ends_in_unit(one.name)):
        told = one.text if one.kind in ("shows", "joins") else one.sections.get("Returns", "")
        assert UNIT.search(told)


@each([one for one in ALL if one.kind in ("computes", "looks up")])
def test_what_comes_back_is_told(one: Documented) -> None:
    """What only acts, without numbers and without an answer, has nothing to tell here."""
    acts = one.kind == "looks up" and one.returned is type(None)
    assert acts or one.sections.keys() & {"Returns", "Yields"}


@each([one for one in ALL if one.kind not in ("is a kernel", "joins", "shows")])
def test_what_is_raised_is_told(one: Documented) -> None:
    assert must_tell(one.function) <= errors_told(one.function)


@each([one for one in ALL if one.kind in ("computes", "looks up", "refuses")])
def test_what_is_handed_on_is_told_or_said_why_not(one: Documented) -> None:
    """An error of a callee that cannot come through is named all the same, with the reason."""
    assert not [error for error in hands_on(one.function) if error not in one.text]


@each([one for one in ALL if one.kind == "joins"])
def test_a_join_tells_what_it_raises_itself(one: Documented) -> None:
    private = [callee for callee in called_by(one.function) if re.match("_[a-z]", callee.__name__)]
    assert raised_here(one.function).union(*map(raised_here, private)) <= errors_told(one.function)


@each(ALL)
def test_nothing_is_told_that_cannot_be_raised(one: Documented) -> None:
    assert errors_told(one.function) <= may_raise(one.function)


@each([one for one in ALL if one.kind == "computes"])
def test_range_source_and_a_running_example_are_given(one: Documented) -> None:
    assert {"Notes", "References", "Examples"} <= one.sections.keys()
    assert ">>>" in one.sections["Examples"]


@each([one for one in ALL if one.kind == "is a kernel" and gives_something(one.function)])
def test_what_a_kernel_gives_back_has_a_unit_or_is_a_count(one: Documented) -> None:
    given = ENTRY_TYPE.findall(one.sections["Returns"])
    assert given
    assert not [(kind, told) for kind, told in given if "int" not in kind and not UNIT.search(told)]


@each([one for one in ALL if one.kind == "is a kernel"])
def test_a_kernel_names_its_source(one: Documented) -> None:
    assert ".. [1] " in one.sections["References"]


# --- the gate itself ------------------------------------------------------------------------------


def _check(share: float) -> None:
    if share > 1.0:
        raise OutsideRange("above 1")


def good(share: float) -> float:
    """Return twice the share.

    Parameters
    ----------
    share : float
        A share [-].

    Returns
    -------
    double : float
        Twice as much [-].

    Raises
    ------
    OutsideRange
        If the share is above 1.

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> good(0.5)
    1.0
    """
    _check(share)
    return 2.0 * share


RULES = {
    "parameters": test_parameters_are_those_of_the_signature,
    "numbers in": test_numbers_that_go_in_have_units_and_arrays_shapes,
    "numbers out": test_numbers_that_come_out_have_units,
    "returns": test_what_comes_back_is_told,
    "raises": test_what_is_raised_is_told,
    "raises more": test_nothing_is_told_that_cannot_be_raised,
    "range, source, example": test_range_source_and_a_running_example_are_given,
}


@pytest.mark.parametrize(
    ("said", "instead", "broken"),
    [
        ("Exact.", "Exact to the last digit.", set()),
        ("share : float", "part : float", {"parameters", "numbers in"}),
        ("A share [-].", "A share.", {"numbers in"}),
        ("as much [-].", "as much.", {"numbers out"}),
        ("Returns\n", "Gives\n", {"parameters", "numbers out", "returns"}),
        ("Raises\n", "Complains\n", {"raises"}),
        ("OutsideRange", "MeshError", {"raises", "raises more"}),
        ("Notes\n", "Remarks\n", {"raises more", "range, source, example"}),
        ("References\n", "Sources\n", {"range, source, example"}),
        (">>> ", "", {"range, source, example"}),
    ],
)
def test_each_rule_can_fail(said: str, instead: str, broken: set[str]) -> None:
    twin = types.FunctionType(good.__code__, globals(), "good")
    twin.__annotations__, twin.__module__ = good.__annotations__, good.__module__
    twin.__doc__ = (good.__doc__ or "").replace(said, instead)
    one = Documented("flight", "good", twin)
    assert one.kind == "computes"
    assert {name for name, test in RULES.items() if complaint(test.rule, one)} == broken
