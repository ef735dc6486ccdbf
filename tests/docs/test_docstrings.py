"""Docstrings of the physics say what the signature says, with units, range, source and example."""

import inspect
import pkgutil
import re
from importlib import import_module
from types import FunctionType, ModuleType

import pytest

import finial

PHYSICS = (
    *("aero", "atmosphere", "electronics", "flight", "mass", "materials", "motors"),
    *("printing", "range_safety", "recovery", "shape", "structure"),
)
SECTIONS = re.compile(r"\n\s*(Parameters|Returns|Raises|Notes|References|Examples)\n\s*-+\n")


def modules() -> list[ModuleType]:
    found = []
    for package in PHYSICS:
        home = import_module(f"finial.{package}")
        names = [info.name for info in pkgutil.walk_packages(home.__path__, f"finial.{package}.")]
        found += [import_module(name) for name in names if not name.startswith("finial.flight.gpu")]
    return found


def public_functions() -> list[FunctionType]:
    return [
        member
        for module in modules()
        for name, member in vars(module).items()
        if inspect.isfunction(member) and not name.startswith("_") and member.__module__ == module.__name__
    ]


FUNCTIONS = public_functions()
DESCRIBED = [function for function in FUNCTIONS if "Parameters\n" in (function.__doc__ or "")]


def sections(text: str) -> dict[str, str]:
    parts = SECTIONS.split(text)
    return dict(zip(parts[1::2], parts[2::2], strict=True))


def test_there_is_something_to_look_at() -> None:
    assert len(DESCRIBED) > 100
    assert finial.__version__


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda one: f"{one.__module__}.{one.__name__}")
def test_every_public_function_says_what_it_does(function: FunctionType) -> None:
    first = (function.__doc__ or "").strip().split("\n")[0]
    assert len(first) > 10


@pytest.mark.parametrize("function", DESCRIBED, ids=lambda one: f"{one.__module__}.{one.__name__}")
def test_parameters_are_those_of_the_signature(function: FunctionType) -> None:
    text = inspect.getdoc(function) or ""
    listed = sections("\n" + text)["Parameters"]
    named = {
        name.strip()
        for line in re.findall(r"^(\w[\w, ]*?) :", listed, re.MULTILINE)
        for name in line.split(",")
    }
    assert named == set(inspect.signature(function).parameters)


@pytest.mark.parametrize("function", DESCRIBED, ids=lambda one: f"{one.__module__}.{one.__name__}")
def test_range_source_and_example_are_given(function: FunctionType) -> None:
    found = sections("\n" + (inspect.getdoc(function) or ""))
    assert {"Returns", "Notes", "References", "Examples"} <= found.keys()
    assert ">>>" in found["Examples"]
