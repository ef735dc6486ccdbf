"""Air of a finned section to the last bit, whatever the linear algebra library does with its threads."""

import os
import subprocess
import sys

_SCRIPT = """
import numpy as np
from finial.aero.sections.added_mass import added_mass_tensor
from finial.aero.sections.outlines import regular_polygon

rays = [np.array([np.cos(angle), np.sin(angle)]) for angle in np.arange(6) * np.pi / 3]
tensor = added_mass_tensor([regular_polygon(12, 1.0)], [np.array([ray, 2.2 * ray]) for ray in rays])
print(tensor.tobytes().hex())
"""


def _tensor(threads):
    environment = {
        **os.environ,
        "OPENBLAS_NUM_THREADS": threads,
        "PYTHONPATH": os.pathsep.join(filter(None, sys.path)),
    }
    return subprocess.run(
        [sys.executable, "-c", _SCRIPT], env=environment, capture_output=True, text=True, check=True
    ).stdout


def test_added_mass_is_the_same_on_one_thread_and_on_several():
    """A campaign's workers and the process that began it need not have the same number of threads."""
    one = _tensor("1")
    assert len(one.strip()) == 64
    assert one == _tensor("2") == _tensor("4")
