"""Each error of a reading is that of its own force."""

import numpy as np
import pytest

from finial.tunnel.reading import in_wind
from finial.tunnel.records import Blown, Stream


@pytest.mark.parametrize(("column", "told"), [(0, "axial"), (1, "force"), (2, "aside")])
def test_an_error_belongs_to_the_force_that_wavers(column: int, told: str) -> None:
    loads = np.array([0.2, 0.5, 0.0, 0.0, 0.0, 0.75])
    history = np.tile(loads, (64, 1))
    # The second half lies 0.1 higher: no surer than half of that.
    history[32:, column] += 0.1
    none = np.zeros(6)
    blown = Blown(
        pressure=loads,
        total=loads,
        pressure_error=none,
        total_error=none,
        blockage=0.01,
        reynolds=1e4,
        cells=16.0,
        wet_cells=1,
        updates=1.0,
        restarts=0,
        history=history,
        history_widths=np.arange(64.0),
        stations_m=np.zeros(1),
        along=np.zeros((0, 3)),
        places_m=np.zeros((0, 3)),
        pressures=np.zeros(0),
    )
    read = in_wind(blown, Stream(angle_rad=0.1), 0.1)
    errors = {"force": read.force.error, "aside": read.aside.error, "axial": read.axial.error}
    assert errors[told] == pytest.approx(0.05, rel=0.5)
    assert {name for name, error in errors.items() if error > 1e-12} == {told}
