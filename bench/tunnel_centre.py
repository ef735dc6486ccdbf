"""Does a study of ten minutes on a processor find the lighthouse's centre of pressure as a fine one does?

Run ``python bench/tunnel_centre.py`` (ten minutes on two free cores) or ``python bench/tunnel_centre.py
--small`` (half a minute). It blows at the lighthouse with its fins at 10 degrees, faces and corners of the
fins to the wind, on two grids, and sets each centre beside that of the study which the example keeps, of a
card, 30 and 20 cells to a width.
"""

import json
import math
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from goals import Goal, absolute_time, judged, options, steady

from finial.assemble.air.results import TunnelRow
from finial.assemble.vehicle.loading import LoadedVehicle, load_vehicle
from finial.core.cores import usable_cores
from finial.files.tunnel_runs import own_folder, read_tunnel_runs
from finial.tunnel.records import Fineness
from finial.tunnel.run import blow
from finial.tunnel_study.beside import beside_sections
from finial.tunnel_study.plan import StudyAsked, StudyPlan, cost_of, planned
from finial.tunnel_study.run import run_study
from finial.tunnel_study.store import RUNS

LIGHTHOUSE = Path(__file__).resolve().parents[1] / "examples" / "skerry-light" / "skerry-light.toml"
ANGLE_RAD = math.radians(10.0)
CELLS, CELLS_WHEN_SMALL = 16.0, 8.0
APART_WIDTHS, SECONDS = 0.15, 600.0
APART_WIDTHS_WHEN_SMALL = 1.0
"""Half a minute's study is far too short: it shows that the bench runs."""


@dataclass(frozen=True, kw_only=True)
class Centre:
    """One wind's centre of pressure, of both studies."""

    roll_deg: float
    own_m: float
    low_m: float
    high_m: float
    fine_m: float
    apart_widths: float

    @property
    def covered(self) -> bool:
        """The study's own interval holds the fine one's centre."""
        return self.low_m <= self.fine_m <= self.high_m


def centres(own: Sequence[TunnelRow], fine: Sequence[TunnelRow], width_m: float) -> Iterator[Centre]:
    """Set each centre of a study beside the fine one's of the same wind; one that was not told has none."""
    for row in own:
        for other in fine:
            same = math.isclose(row.angle_rad, other.angle_rad, abs_tol=1e-6) and math.isclose(
                row.roll_rad, other.roll_rad, abs_tol=1e-6
            )
            if same and row.place is not None and other.place is not None:
                yield Centre(
                    roll_deg=round(math.degrees(row.roll_rad), 3),
                    own_m=row.place.value,
                    low_m=row.place.low,
                    high_m=row.place.high,
                    fine_m=other.place.value,
                    apart_widths=abs(row.place.value - other.place.value) / width_m,
                )


def plan_of(vehicle: LoadedVehicle, cells: float, *, small: bool) -> StudyPlan:
    """Lay out one angle, all its rolls, on two grids."""
    fineness = Fineness(cells=cells, settle_widths=6.0, travel_widths=6.0) if small else Fineness(cells=cells)
    rolls = (0.0,) if small else None
    return planned(vehicle, StudyAsked(angles_rad=(ANGLE_RAD,), rolls_rad=rolls, fineness=fineness))


def main() -> int:
    parser = options(__doc__)
    parser.add_argument("--cells", type=float, help="of the finer grid to a width")
    given = parser.parse_args()
    vehicle = load_vehicle(LIGHTHOUSE, lambda note: None)
    cells = given.cells or (CELLS_WHEN_SMALL if given.small else CELLS)
    plan = plan_of(vehicle, cells, small=given.small)
    began = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        studied = run_study(plan, Path(folder), blow)
        seconds = time.monotonic() - began
        own = beside_sections(vehicle, read_tunnel_runs(studied.runs_file)).rows
    fine = beside_sections(vehicle, read_tunnel_runs(own_folder(LIGHTHOUSE) / RUNS)).rows
    found = list(centres(own, fine, vehicle.skin.width_m))
    updates = cost_of(plan.runs).updates
    told = {
        "cells": cells,
        "cores": usable_cores(),
        "seconds": round(seconds, 1),
        "updates_a_second": updates / seconds,
        "width_m": vehicle.skin.width_m,
        "centres": [{**vars(one), "covered": one.covered} for one in found],
    }
    print(json.dumps(told, indent=1))
    winds = len({run.stream.roll_rad for run in plan.runs})
    apart = max((one.apart_widths for one in found), default=math.inf)
    goals: list[Goal] = [
        absolute_time("seconds that the study took", seconds, SECONDS, " s"),
        steady("winds whose centre was told", len(found), "exactly", winds),
        steady(
            "centre off the fine run's",
            apart,
            "at most",
            APART_WIDTHS_WHEN_SMALL if given.small else APART_WIDTHS,
            " widths",
        ),
    ]
    if not given.small:
        goals.append(
            steady("winds whose interval holds it", sum(one.covered for one in found), "exactly", winds)
        )
    return judged(goals, given)


if __name__ == "__main__":
    sys.exit(main())
