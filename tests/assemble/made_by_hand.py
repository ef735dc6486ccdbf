"""What tests by hand are made of: entries of a sheet, materials, motors, and numbers with their ends."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np

from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.units import Quantity
from finial.files.sheet_body import DowelsEntry, FinEntry, ItemEntry, RodEntry
from finial.files.sheet_motor import MotorTubeEntry
from finial.files.sheet_recovery import BayEntry, CanopyEntry, CordEntry, JointEntry, PowderChargeEntry
from finial.materials.material import material
from finial.motors.motor import Motor
from finial.shape.fin_set import FinSet

QUARTER = math.pi / 4


AREA_M2 = QUARTER * 0.08**2


BAY = BayEntry.model_validate(
    {
        "name": "bay",
        "joint": "joint",
        "stations": ["200 mm", "500 mm"],
        "diameter": "80 mm",
        "round_tube": True,
        "offset": ["10 mm", "0 mm"],
        "tilt": "45 deg",
    }
)


BOARD = replace(
    material("birch plywood"), yield_pa=exact(60e6), through_pa=exact(10e6), punched_pa=exact(9e6)
)


DOWELS = DowelsEntry.model_validate(
    {"count": 4, "diameter": "5 mm", "depth": "10 mm", "material": "birch plywood"}
)


FIN = FinSet(
    name="fins",
    outline_m=np.array([[0.0, 0.0], [0.04, 0.1], [0.14, 0.1], [0.2, 0.0]]),
    station_m=0.9,
    root_radius_m=0.05,
    count=4,
    first_at_rad=0.0,
    thickness_m=0.004,
)


M6_STRESS_AREA_M2 = 20.12e-6
"""ISO 898-1, coarse thread M6."""


MOTOR = Motor(
    name="K1",
    diameter_m=0.054,
    length_m=0.4,
    loaded_mass_kg=1.4,
    propellant_mass_kg=0.7,
    times_s=np.array([0.0, 1.0, 2.0]),
    thrusts_n=np.array([0.0, 500.0, 0.0]),
)


PLASTIC = replace(
    material("PETG"),
    yield_pa=exact(40e6),
    ultimate_pa=exact(40e6),
    upright_pa=exact(20e6),
    modulus_pa=exact(2e9),
    poisson=0.35,
)
"""Round numbers, not those of the table."""


STEEL = replace(
    material("steel"), ultimate_pa=exact(400e6), yield_pa=exact(240e6), through_pa=None, punched_pa=None
)
"""Class 4.6, ISO 898-1."""


STUFFS = {"steel": STEEL, "PETG": PLASTIC, "birch plywood": BOARD}


USUAL = {
    "wind_from": 0.2,
    "wind_exponent": 0.05,
    "burn_time": 0.03,
    "ignition_delay": 0.1,
    "thrust_line": 0.004,
    "thrust_offset": 0.001,
    "rail_tilt": 0.01,
    "rail_toward": 0.03,
    "event_delay": 0.5,
    "canopy_stays_in": 0.01,
    "canopy_stays_bundled": 0.02,
    "fin_angle": 0.005,
    "tumbling_area": 0.4,
}


def about(value, low, high, known_by=KnownBy.COMPUTED):
    return Estimate(value=value, low=low, high=high, known_by=known_by, method="")


def bay(**given):
    usual = {"name": "bay", "joint": "joint", "stations": ["200 mm", "500 mm"], "diameter": "80 mm"}
    return BayEntry.model_validate({**usual, "round_tube": True, **given})


def canopy(**given):
    usual = {"name": "main", "bay": "bay", "kind": "flat circular", "event": "apogee", "station": "300 mm"}
    usual |= {"diameter": "1.2 m", "diameter_measures": "nominal", "mass": "200 g"}
    return CanopyEntry.model_validate({**usual, **given})


def charge(**given):
    usual = {"name": "charge", "bay": "bay", "powder": "2 g +- 0.1 g", "event": "apogee"}
    return PowderChargeEntry.model_validate({**usual, **given})


def cord(**given):
    usual = {"name": "cord", "joint": "joint", "material": "nylon webbing 1000 lbf", "length": "6 m"}
    return CordEntry.model_validate({**usual, "mass_per_length": "10 g/m", **given})


def part(
    name="tower", wall_m=0.0016, *, span_m=(0.2, 0.9), stuff="PETG", layers="z", glued=False, dowels=None
):
    printed = wall_m and SimpleNamespace(
        wall=Quantity(value=wall_m, text="", tolerance=0.0),
        layers_along=layers,
        infill=Quantity(value=0.1, text=""),
    )
    spec = SimpleNamespace(name=name, print=printed, material=stuff, glued=glued, dowels=dowels)
    return SimpleNamespace(spec=spec, span_m=span_m)


def cut(*, flat_m=0.1, length_m=0.3, sandwich=None, infill=0.0):
    area = SimpleNamespace(flat_width_m=flat_m, wall_m=0.0016, area_m2=6e-4)
    return SimpleNamespace(
        area=area, flat_length_m=length_m, sandwich=sandwich, infill=infill, infill_depth_m=0.03,
        station_m=0.5, part=part(), joint=False, seam=None, tube=None,
    )  # fmt: skip


def fin_entry(**fixing):
    outline = [["10 mm", "0 mm"], ["100 mm", "120 mm"], ["200 mm", "120 mm"], ["210 mm", "0 mm"]]
    return FinEntry.model_validate({
        "name": "fins", "outline": outline, "station": "900 mm +- 1 mm", "count": 3, "thickness": "4 mm",
        "material": "polycarbonate", "edges": "square", "fixing": fixing or None,
    })  # fmt: skip


def item(**given):
    return ItemEntry.model_validate({"name": "it", "mass": "0.5 kg", "station": "600 mm", **given})


def joint(**given):
    return JointEntry.model_validate({"name": "joint", "station": "200 mm", **given})


def quantity(value, tolerance=0.0):
    return Quantity(value=value, text="", tolerance=tolerance)


def rod(**given):
    usual = {"thread": "M6", "material": "steel", "count": 4, "on_circle": "84 mm"}
    return RodEntry.model_validate({**usual, "stations": ["200 mm", "900 mm"], **given})


def sheet(*, bays=None, joints=None, charges=(), canopies=(), cords=()):
    recovery = SimpleNamespace(
        bay=bays or (bay(),), joint=joints or (joint(),), charge=charges, canopy=canopies, cord=cords
    )
    day = SimpleNamespace(temperature=Quantity(value=293.15, text="20 degC"))
    return SimpleNamespace(recovery=recovery, material=(), launch=day)


def tube_of(fore, aft, **given):
    return MotorTubeEntry.model_validate({"stations": [fore, aft], "across": "60 mm", **given})
