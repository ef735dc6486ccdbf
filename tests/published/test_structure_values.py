"""Strength and fins against values typed from standards, handbooks and papers."""

import csv
import math
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
from scipy.special import hankel2

from finial.core.estimates import Estimate, KnownBy, exact
from finial.materials.bars import BarPull
from finial.materials.material import PRINTED, makers_strength, material
from finial.structure.fins.air_states import FinSwinging, air_states
from finial.structure.fins.in_wind import (
    REDUCED_FREQUENCIES,
    FinGrid,
    FlexibleFin,
    bent_in_wind,
    divergence_of,
    fin_grid,
)
from finial.structure.fins.lattice import LatticeMotion, fin_lattice, swing_loads
from finial.structure.fins.modal_flutter import FlutterOnset, first_growth
from finial.structure.fins.outline import FinPlan
from finial.structure.fins.plate import FinPlate
from finial.structure.fins.plate_answers import PlateModes, plate_modes
from finial.structure.fins.plate_model import plate_model
from finial.structure.fins.screen import flutter_screen_speed
from finial.structure.fins.stays import StayLine, StayPair, pair_stiffness, wire_drag, wire_stiffness
from finial.structure.heat import softening_margin, surface_temperature
from finial.structure.rods.columns import euler_load
from finial.structure.rods.threads import (
    minor_diameter,
    stress_area,
    strip_area,
    thread,
)
from finial.structure.walls.buckling import round_wall_buckling_stress, wrinkled_wall_strength
from finial.structure.walls.outline import wall_area
from finial.structure.walls.plates import (
    Plate,
    hoop_stress,
    rectangular_plate,
    round_plate,
    round_plate_pushed,
)
from finial.structure.walls.section import rod_circle, section_response

INCH, FOOT, PSI = 0.0254, 0.3048, 6894.757293168
ZERO_CELSIUS = 273.15
PLA_SOFTENS = Estimate(
    value=60 + ZERO_CELSIUS, low=55 + ZERO_CELSIUS, high=65 + ZERO_CELSIUS, known_by=KnownBy.HANDBOOK
)


def rows() -> list[dict[str, str]]:
    lines = Path(__file__).with_name("structure.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def words(row: dict[str, str]) -> dict[str, str]:
    pairs = (pair.split("=") for pair in row["inputs"].split(";"))
    return {key.strip(): value.strip() for key, value in pairs}


def column(given: dict[str, str]) -> float:
    return euler_load(
        minor_diameter(thread(given["thread"])),
        float(given["length_m"]),
        float(given["modulus_pa"]),
        end_factor=float(given["end_factor"]),
    )


def load_share(given: dict[str, str]) -> float:
    box = np.array([[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]])
    both = section_response(wall_area([box], 0.003), 2.3e9, rod_circle(4, 0.08), 20.1e-6, 205e9)
    return {"wall_ea": both.wall_ea_n, "rod_ea": both.rod_ea_n, "rod_share": both.rod_share}[given["want"]]


def plate(given: dict[str, str]) -> float:
    # Unit size and load leave the published factor; squares are tabled by D, the rest by E.
    unit = Plate(thickness_m=1.0, modulus_pa=1.0, poisson=0.3)
    if given["shape"] == "round":
        answer, scale = round_plate(unit, 1.0, 1.0, edge=given["edge"]), 1.0
    elif given["shape"] == "pushed":
        answer, scale = round_plate_pushed(unit, 10.0, 1.0, 1e-9, edge=given["edge"]), 1e-2
    else:
        answer, scale = rectangular_plate(unit, 1.0, 1.0, 1.0, edge=given["edge"]), 1.0 / (12 * 0.91)
    return answer.deflection_m * scale if given["want"] == "deflection" else answer.stress_pa


def flagged(given: dict[str, str]) -> float:
    if "colour" in given:
        surface = surface_temperature(
            exact(float(given["air_celsius"]) + ZERO_CELSIUS), colour=given["colour"]
        )
    else:
        surface = exact(float(given["celsius"]) + ZERO_CELSIUS)
    return float(softening_margin(PLA_SOFTENS, surface).value < 0.0)


def bay(given: dict[str, str]) -> float:
    stuff = Plate(thickness_m=0.003, modulus_pa=2.3e9, poisson=0.35)
    wall = rectangular_plate(stuff, 0.1, 2.0, 15 * PSI, edge="clamped")
    hoop = hoop_stress(15 * PSI, 0.1, 0.0015)
    return {"stress": wall.stress_pa, "bulge": wall.deflection_m, "hoop": hoop}[given["want"]]


def knock_down(given: dict[str, str]) -> float:
    ratio = float(given["radius_over_wall"])
    return round_wall_buckling_stress(1.0, 1.0, ratio, poisson=0.3) / (1 / math.sqrt(3 * 0.91) / ratio)


def beam(given: dict[str, str]) -> float:
    """A strip so slender, without Poisson's effect, that it is a beam of span, stiffness and mass 1."""
    strip = np.array([[0.0, 0.0], [0.0, 1.0], [0.01, 1.0], [0.01, 0.0]])
    thin = FinPlate(outline_m=strip, thickness_m=1e-3, modulus_pa=12e6, density_kg_m3=1.0, poisson=0.0)
    modes = plate_modes(plate_model(thin), count=6)
    bends = modes.frequencies_rad_s[~modes.twists]
    return float(bends[int(given["mode"]) - 1])


def unit_plate(outline: list[list[float]]) -> PlateModes:
    """Modes of a plate with D = 1 and rho h = 1: frequencies are then the published factors."""
    corners = np.array(outline, dtype=float)
    plate = FinPlate(
        outline_m=corners, thickness_m=0.01, modulus_pa=10.92e6, density_kg_m3=100.0, poisson=0.3
    )
    return plate_modes(plate_model(plate))


def rectangle(given: dict[str, str]) -> float:
    span = float(given["span"])
    modes = unit_plate([[0, 0], [0, span], [1, span], [1, 0]])
    if given["mode"] == "bending":
        return modes.frequencies_rad_s[~modes.twists][0] * span**2
    if given["mode"] == "torsion":
        return modes.frequencies_rad_s[modes.twists][0] * span**2
    return float(modes.frequencies_rad_s[int(given["mode"]) - 1])


def skew(given: dict[str, str]) -> float:
    angle = math.radians(float(given["skew_deg"]))
    lean, high = math.sin(angle), math.cos(angle)
    modes = unit_plate([[0, 0], [lean, high], [1 + lean, high], [1, 0]])
    return float(modes.frequencies_rad_s[int(given["mode"]) - 1])


def screen(given: dict[str, str]) -> float:
    if "root_in" in given:
        sizes = [float(given[key]) * INCH for key in ("root_in", "tip_in", "span_in", "thick_in")]
        shear, pressure = float(given["shear_psi"]) * PSI, float(given["psi"]) * PSI
        sound = float(given["sound_ft_s"]) * FOOT
    else:
        sizes = [float(given[key]) for key in ("root_m", "tip_m", "span_m", "thick_m")]
        shear, pressure, sound = (float(given[key]) for key in ("shear_pa", "pa", "sound_m_s"))
    plan = FinPlan(root_chord_m=sizes[0], tip_chord_m=sizes[1], span_m=sizes[2])
    return flutter_screen_speed(
        plan, sizes[3], shear, sound_m_s=sound, pressure_pa=pressure, ratio_to=given["ratio"]
    )


AXIS, OFF, TURNING, RATIO, HEAVY = -0.2, 0.1, 0.24, 0.4, 20 * math.pi
"""FIN-07: a section of half chord 1 whose twist swings at 1 rad/s, in air of density 1."""


def thin_section(k: float) -> np.ndarray:
    """Theodorsen's forces down and nose up on (heave down, nose up); his own lag of lift."""
    lag = hankel2(1, k) / (hankel2(1, k) + 1j * hankel2(0, k)) if k > 0 else 1.0
    s, a = 1j * k, AXIS

    def answer(down: float, turn: float) -> tuple[complex, complex]:
        wash = s * down + turn + (0.5 - a) * s * turn
        lift = math.pi * (s**2 * down + s * turn - a * s**2 * turn) + 2 * math.pi * lag * wash
        moment = math.pi * (a * s**2 * down - (0.5 - a) * s * turn - (1 / 8 + a**2) * s**2 * turn)
        return -2 * lift, 2 * (moment + 2 * math.pi * (0.5 + a) * lag * wash)

    return np.array([answer(1, 0), answer(0, 1)]).T


def section_growth(want: str) -> FlutterOnset:
    k = np.array(REDUCED_FREQUENCIES)
    swinging = want.startswith("unsteady")
    loads = np.array([thin_section(float(one) if swinging else 0.0) for one in k])
    mass = HEAVY * np.array([[1.0, OFF], [OFF, TURNING]])
    stiff = HEAVY * np.diag([RATIO**2, TURNING])
    if want == "divergence":
        # Held against heaving, so that it can only twist away.
        mass, stiff, loads = mass[1:, 1:], stiff[1:, 1:], loads[:, 1:, 1:]
    section = FinSwinging(mass=mass, stiffness=stiff, air=air_states(k, loads), half_chord_m=1.0)
    growth = first_growth(section, 1.0, np.linspace(0.5, 4.0, 36))
    assert growth is not None
    assert (growth.frequency_hz == 0.0) == (want == "divergence")
    return growth


@lru_cache
def lattice_lag(k: float) -> complex:
    """Lag of the lift that heaving makes in the middle of a very long fin, as rings in a wake find it."""
    lattice = fin_lattice(np.array([[-0.5, 0.0], [-0.5, 60.0], [0.5, 60.0], [0.5, 0.0]]), across=20, along=12)
    near = (lattice.bound_m[:, 1:] < 4.0).astype(float)
    still, heave = np.zeros_like(near), np.ones_like(near)
    motion = LatticeMotion(slope=still, seen=heave, bound=near, middle=near)
    width = lattice.widths_m[0] * np.unique(lattice.bound_m[near[:, 0] > 0, 1]).size
    s = 1j * k
    lift = -complex(swing_loads(lattice, motion, k)[0, 0]) / width / 2
    return (lift - math.pi * s**2) / (2 * math.pi * s)


def section(given: dict[str, str]) -> float:
    want = given["want"]
    if want.startswith("lag"):
        lag = lattice_lag(float(given["k"]))
        return lag.real if want == "lag real" else lag.imag
    growth = section_growth(want)
    return growth.frequency_hz * 2 * math.pi if want.endswith("frequency") else growth.speed_m_s


class StripAir(FinGrid):
    """Each strip lifts for itself, 2 pi a radian, as strip theory has it."""

    @property
    def force_per_slope(self) -> np.ndarray:
        return -2 * math.pi * np.diag(self.lattice.areas_m2)


CHORD, SPAN, TORSION = 0.1, 16.0, 50.0
"""FIN-08 by a plate so long that its root does not matter; pressure goes with the span's inverse square."""
LOADED = SPAN * 60 / 60.25
"""The lattice leaves a quarter strip free at the tip: it twists along and lifts nothing [m]."""


@lru_cache
def twisting_fin() -> FlexibleFin:
    strip = np.array([[0.0, 0.0], [0.0, SPAN], [CHORD, SPAN], [CHORD, 0.0]])
    thick = 0.001
    # G J of a thin strip with nu 0: G c t3 / 3 with G = E / 2.
    modulus = 6 * TORSION / (CHORD * thick**3)
    plate = FinPlate(outline_m=strip, thickness_m=thick, modulus_pa=modulus, density_kg_m3=1.0, poisson=0.0)
    model = plate_model(plate, side_m=0.4)
    usual = fin_grid(model, across=60, along=1)
    return FlexibleFin(model=model, grid=StripAir(shape=usual.shape, lattice=usual.lattice))


def divergence(given: dict[str, str]) -> float:
    fin, want = twisting_fin(), given["want"]
    edge = divergence_of(fin)
    if want in ("pressure", "speed"):
        pressure = edge * (LOADED / 0.3) ** 2
        return pressure if want == "pressure" else math.sqrt(2 * pressure / 1.225)
    bent = bent_in_wind(fin, float(given["share"]) * edge, 1e-3)
    return bent.tip_twist_rad / 1e-3 if want == "twist" else bent.lift_ratio


def stay(given: dict[str, str]) -> float:
    pair = StayPair(
        **{"along_m": 0.1, "outward_m": 0.1, "diameter_m": 0.0012, "modulus_pa": 190e9, "preload_n": 50.0},
        **{"anchor_radius_m": 0.05, "anchor_turn_rad": 0.7},
    )
    lean = math.sqrt(0.5)
    line = StayLine(length_m=0.25, direction=(lean, 0.0, lean))
    if given["want"] == "along":
        return wire_stiffness(pair, line)
    return pair_stiffness(pair, line, fins=4, pattern="gust") / 2


def stuff(given: dict[str, str]) -> float:
    found = material(given["material"])
    printed = found.kind == PRINTED
    flat = makers_strength(found.name, BarPull.ALONG) if printed else found.ultimate_pa
    upright = makers_strength(found.name, BarPull.ACROSS) if printed else None
    if given["want"] == "fraction":
        assert upright is not None
        return upright.value / flat.value
    value = {
        "flat": flat,
        "upright": upright,
        "yield": found.yield_pa,
        "modulus": found.modulus_pa,
        "softens": found.softens_k,
        "density": found.density_kg_m3,
    }[given["want"]]
    assert value is not None
    return value.value


METHODS: dict[str, Callable[[dict[str, str]], float]] = {
    "STR-01": lambda given: stress_area(thread(given["thread"])),
    "STR-02": lambda given: stress_area(thread(given["thread"])) * material(given["class"]).ultimate_pa.low,
    "STR-03": lambda given: strip_area(thread(given["thread"]), float(given["engagement_m"])),
    "STR-04": column,
    "STR-05": load_share,
    "STR-07": plate,
    "STR-10": flagged,
    "EJC-08": bay,
    "WRK-01": knock_down,
    "FIN-01": beam,
    "FIN-02": rectangle,
    "FIN-03": rectangle,
    "FIN-04": skew,
    "FIN-06": screen,
    "FIN-07": section,
    "FIN-08": divergence,
    "FIN-09": stay,
    "STR-08": stuff,
    "STR-09": stuff,
    "DRG-07": lambda given: wire_drag(StayLine(length_m=0.25, direction=(0, 0, 1)), 0.0015, 6000.0),
    "CRP-01": lambda given: wrinkled_wall_strength(float(given["ratio"]), 1.0),
    "CRP-02": lambda given: wrinkled_wall_strength(float(given["ratio"]), 1.0),
}


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["id"])
def test_published_value(row):
    reached = METHODS[row["id"].split()[0]](words(row))
    assert reached == pytest.approx(float(row["expected"]), rel=float(row["tolerance"]), abs=1e-12)


def test_every_row_names_its_source():
    assert all(row["source"] for row in rows())
