"""The solver of numbers, as a fixture."""

import pytest
from tunnel_solver import MadeUp


@pytest.fixture
def solver() -> type[MadeUp]:
    return MadeUp
