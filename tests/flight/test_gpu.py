"""The graphics card's kernel: run by numba's simulator here, refused in words where it cannot run."""

import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from finial.core.errors import MissingData, OutsideRange
from finial.flight.example import example_inputs
from finial.flight.gpu.cards import fly_on_gpu
from finial.flight.kernel import spread_layout as slots
from finial.flight.many import fly_many
from finial.flight.packing.many import packed_many
from finial.flight.spread import BELL, Spread, either_way, whole_mass
from finial.flight.uncertain import Drawn, Uncertain

_SCRIPT = """
import json, sys, warnings
warnings.simplefilter("ignore")
sys.path.insert(0, {here!r})
from test_gpu import packed_example
from finial.flight.gpu.cards import fly_on_gpu
found = fly_on_gpu(packed_example(), 4, 1)
print(json.dumps([found.results.tolist(), found.drawn.tolist()]))
"""


def packed_example(draws=1):
    inputs = example_inputs()
    wind = [
        either_way(
            Uncertain(kind=Drawn.OTHER, of=f"wind {index}"), slots.WIND_SPEED, 2.0, base=4.0, shape=BELL
        )
        for index in range(draws)
    ]
    spread = Spread(
        draws=tuple(wind),
        masses=whole_mass(inputs),
        wind_speed_m_s=4.0,
        gust_heights_m=np.arange(0.0, 300.0, 60.0),
    )
    return packed_many(inputs, spread, seed=2)


def test_the_simulated_card_flies_the_same_flight():
    """Numba's own simulator runs the kernel in plain Python: slow, but it needs no card."""
    environment = {
        **os.environ,
        "NUMBA_ENABLE_CUDASIM": "1",
        "NUMBA_DISABLE_JIT": "1",
        "PYTHONPATH": os.pathsep.join(filter(None, sys.path)),
    }
    script = _SCRIPT.format(here=str(Path(__file__).parent))
    done = subprocess.run(
        [sys.executable, "-c", script],
        env=environment,
        capture_output=True,
        text=True,
        check=True,
        timeout=240,
    )
    results, drawn = json.loads(done.stdout.replace("NaN", "null"))
    found = fly_many(packed_example(), 4, 1)
    assert np.array(drawn) == pytest.approx(found.drawn, rel=1e-12)
    assert np.array(results, dtype=float) == pytest.approx(found.results, rel=1e-6, nan_ok=True)


def test_without_a_card_it_is_said_so():
    from numba import cuda

    if cuda.is_available():
        pytest.skip("there is a card")
    with pytest.raises(MissingData, match=r"graphics card|numba-cuda"):
        fly_on_gpu(packed_example(), 0, 1)


def test_flights_too_large_for_the_card_are_refused():
    with pytest.raises(OutsideRange, match="the card has room for 128"):
        fly_on_gpu(packed_example(draws=129), 0, 1)
    with pytest.raises(OutsideRange, match="nothing to fly"):
        fly_on_gpu(packed_example(), 0, 0)
