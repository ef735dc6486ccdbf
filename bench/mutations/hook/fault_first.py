"""A pytest plugin: the module with the fault comes before pytest's own loading of files named to it."""

import sys


def pytest_sessionstart() -> None:
    sys.meta_path.sort(key=lambda finder: type(finder).__module__ != "sitecustomize")
