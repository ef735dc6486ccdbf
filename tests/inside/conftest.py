"""Small meshes with rooms in them, for all tests of the inside."""

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest


@pytest.fixture(scope="session")
def shapes() -> ModuleType:
    """Functions that draw them, from ``shapes.py`` beside this file."""
    spec = importlib.util.spec_from_file_location("inside_shapes", Path(__file__).with_name("shapes.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
