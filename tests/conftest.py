"""Answers that take seconds to find, found once; generated examples the same each time in CI."""

import os
import sys
from pathlib import Path

import pytest
from hypothesis import settings

# A run that decides whether a change lands must not hang on luck; runs at a desk keep exploring.
settings.register_profile("same-each-time", derandomize=True)
if os.environ.get("CI"):
    settings.load_profile("same-each-time")

# What several folders share is found by this one: the tests are no package.
sys.path.insert(0, str(Path(__file__).parent))

EXAMPLES = Path(__file__).parents[1] / "examples"


@pytest.fixture(scope="session")
def lighthouse():
    """Skerry Light, loaded from its sheet and meshes."""
    from finial.assemble.vehicle.loading import load_vehicle

    return load_vehicle(EXAMPLES / "skerry-light" / "skerry-light.toml", lambda note: None)


@pytest.fixture(scope="session")
def answered(lighthouse):
    """Every stage's result for Skerry Light."""
    from finial.assemble.looks.answer import answer

    return answer(lighthouse)
