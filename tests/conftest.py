"""Answers that take seconds to find, found once; generated examples the same each time in CI."""

import gc
import os
import sys
from pathlib import Path

import platformdirs
import pytest
from hypothesis import settings

# A run that decides whether a change lands must not hang on luck; runs at a desk keep exploring.
# None is timed: on a busy machine any example may take long.
settings.register_profile("same-each-time", derandomize=True, deadline=None)
settings.register_profile("exploring", deadline=None)
settings.load_profile("same-each-time" if os.environ.get("CI") else "exploring")

# Two workers that share each small solve among all cores wait for each other far longer than they solve:
# NumPy reads this once, when it is loaded first, and so does every command that a test starts.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# Every worker and every command that a test starts reads hundreds of modules. Where the tree is to stay clean
# of compiled ones, they are kept in the user's cache folder: to compile them anew each time takes minutes.
if sys.dont_write_bytecode and sys.pycache_prefix is None:
    sys.pycache_prefix = os.path.join(platformdirs.user_cache_dir("finial", appauthor=False), "__pycache__")
    sys.dont_write_bytecode = False
    os.environ["PYTHONPYCACHEPREFIX"] = sys.pycache_prefix
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)

# What several folders share is found by this one: the tests are no package.
sys.path.insert(0, str(Path(__file__).parent))

EXAMPLES = Path(__file__).parents[1] / "examples"


def pytest_collection_finish() -> None:
    """Leave the thousands of tests out of every search for what nobody holds any more."""
    gc.collect()
    gc.freeze()


@pytest.fixture(scope="session", autouse=True)
def every_finding_can_be_said():
    """No test makes a finding whose sentences cannot be made of what its rule gives."""
    from said import each_finding_said

    with each_finding_said():
        yield


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


@pytest.fixture(scope="session")
def compiled_where_it_is():
    """Kernels of a check, read from the user's folder before a test keeps its answers in another."""
    from finial.flight.kernel import many, run
    from finial.flight.readout import kernel as readout
    from finial.recovery.tether import kernel as tether
    from finial.structure.loads import kernel as loads

    return many, run, readout, tether, loads
