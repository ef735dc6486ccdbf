"""A study of the tunnel as JSON: SI units and radians, keys as the records' own."""

import json
from collections.abc import Mapping
from typing import Any

from finial.assemble.air.results import TunnelBeside
from finial.core.version import __version__
from finial.report.json_records import SCHEMA_VERSION, plain
from finial.report.words import CAUTION
from finial.tunnel_study.plan import Cost, StudyPlan
from finial.tunnel_study.run import Failed


def study_to_json(
    plan: StudyPlan,
    left: tuple[Cost, float | None],
    read: Mapping[str, TunnelBeside],
    failed: tuple[Failed, ...],
) -> str:
    """Return plan, cost and what was read as JSON text; what was read by the name of each variant.

    ``left`` is the cost of the runs that were not kept, and the cell updates a second that were measured.
    """
    cost, per_second = left
    told: dict[str, Any] = {
        "schema_version": SCHEMA_VERSION,
        "finial_version": __version__,
        "caution": CAUTION,
        "name": plan.vehicle,
        "plan": {
            "runs": [
                {
                    "key": run.key,
                    "bare": run.bare,
                    "variant": run.variant,
                    "angle_rad": run.stream.angle_rad,
                    "roll_rad": run.stream.roll_rad,
                    "cells": run.fineness.cells,
                }
                for run in plan.runs
            ],
            "repeats": plan.repeats,
            "flight_reynolds": plan.flight_reynolds,
            "fin_cells": list(plan.fin_cells),
            "leaks": [{"part": name, "open_edges": edges} for name, edges in plan.leaks],
            "left": {
                "cells": cost.cells,
                "updates": cost.updates,
                "memory_bytes": cost.memory_bytes,
                "updates_per_s": per_second,
                "time_s": None if per_second is None else cost.updates / per_second,
            },
        },
        "tunnel": {name: plain(beside) for name, beside in read.items()},
        "failed": [
            {
                "key": one.run.key,
                "angle_rad": one.run.stream.angle_rad,
                "cells": one.run.fineness.cells,
                "why": one.why,
            }
            for one in failed
        ],
    }
    return json.dumps(told, allow_nan=False, ensure_ascii=False, indent=1)
