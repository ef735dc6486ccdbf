"""Strength and fins against values typed from standards, handbooks and papers."""

import csv
import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from finial.core.estimates import Estimate, KnownBy, exact
from finial.materials.bars import Pull
from finial.materials.material import PRINTED, makers_strength, material
from finial.structure.beams import cantilever_frequency_factor
from finial.structure.fins.divergence import TwistingFin, divergence_pressure, twist_growth
from finial.structure.fins.modes import FinModes, FinPlate, fin_modes
from finial.structure.fins.outline import FinPlan
from finial.structure.fins.plate_answers import plate_modes
from finial.structure.fins.plate_model import plate_model
from finial.structure.fins.screen import flutter_screen_speed
from finial.structure.fins.stays import StayLine, wire_drag
from finial.structure.fins.typical_section import (
    TypicalSection,
    divergence_speed,
    steady_flutter,
    theodorsen,
    unsteady_flutter,
)
from finial.structure.fins.wire_stiffness import stay_stiffness
from finial.structure.heat import softening_margin, surface_temperature
from finial.structure.rods.columns import euler_load
from finial.structure.rods.threads import (
    minor_diameter,
    property_class,
    stress_area,
    strip_area,
    thread,
    ultimate_load,
)
from finial.structure.walls.buckling import round_wall_buckling_stress, wrinkled_wall_strength
from finial.structure.walls.outline import wall_area
from finial.structure.walls.plates import (
    Plate,
    hoop_stress,
    long_wall,
    round_plate,
    round_plate_centre_load,
    square_plate,
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
    if given["shape"] == "centre load":
        return round_plate_centre_load(unit, 1.0, 1.0, edge=given["edge"])
    if given["shape"] == "round":
        answer, scale = round_plate(unit, 1.0, 1.0, edge=given["edge"]), 1.0
    else:
        answer, scale = square_plate(unit, 1.0, 1.0, edge=given["edge"]), 1.0 / (12 * 0.91)
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
    wall = long_wall(Plate(thickness_m=0.003, modulus_pa=2.3e9, poisson=0.35), 0.1, 15 * PSI, edge="clamped")
    hoop = hoop_stress(15 * PSI, 0.1, 0.0015)
    return {"stress": wall.stress_pa, "bulge": wall.deflection_m, "hoop": hoop}[given["want"]]


def knock_down(given: dict[str, str]) -> float:
    ratio = float(given["radius_over_wall"])
    return round_wall_buckling_stress(1.0, 1.0, ratio, poisson=0.3) / (1 / math.sqrt(3 * 0.91) / ratio)


def unit_plate(outline: list[list[float]]) -> FinModes:
    """Modes of a plate with D = 1 and rho h = 1: frequencies are then the published factors."""
    corners = np.array(outline, dtype=float)
    return fin_modes(
        FinPlate(outline_m=corners, thickness_m=0.01, modulus_pa=10.92e6, density_kg_m3=100.0, poisson=0.3)
    )


def rectangle(given: dict[str, str]) -> float:
    span = float(given["span"])
    modes = unit_plate([[0, 0], [0, span], [1, span], [1, 0]])
    if given["mode"] == "bending":
        return modes.bending_rad_s * span**2
    if given["mode"] == "torsion":
        return modes.torsion_rad_s * span**2
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


def section(given: dict[str, str]) -> float:
    example = TypicalSection(
        axis=-0.2, imbalance=0.1, radius_squared=0.24, frequency_ratio=0.4, mass_ratio=20.0
    )
    want = given["want"]
    if want.startswith("lag"):
        lag = complex(theodorsen(float(given["k"])))
        return lag.real if want == "lag real" else lag.imag
    if want == "divergence":
        return divergence_speed(example)
    point = unsteady_flutter(example) if want.startswith("unsteady") else steady_flutter(example)
    assert point is not None
    return point.speed if want.endswith("speed") else point.frequency


def divergence(given: dict[str, str]) -> float:
    fin = TwistingFin(torsion_n_m2=50.0, span_m=0.3, chord_m=0.1, lift_ahead_m=0.025)
    pressure = divergence_pressure(fin)
    twist, lift = twist_growth(float(given.get("share", 0.1)))
    speed = math.sqrt(2 * pressure / 1.225)
    return {"pressure": pressure, "speed": speed, "twist": twist, "lift": lift}[given["want"]]


def stay(given: dict[str, str]) -> float:
    wire = stay_stiffness(0.0012, 190e9, 0.25, math.radians(45))
    return {"along": wire.along_n_per_m, "across": wire.across_n_per_m}[given["want"]]


def stuff(given: dict[str, str]) -> float:
    found = material(given["material"])
    printed = found.kind == PRINTED
    flat = makers_strength(found.name, Pull.ALONG) if printed else found.ultimate_pa
    upright = makers_strength(found.name, Pull.ACROSS) if printed else None
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
    "STR-02": lambda given: ultimate_load(thread(given["thread"]), property_class(given["class"]).tensile_pa),
    "STR-03": lambda given: strip_area(thread(given["thread"]), float(given["engagement_m"])),
    "STR-04": column,
    "STR-05": load_share,
    "STR-07": plate,
    "STR-10": flagged,
    "EJC-08": bay,
    "WRK-01": knock_down,
    "FIN-01": lambda given: cantilever_frequency_factor(int(given["mode"])),
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


PLATES = [row for row in rows() if row["id"].split()[0] in {"FIN-02", "FIN-03", "FIN-04"}]


@pytest.mark.parametrize("row", PLATES, ids=lambda row: row["id"])
def test_published_plate_by_finite_elements(row, monkeypatch):
    """The same rows again, with plate elements in place of polynomials."""

    def elements(plate: FinPlate) -> FinModes:
        return plate_modes(plate_model(plate)).kinds

    monkeypatch.setitem(globals(), "fin_modes", elements)
    reached = METHODS[row["id"].split()[0]](words(row))
    assert reached == pytest.approx(float(row["expected"]), rel=float(row["tolerance"]))


def test_every_row_names_its_source():
    assert all(row["source"] for row in rows())
