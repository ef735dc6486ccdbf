"""What a record takes for granted where nobody says: nothing, unless it is listed here by hand."""

import dataclasses
import importlib
import math
import pkgutil
from collections.abc import Iterator

from pydantic import BaseModel

import finial
from finial.core.estimates import KnownBy

PLAIN = (bool, int, float)
UNBOUNDED = frozenset(
    """
    Anchorage.stiffness_n_per_m RootHold.sliding_pa RootHold.turning_n StayPair.anchor_n_per_m
    StayWish.allowed_pa WallSection.flat_length_m
    """.split()
)
"""What is not told holds whatever comes: it is judged elsewhere, or not at all."""
AS_IT_IS = frozenset(
    """
    AirDepartures.across_factor AirDepartures.axial_factor Bubble.part Corner.canopy Corner.drag Corner.mass
    Corner.thrust FinBuild.density_share FinBuild.solid_share LetsGo.warmth_left PackStudy.mouth_share
    Reserve.warmth_left SectionSpec.warmth_left Sensors.felt_scale Spread.wind_speed_m_s Storey.top
    TableInputs.axial_factor Rig.filling_m WallSection.infill_depth_m Drawing.scale _Machine.scale
    """.split()
)
"""Factors and shares of what is there: all of it."""
ONE = frozenset(
    """
    BillRow.count DragSource.count EyeEntry.legs Installed.motor_count LaunchEntry.at_once Learnt.flights
    MadeEntry.piece OddsWanted.seed OddsWanted.threads Search.seed
    """.split()
)
"""Counts, and the first of a row."""
TRUE = frozenset(
    """
    Bore.is_round CanopyEvent.fills CanopyEvent.works DrawnOutline.closed Estimate.inside_range
    FinSet.square_edges Glue.shock Installed.substantial_metal ItemDensity.alone PartEntry.outside
    ScatterEntry.gusts StudyAsked.two_grids Warmth.with_rods _Machine.absolute _Machine.fed_absolute
    """.split()
)
USUAL: dict[str, float] = {
    "Air.lapse_k_m": 0.0065,  # ISO 2533:1975
    "Burst.ambient_pa": 101_325.0,  # ISO 2533:1975
    "Burst.burn_time_s": 0.008,
    "Burst.heat_w_m2_k": 300.0,
    "Burst.temperature_k": 288.15,  # ISO 2533:1975
    "CanopyEntry.known_by": KnownBy.HANDBOOK,
    "Cord.rebound": 0.7,
    "Crowd.deep_m": 20.0,
    "Day.lapse_k_m": 0.0065,
    "Filling.growth_exponent": 2.0,
    "FinPlate.poisson": 0.35,
    "BayWall.poisson": 0.35,
    "Plate.poisson": 0.35,
    "Fineness.cells": 16.0,
    "Fineness.grids": 3,
    "Fineness.settle_widths": 22.0,
    "Fineness.side_widths": 4.5,
    "Fineness.speed": 0.1,
    "Fineness.travel_widths": 24.0,
    "FlightInputs.gravity_m_s2": 9.80665,  # ISO 80000-3
    "Inflation.gravity_m_s2": 9.80665,
    "Scene.gravity_m_s2": 9.80665,
    "Guess.known_by": KnownBy.ASSUMED,
    "ItemEntry.known_by": KnownBy.ASSUMED,
    "Thing.known_by": KnownBy.MEASURED,
    "Inflation.air_share": 0.5,
    "Inflation.density_kg_m3": 1.225,  # ISO 2533:1975
    "Motor.thrust_spread": 0.05,
    "OddsWanted.flights": 1000,
    "PhotoEntry.click": 3,
    "PrintPlan.nozzle_m": 0.0004,
    "Printer.filament_m": 0.00175,
    "RecoveryStudy.late_s": 1.0,
    "Search.generations": 20,
    "Sensors.felt_noise_m_s2": 0.3,
    "Sensors.felt_range_m_s2": 500.0,
    "Sensors.lag_s": 0.05,
    "Sensors.pad_s": 5.0,
    "Sensors.pressure_noise_pa": 8.0,
    "Sensors.rest_s": 10.0,
    "Sensors.step_s": 0.02,
    "Sensors.turning_noise_rad_s": 0.01,
    "Stepping.most_steps": 200_000,
    "Stepping.samples": 4,
    "Stepping.time_limit_s": 7200.0,
    "Stepping.tolerance": 1e-5,
    "Stream.reynolds": 1e6,
    "Surface.layer_height_m": 0.0002,
    "TableInputs.reynolds_per_m_per_mach": 2.33e7,
    "TradeAsked.most_kg": 5.0,
    "Teller.last_s": -1e9,  # so long ago that the first word is told
}


def taken_for_granted() -> Iterator[tuple[str, float]]:
    for module in pkgutil.walk_packages(finial.__path__, "finial."):
        if ".gpu" in module.name or module.name.endswith("__main__"):
            continue
        for kind in vars(importlib.import_module(module.name)).values():
            if not isinstance(kind, type) or kind.__module__ != module.name:
                continue
            if dataclasses.is_dataclass(kind):
                defaults = {field.name: field.default for field in dataclasses.fields(kind)}
            elif issubclass(kind, BaseModel):
                defaults = {name: field.default for name, field in kind.model_fields.items()}
            else:
                continue
            for name, value in defaults.items():
                if isinstance(value, PLAIN) and not math.isnan(value):
                    yield f"{kind.__name__}.{name}", value


def test_a_record_takes_nothing_for_granted_that_is_not_listed() -> None:
    listed = {
        **dict.fromkeys(UNBOUNDED, math.inf),
        **dict.fromkeys(AS_IT_IS, 1.0),
        **dict.fromkeys(ONE, 1),
        **dict.fromkeys(TRUE, True),
        **USUAL,
    }
    found = {name: value for name, value in taken_for_granted() if value}
    assert found == listed
