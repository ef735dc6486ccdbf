"""What the stays of the sheet do in the flight's largest load, over the day's warmth and cold."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from finial.assemble.strength.build import part_at
from finial.assemble.strength.fins.build import FinBuild
from finial.assemble.strength.fins.records import StayStudy
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.materials import sheet_material
from finial.assemble.vehicle.stays import crossing, stay_run, wire_strength
from finial.assemble.vehicle.usual import usual_share
from finial.core.corners import over_corners
from finial.core.estimates import Estimate, KnownBy, spread
from finial.files.sheet_body import StayEntry
from finial.materials.warmth import ROOM_K
from finial.structure.fins.in_wind import BentFin
from finial.structure.fins.outline import chords
from finial.structure.fins.plate_model import PlateModel, rows_at
from finial.structure.fins.stays import (
    StayLine,
    StayPair,
    bowing_load,
    pair_stiffness,
    slack_shift,
    stay_forces,
    warmed_tension,
    wire_drag,
)
from finial.structure.reserves import reserve_factor

FITTINGS_KEEP = Estimate(
    value=0.65,
    low=0.5,
    high=0.85,
    known_by=KnownBy.ASSUMED,
    method="share of a wire's strength its loops and crimps keep",
    source="common practice: 0.5 for a bent and twisted loop, 0.85 for a good swage",
)
LOAD_SPREAD = 0.3
"""Scatter of the shift of the tied point with the gust [-]; assumed."""
BOWING_SPREAD = 0.3
"""Scatter of the pull at which a fin bows out [-]; assumed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StayLoads:
    """What a set of stays meets: the fin bent by the load, the air, and how warm it is from cold to hot."""

    bent: BentFin | None
    pressure_pa: float
    warmth: Estimate
    """Temperature of walls and fins over the day [K]."""


def stay_studies(
    vehicle: LoadedVehicle, build: FinBuild, pairs: Sequence[StayPair], model: PlateModel, loads: StayLoads
) -> tuple[StayStudy, ...]:
    """Every pair of stays of one set of fins, with the plate bent by the load."""
    return tuple(_studies(vehicle, build, pairs, (model, loads)))


def _studies(
    vehicle: LoadedVehicle,
    build: FinBuild,
    pairs: Sequence[StayPair],
    held: tuple[PlateModel, StayLoads],
) -> Iterator[StayStudy]:
    model, loads = held
    for stay, pair in zip(build.stays, pairs, strict=True):
        shift = 0.0
        if loads.bent is not None:
            row = rows_at(model, np.array([[pair.along_m, pair.outward_m]])).deflection
            shift = float(abs((row @ loads.bent.unknowns)[0]))
        yield _study(vehicle, (build, stay, pair), shift, held)


def preload_of(
    vehicle: LoadedVehicle,
    build: FinBuild,
    stay: StayEntry,
    line: tuple[StayPair, StayLine],
    warmth: Estimate,
) -> Estimate:
    """Tension of a wire at rest [N], as tightened and as warmth and cold make it; a wire never pushes.

    Parameters
    ----------
    vehicle : LoadedVehicle
        The vehicle.
    build : FinBuild
        The fins.
    stay : StayEntry
        The stay.
    line : (StayPair, StayLine)
        Its wires and their run.
    warmth : Estimate
        Temperature of the walls [K].
    """
    pair, run = line
    wire = sheet_material(vehicle.sheet, stay.material).expansion_per_k
    part = part_at(vehicle, min(build.fins.station_m, vehicle.skin.length_m))
    spanned = [sheet_material(vehicle.sheet, part.spec.material)] if part else []
    spanned += [build.stuff] if build.stuff else []
    low = min(stuff.expansion_per_k.low for stuff in spanned)
    high = max(stuff.expansion_per_k.high for stuff in spanned)
    structure = Estimate(value=(low + high) / 2, low=low, high=high, known_by=KnownBy.HANDBOOK)
    added = over_corners(
        lambda around, metal, kelvin: warmed_tension(
            pair, run, structure_per_k=around, wire_per_k=metal, warmer_by_k=kelvin - ROOM_K
        ),
        {"around": structure, "metal": wire, "kelvin": warmth},
    )
    tight = usual_share(stay.preload, "wire_preload")
    return Estimate(
        value=tight.value,
        low=max(tight.low + min(added.low, 0.0), 0.0),
        high=tight.high + max(added.high, 0.0),
        known_by=max(tight.known_by, KnownBy.COMPUTED),
        method="tightened, then warmth and cold",
        source=tight.source,
    )


def _study(
    vehicle: LoadedVehicle,
    stayed: tuple[FinBuild, StayEntry, StayPair],
    shift: float,
    held: tuple[PlateModel, StayLoads],
) -> StayStudy:
    build, stay, pair = stayed
    model, loads = held
    fins, line = build.fins, stay_run(build.fins, pair)
    # Between fins the far end moves too: in a gust by the difference of two neighbours.
    pulled = shift * (2 * math.sin(math.pi / fins.count) if pair.to == "next fin" else 1.0)
    reached = spread(
        pulled, LOAD_SPREAD, known_by=KnownBy.COMPUTED, method="shift of the tied point in the gust"
    )
    tension = preload_of(vehicle, build, stay, (pair, line), loads.warmth)
    edge = tension.mapped(lambda newtons: slack_shift(replace(pair, preload_n=newtons), line))
    forces = over_corners(
        lambda newtons, metres: stay_forces(replace(pair, preload_n=newtons), line, metres).tight_n,
        {"newtons": tension, "metres": reached},
        method="preload and gust in the tighter wire",
    )
    hardest = stay_forces(replace(pair, preload_n=tension.high), line, reached.high)
    mean_chord = float(
        np.mean(chords(np.asarray(fins.outline_m), np.linspace(0.0, pair.outward_m * 0.999, 20)))
    )
    bows = bowing_load(model.plate.modulus_pa, mean_chord, model.plate.thickness_m, pair.outward_m)
    return StayStudy(
        pair=pair,
        stiffness_n_per_m=pair_stiffness(pair, line, fins=fins.count, pattern="gust"),
        shift=reached,
        slack_at=edge,
        slack_reserve=reserve_factor(edge, reached),
        preload_n=tension,
        tight_n=forces,
        strength_n=wire_strength(vehicle, stay, FITTINGS_KEEP),
        inward_n=hardest.inward_n,
        bowing_n=spread(bows, BOWING_SPREAD, known_by=KnownBy.COMPUTED, method="fin as a column"),
        anchor_holds_n=stay.anchor_holds.estimate(KnownBy.MEASURED) if stay.anchor_holds else None,
        drag_n=fins.count
        * (2 if pair.to == "body" else 1)
        * wire_drag(line, pair.diameter_m, loads.pressure_pa),
        crosses_body_at_m=crossing(vehicle, fins, pair, line),
    )
