"""What the stays of the sheet do in the flight's largest load."""

import math
from collections.abc import Iterator, Sequence

import numpy as np

from finial.aero.fins.on_body import FinAir
from finial.assemble.strength.cases import LoadCase
from finial.assemble.strength.fins.records import StayStudy
from finial.assemble.vehicle.loading import Vehicle
from finial.assemble.vehicle.stays import crossing, stay_run, wire_strength
from finial.core.estimates import Estimate, KnownBy
from finial.files.sheet_body import FinEntry, StayEntry
from finial.structure.fins.in_wind import BentFin
from finial.structure.fins.outline import chords
from finial.structure.fins.plate_model import PlateModel, rows_at
from finial.structure.fins.stays import (
    StayPair,
    bowing_load,
    pair_stiffness,
    slack_shift,
    stay_forces,
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
PRELOAD_SPREAD = 0.2
"""Scatter of a wire's preload where the sheet gives none [-]; common practice."""
LOAD_SPREAD = 0.3
"""Scatter of the shift of the tied point with the gust [-]; assumed."""


def stay_studies(
    vehicle: Vehicle,
    fin: tuple[FinAir, FinEntry],
    pairs: Sequence[StayPair],
    model: PlateModel,
    load: tuple[BentFin | None, LoadCase],
) -> tuple[StayStudy, ...]:
    """Every pair of stays of one set of fins, with the plate bent by the load."""
    return tuple(_studies(vehicle, fin, pairs, model, load))


def _studies(
    vehicle: Vehicle,
    fin: tuple[FinAir, FinEntry],
    pairs: Sequence[StayPair],
    model: PlateModel,
    load: tuple[BentFin | None, LoadCase],
) -> Iterator[StayStudy]:
    air, given = fin
    bent, case = load
    for stay, pair in zip(given.stays, pairs, strict=True):
        shift = 0.0
        if bent is not None:
            row = rows_at(model, np.array([[pair.along_m, pair.outward_m]])).deflection
            shift = float(abs((row @ bent.unknowns)[0]))
        yield _study(vehicle, (air, stay), pair, (shift, case.dynamic_pressure_pa), model)


def _study(
    vehicle: Vehicle,
    fin: tuple[FinAir, StayEntry],
    pair: StayPair,
    load: tuple[float, float],
    model: PlateModel,
) -> StayStudy:
    air, stay = fin
    shift, pressure = load
    fins, line = air.fins, stay_run(air.fins, pair)
    # Between fins the far end moves too: in a gust by the difference of two neighbours.
    pulled = shift * (2 * math.sin(math.pi / fins.count) if pair.to == "next fin" else 1.0)
    forces = [stay_forces(pair, line, pulled * factor) for factor in (1.0, 1 - LOAD_SPREAD, 1 + LOAD_SPREAD)]
    reached = Estimate(
        value=pulled,
        low=pulled * (1 - LOAD_SPREAD),
        high=pulled * (1 + LOAD_SPREAD),
        known_by=KnownBy.COMPUTED,
        method="shift of the tied point in the gust",
    )
    slack = slack_shift(pair, line)
    loose = stay.preload.tolerance / pair.preload_n if stay.preload.tolerance else PRELOAD_SPREAD
    edge = Estimate(
        value=slack,
        low=(1 - loose) * slack,
        high=(1 + loose) * slack,
        known_by=KnownBy.MEASURED if stay.preload.tolerance else KnownBy.HANDBOOK,
        method="preload of a wire",
    )
    mean_chord = float(
        np.mean(chords(np.asarray(fins.outline_m), np.linspace(0.0, pair.outward_m * 0.999, 20)))
    )
    return StayStudy(
        pair=pair,
        where="to the body" if pair.to == "body" else "to the next fins",
        stiffness_n_per_m=pair_stiffness(pair, line, fins=fins.count, pattern="gust"),
        shift_m=shift,
        slack_reserve=reserve_factor(edge, reached),
        tight_n=Estimate(
            value=forces[0].tight_n,
            low=forces[1].tight_n,
            high=forces[2].tight_n,
            known_by=KnownBy.COMPUTED,
            method="preload and gust in the tighter wire",
        ),
        strength_n=wire_strength(vehicle, stay, FITTINGS_KEEP),
        inward_n=forces[2].inward_n,
        bowing_n=bowing_load(model.plate.modulus_pa, mean_chord, model.plate.thickness_m, pair.outward_m),
        anchor_holds_n=stay.anchor_holds.estimate(KnownBy.MEASURED) if stay.anchor_holds else None,
        drag_n=fins.count * (2 if pair.to == "body" else 1) * wire_drag(line, pair.diameter_m, pressure),
        crosses_body_at_m=crossing(vehicle, fins, pair, line),
    )
