"""Answers that take seconds to find, found once for all tests that read them."""

from pathlib import Path

import pytest

EXAMPLES = Path(__file__).parents[1] / "examples"


@pytest.fixture(scope="session")
def lighthouse():
    """Skerry Light, loaded from its sheet and meshes."""
    from finial.assemble.loading import load_vehicle

    return load_vehicle(EXAMPLES / "skerry-light" / "skerry-light.toml", lambda note: None)


@pytest.fixture(scope="session")
def answered(lighthouse):
    """Every stage's result for Skerry Light."""
    from finial.assemble.answer import answer

    return answer(lighthouse)
