"""The solver of numbers, as a fixture."""

import pytest
from tunnel_solver import MadeUp


@pytest.fixture
def solver() -> type[MadeUp]:
    return MadeUp


@pytest.fixture(scope="module")
def solver_once() -> type[MadeUp]:
    """The same for what is made once."""
    return MadeUp
