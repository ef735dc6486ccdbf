"""Air loads against closed forms, handbooks and independent solvers, typed from the source."""

import csv
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from drawn_bodies import dome_profile, rounded_square

from finial.aero.band.band import pressure_band
from finial.aero.band.extremes import central_force
from finial.aero.body import body_air
from finial.aero.drag.build_up import DragDetails, drag_build_up
from finial.aero.drag.friction import Surface, laminar_friction, rough_friction, turbulent_friction
from finial.aero.drag.pressure import base_drag_behind, base_drag_fit
from finial.aero.fins.component import carry_over
from finial.aero.plates.lattice import lattice_lift
from finial.aero.plates.planform import fin_planform
from finial.aero.plates.plate_lift import diederich_slope, subsonic_beta
from finial.aero.sections.added_mass import added_mass_tensor
from finial.aero.sections.crossflow import (
    CIRCLE_DRAG,
    crossflow_mach_factor,
    drag_width_parts,
    finite_length_factor,
)
from finial.aero.sections.outlines import (
    ellipse,
    outline_area,
    regular_polygon,
    section_of,
    skin_of,
    tapered_skin,
)
from finial.aero.sections.similar import section_tensors
from finial.aero.steps.slender import growth_stations
from finial.shape.skin import Skin


def rows() -> list[dict[str, str]]:
    lines = Path(__file__).with_name("air.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def inputs(row: dict[str, str]) -> dict[str, str]:
    pairs = (pair.split("=") for pair in row["inputs"].split(";"))
    return {key.strip(): value.strip() for key, value in pairs}


def circle(across_m: float) -> np.ndarray:
    return ellipse(across_m / 2, across_m / 2)


def square(across_m: float) -> np.ndarray:
    return regular_polygon(4, across_m, np.pi / 4)


SECTIONS = {
    "circle": ellipse(1.0, 1.0, 720),
    "square": square(2.0),
    "ellipse 2:1": ellipse(1.0, 2.0, 360),
    "polygon 3": regular_polygon(3, 2.0, 0.2),
    "polygon 6": regular_polygon(6, 2.0, 0.2),
    "polygon 8": regular_polygon(8, 2.0, 0.2),
}


def added_mass(section: str, per: str, roll: str = "0", across: str = "short", **fins: str) -> float:
    outline = SECTIONS[section]
    turn = np.radians(float(roll))
    spin = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    corners = fins.get("at") == "corners"
    inner = np.sqrt(2.0) if corners else 1.0
    reach = inner * float(fins.get("reach", 0.0))
    count = int(fins.get("fins", 0))
    angles = (np.pi / 4 if corners else 0.0) + 2 * np.pi * np.arange(count) / max(count, 1)
    plates = [np.outer([inner, reach], [np.cos(a), np.sin(a)]) @ spin for a in angles]
    tensor = added_mass_tensor([outline @ spin], plates)
    # The long axis of the ellipse is z: broadside is motion along y.
    value = tensor[0, 0] if across == "long" or per != "area" or section == "circle" else tensor[1, 1]
    unit = {
        "area": outline_area(outline),
        "half area": outline_area(outline) / 2,
        "side2": 4.0,
        "reach": np.pi * reach**2,
    }
    return float(value / unit[per])


PROFILES: dict[str, Callable[[np.ndarray, float], np.ndarray]] = {
    "cone": lambda x, f: x,
    "pyramid": lambda x, f: x,
    "parabola": lambda x, f: x * (2 - x),
    "half ellipsoid": lambda x, f: np.sqrt(1 - (1 - x) ** 2),
    "von Karman": lambda x, f: np.sqrt((np.arccos(1 - 2 * x) - np.sin(2 * np.arccos(1 - 2 * x)) / 2) / np.pi),
    "tangent ogive": lambda x, f: (
        (np.sqrt((f**2 + 0.25) ** 2 - (f * (1 - x)) ** 2) - (f**2 + 0.25) + 0.5) / 0.5
    ),
    "closed spindle": lambda x, f: 4 * x * (1 - x),
}


def nose_skin(nose: str, fineness: float) -> Skin:
    share = (1 - np.cos(np.linspace(0, np.pi, 160))) / 2
    across = np.maximum(PROFILES[nose](share, fineness), 1e-7)
    outline = square if nose == "pyramid" else circle
    return skin_of([section_of(float(x), [outline(d)]) for x, d in zip(share, across, strict=True)])


def nose_value(nose: str, fineness: str = "3") -> float:
    skin = nose_skin(nose, float(fineness))
    tensors, _ = section_tensors(skin.sections)
    arms = growth_stations(skin.stations_m, np.sqrt(tensors[:, 0, 0]))
    moment = 2 * float(arms @ np.diff(tensors[:, 0, 0]) + skin.stations_m[0] * tensors[0, 0, 0])
    if nose == "closed spindle":
        return float(moment / (2 * skin.volume_m3))
    by_volume = skin.length_m - skin.volume_m3 / skin.base_area_m2
    by_growth = moment / (2 * tensors[-1, 0, 0])
    assert by_growth == pytest.approx(by_volume, abs=2e-3)
    return by_volume


def inclined(inclined: str, alpha: str, ask: str) -> float:
    assert inclined == "skin"
    angle = np.radians(float(alpha))
    tower = body_air(tapered_skin(square, [(0.0, 0.0), (3.0, 1.0), (10.0, 1.0)]))
    band = pressure_band(tower, (), [angle], [0.0])
    force = np.sin(angle) * central_force(band.finned)
    return float((force if ask == "force" else band.central_m)[0, 0])


def drag_width(loops: list[np.ndarray], rolls_rad: object) -> np.ndarray:
    return drag_width_parts(loops, rolls_rad)[:2].sum(axis=0)


def section_drag(drag: str) -> float:
    kind, _, size = drag.partition(" ")
    if kind == "circle":
        return float(drag_width([circle(1.0)], 0.0)[0])
    if kind == "rectangle":
        return float(drag_width([square(1.0) * [float(size), 1.0]], 0.0)[0])
    if kind == "rounded":
        return float(drag_width([rounded_square(1.0, float(size))], 0.0)[0])
    if kind == "polygon":
        sides = int(size)
        rolls = np.linspace(0, 2 * np.pi / sides, 13)
        outline = regular_polygon(sides, 1.0)
        return float(drag_width([outline], rolls).mean() * np.cos(np.pi / sides))
    roll = np.pi / 4 if size == "corner" else 0.0
    return float(drag_width([square(1.0)], roll)[0] / (np.sqrt(2) if roll else 1.0))


def shoulder_value(shoulder_: str, **sizes: str) -> float:
    fore, aft, length = (float(sizes[key]) for key in ("fore", "aft", "length"))
    skin = tapered_skin(circle, [(0.0, fore), (length, aft)])
    across = section_tensors(skin.sections)[0][:, 0, 0]
    growth = np.diff(across)
    if shoulder_ == "centre":
        return float(growth_stations(skin.stations_m, np.sqrt(across)) @ growth / growth.sum())
    return float(2 * growth.sum() / (np.pi / 4 * 0.10**2))


def plate(plate: str, ask: str) -> float:
    if plate == "circle":
        turn = np.linspace(0, np.pi, 200)
        outline = np.column_stack([1 - np.cos(turn), np.sin(turn)])
    else:
        half = float(plate) / 2
        outline = np.array([[0, 0], [0, half], [1, half], [1, 0]])
    lift = lattice_lift(outline)
    return lift.slope_per_rad if ask == "slope" else lift.centre_aft_m


def swept(swept: str, taper: str, sweep: str, ask: str) -> float:
    root = 4.0 / float(swept) / (1 + float(taper))
    back = np.tan(np.radians(float(sweep)))
    outline = np.array([[0, 0], [back, 1], [back + float(taper) * root, 1], [root, 0]])
    fin = fin_planform(outline)
    lift = lattice_lift(outline)
    return {
        "lattice slope": lift.slope_per_rad,
        "closed slope": float(diederich_slope(fin.aspect_ratio, fin.mid_chord_sweep_rad)),
        "lattice centre": lift.centre_aft_m / root,
    }[ask]


def cut_out() -> float:
    """Centre at 90 degrees: cone of half, cylinder of half the length."""
    body = body_air(tapered_skin(circle, [(0.0, 0.0), (0.5, 0.1), (1.0, 0.1)]))
    return float(pressure_band(body, (), [np.pi / 2], [0.0]).central_m[0, 0])


FRICTION = {"laminar": laminar_friction, "turbulent": turbulent_friction, "rough": rough_friction}
SMOOTH = DragDetails(surface=Surface(smooth=True))


def end_on(slenderness: str) -> float:
    cylinder = tapered_skin(circle, [(0.0, 0.1), (0.1 * float(slenderness), 0.1)])
    drag = drag_build_up(cylinder, (), mach=0.0, reynolds_per_m=5e6, details=SMOOTH)
    return drag.power_off.value


def solid_skin(kind: str, size: str = "") -> Skin:
    if kind == "cone":
        return tapered_skin(circle, [(0.0, 0.0), (0.05 / np.tan(np.radians(float(size) / 2)), 0.1)])
    if kind == "hemisphere" and size == "round":
        return tapered_skin(circle, dome_profile(0.1), per_tier=1)
    if kind == "hemisphere":
        return tapered_skin(circle, [(0.05 - x, across) for x, across in dome_profile(0.1)[::-1]], per_tier=1)
    return tapered_skin(square, [(0.0, 0.1), (0.1 if kind == "cube" else 0.001, 0.1)])


def solid(solid: str) -> float:
    skin = solid_skin(*solid.split())
    return drag_build_up(skin, (), mach=0.0, reynolds_per_m=5e6, details=SMOOTH).power_off.value


def rounded_edge(radius: str) -> float:
    edge = float(radius) * 0.1
    share = np.linspace(0.0, 1.0, 40) ** 2
    across = 0.1 - 2 * edge + 2 * edge * np.sqrt(1 - (1 - share) ** 2)
    profile = [*zip((edge * share).tolist(), across.tolist(), strict=True), (0.4, 0.1)]
    box = tapered_skin(square, profile, per_tier=1)
    return drag_build_up(box, (), mach=0.0, reynolds_per_m=5e6, details=SMOOTH).power_off.value


def answer(row: dict[str, str]) -> float:
    given = inputs(row)
    first = next(iter(given))
    solvers: dict[str, Callable[[], float]] = {
        "section": lambda: added_mass(**given),
        "tau": lambda: carry_over(float(given["tau"]))[given["which"] == "body"],
        "nose": lambda: nose_value(**given),
        "eta": lambda: float(finite_length_factor(float(given["eta"]))),
        "inclined": lambda: inclined(**given),
        "drag": lambda: section_drag(given["drag"]),
        "cross mach": lambda: float(CIRCLE_DRAG * crossflow_mach_factor(float(given["cross mach"]))),
        "cutout": cut_out,
        "shoulder": lambda: shoulder_value(given.pop("shoulder"), **given),
        "plate": lambda: plate(**given),
        "swept": lambda: swept(**given),
        "mach": lambda: float(1 / subsonic_beta(float(given["mach"]))),
        "friction": lambda: float(FRICTION[given["friction"]](float(given["reynolds"]))),
        "end-on": lambda: end_on(given["end-on"]),
        "solid": lambda: solid(**given),
        "base": lambda: base_drag_fit(0.5) if given["base"] == "fit" else base_drag_behind(0.10),
        "rounded edge": lambda: rounded_edge(given["rounded edge"]),
    }
    return solvers[first]()


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["id"])
def test_published_value(row: dict[str, str]) -> None:
    assert answer(row) == pytest.approx(float(row["expected"]), rel=float(row["tolerance"]))


def test_every_row_names_its_source() -> None:
    assert all(row["source"] for row in rows())
