"""What tests by hand share is found by its folder: the tests are no package."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))


@pytest.fixture
def usual_reach(monkeypatch):
    """What is drawn is as far off as its field's own tolerance says, else as a round number."""
    from made_by_hand import USUAL

    from finial.assemble.spread import air, canopies, day

    def reach(scatter, name, given=None):
        return given.tolerance if given is not None and given.tolerance else USUAL[name]

    for module in (air, canopies, day):
        monkeypatch.setattr(module, "reach", reach)
    monkeypatch.setattr(canopies, "usual", USUAL.__getitem__)
