"""A whole run on a card, by numba's simulator: plain Python, a thread after another, beside the processor."""

import os
import subprocess
import sys

_SCRIPT = """
import numpy as np

from finial.tunnel.gpu.card import Card
from finial.tunnel.machine import moments_of
from finial.tunnel.processor import Processor
from finial.tunnel.records import Fineness, Stream, TunnelShape
from finial.tunnel.setup import set_up

corners = np.array([[0.3, 0.2, 0.2], [0.5, 0.8, 0.3], [0.4, 0.3, 0.8]])
plate = TunnelShape(points_m=corners, triangles=np.array([[0, 1, 2]]))
asked = Fineness(cells=4.0, grids=2, side_widths=1.6, eddies="vreman", conserving=True)
setup = set_up(plate, Stream(angle_rad=0.1), asked, area_m2=1.0, width_m=1.0)
card, own = Card(setup, 0), Processor(setup, threads=1)
for machine in (card, own):
    machine.onward(1)
    machine.forget()
    machine.onward(1)
assert card.recorded().shape == own.recorded().shape == (1, 12)
print(np.abs(card.recorded() - own.recorded()).max() / np.abs(own.recorded()).max())
counts = setup.nested.boxes[1].counts[::-1]
# Of the rim a run tells no more than a step asks.
places = np.flatnonzero(np.pad(np.ones([n - 2 for n in counts]), 1))[::5].copy()
seen, beside = moments_of(places), moments_of(places)
card.look(1, places, seen)
own.look(1, places, beside)
assert np.abs(beside).max() > 0.01
print(np.abs(seen - beside).max() / np.abs(beside).max())
print(np.abs(card.link_means() - own.link_means()).max() / np.abs(own.link_means()).max())
"""


def test_a_whole_run_on_a_card_gives_what_the_processor_gives():
    """Walls, two grids, what passes between them, outlet, Vreman's eddies, loads, means; single precision."""
    environment = {
        **os.environ,
        "NUMBA_ENABLE_CUDASIM": "1",
        "PYTHONPATH": os.pathsep.join(filter(None, sys.path)),
    }
    done = subprocess.run(
        [sys.executable, "-W", "ignore", "-c", _SCRIPT],
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    loads, looks, means = map(float, done.stdout.split())
    assert loads < 1e-5
    assert looks < 1e-5
    assert means < 1e-5
