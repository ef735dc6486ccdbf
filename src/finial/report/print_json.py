"""The print plan as plain lists and numbers in SI, as ``--json`` prints it."""

import math
from typing import Any

from finial.assemble.prints.results import JointReserve, PlannedJoint, PlannedPiece, PrintPlan
from finial.report.estimate_json import known_plain
from finial.report.print_files import piece_file


def plan_plain(plan: PrintPlan) -> dict[str, Any]:
    """Return the plan without its meshes."""
    return {
        "name": plan.name,
        "bed_m": list(plan.bed_m),
        "clearance_m": plan.clearance_m,
        "clearance_measured": plan.clearance_measured,
        "pieces": [_piece(piece) for piece in plan.pieces],
        "joints": [_joint(joint) for joint in plan.joints],
        "strength": None
        if plan.strength is None
        else {
            "before": _reserve(plan.strength.before),
            "after": _reserve(plan.strength.after),
            "unheld": list(plan.strength.unheld),
        },
        "learned": {
            "mass": known_plain(plan.learned.mass),
            "time": known_plain(plan.learned.time),
            "weighed": plan.learned.weighed,
            "timed": plan.learned.timed,
        },
        "thin": list(plan.thin),
        "drawn_thin": [
            {"part": one.part, "station_m": one.station_m, "share": one.share} for one in plan.drawn_thin
        ],
        "holes": [{"name": one.name, "across_m": one.across_m} for one in plan.holes],
        "left_out": list(plan.left_out),
    }


def _piece(piece: PlannedPiece) -> dict[str, Any]:
    return {
        "number": piece.number,
        "file": piece_file(piece),
        "part": piece.part,
        "piece": piece.within[0],
        "of": piece.within[1],
        "stations_m": list(piece.span_m),
        "size_m": list(piece.lying.size_m),
        "up": list(piece.lying.up),
        "turned_rad": piece.lying.turned_rad,
        "bed_axes": piece.lying.matrix.tolist(),
        "corner_m": list(piece.corner_m),
        "volume_m3": 1e-9 * piece.sound.volume_mm3,
        "plastic_m3": piece.plastic_m3,
        "mass_kg": known_plain(piece.effort.mass),
        "filament_m": known_plain(piece.effort.filament_m),
        "time_s": known_plain(piece.effort.time),
        "overhang_m2": piece.lying.overhang_m2,
        "first_layer_m2": piece.lying.first_layer_m2,
        "numbered": None if piece.mark is None else piece.mark.value,
        "made": piece.is_made,
    }


def _joint(joint: PlannedJoint) -> dict[str, Any]:
    return {
        "part": joint.part,
        "cut": joint.turned.value,
        "station_m": joint.station_m,
        "roll_rad": joint.roll_rad,
        "held_by": joint.kind.value,
        "wanted": joint.wanted.value,
        "glue_area_m2": joint.glue_area_m2,
        "dowels": joint.dowels,
        "dowel_diameter_m": joint.dowel_diameter_m,
        "dowel_depth_m": joint.dowel_depth_m,
        "at_ledge": joint.at_ledge,
        "demand": joint.demand,
        "reserve": _reserve(joint.reserve),
        "through": [{"what": bar.why.value, "name": bar.name} for bar in joint.through],
    }


def _reserve(one: JointReserve | None) -> dict[str, Any] | None:
    if one is None:
        return None
    known = one.low if math.isfinite(one.low) else None
    return {"low": known, "mode": one.mode.value if one.mode else None}
