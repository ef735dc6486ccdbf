"""Write ``tunnel-accuracy.md`` and its picture from kept runs: run ``python -m docs.make_tunnel_accuracy``.

The runs stand in ``bench/tunnel/results.jsonl``; ``bench/tunnel/validate.py`` makes them.
"""

import csv
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from bench.load_range import load_range
from bench.tunnel.bodies import FIN, LARGER_FIN, body
from bench.tunnel.friction import friction_loads
from numpy.typing import NDArray

from finial.aero.band.band import pressure_band
from finial.aero.body import body_air
from finial.aero.drag.friction import turbulent_friction
from finial.aero.fins.on_body import fin_air
from finial.aero.sections.outlines import regular_polygon, tapered_skin
from finial.shape.fin_set import FinSet
from finial.tunnel.correction import unblocked_share
from finial.tunnel.plates import LEAST_CELLS
from finial.tunnel.reading import SURE, Mean, of_two_grids
from finial.tunnel.records import Stream

ROOT = Path(__file__).resolve().parent.parent
KEPT = ROOT / "bench" / "tunnel" / "results.jsonl"
EXPECTED = ROOT / "bench" / "tunnel" / "expected.csv"
PLATES = ROOT / "tests" / "published" / "measured_bodies.csv"
MEASURED = ROOT / "tests" / "published" / "measured_vehicles.csv"
PAGE = ROOT / "docs" / "tunnel-accuracy.md"
PICTURE = ROOT / "docs" / "tunnel-accuracy.svg"

HANDBOOK_REYNOLDS = 1e5
"""On the width, for the friction of bodies out of handbooks."""
REYNOLDS = {
    "hull": 14e6 / 13.9792 * 5 / 3,
    "capsule": 5e6,
    "ogive-cylinder": 3.0e6 * 2.25 / 12,
    "finned ogive-cylinder": 3.0e6 * 2.25 / 12,
}
"""On the width, of the measured vehicles: as in tests/published."""
COARSER = 1.5
"""Cells of a run over those of the one that its error bar is taken from."""
USUAL = {"grids": 3, "side_widths": 4.5, "settle_widths": 22.0, "travel_widths": 44.0}
SETTLED_SHARE = 0.05
"""Of what was measured, that the fins of two grids may differ by; a judgement."""
ANGLES_DEG = (0.0, 2.0, 5.0, 10.0, 15.0)
STUDIED = (("prism 1", 0.0), ("finned prism 4", 5.0), ("plate", 6.0), ("finned ogive-cylinder", 3.98))
VEHICLES = {
    "hull": "hull",
    "capsule": "capsule",
    "ogive-cylinder": "ogive-cylinder",
    "finned ogive-cylinder": "ogive-cylinder with fins",
}
"""Bodies here, and their names in the table of measured vehicles."""

RANGE, TUNNEL = "#bcdcea", "#222"

OPENING = """# How far to trust the tunnel

`finial tunnel` blew at bodies whose loads are known. Every number below is a run that was kept in
`bench/tunnel/results.jsonl`; this page is made from them by `docs/make_tunnel_accuracy.py`, and
`python -m bench.tunnel.validate` makes the runs.

- **Tunnel**: what presses square to the surface, with blockage taken off, plus the
  friction of a turbulent plate on the wetted area at the source's Reynolds number.
- **±**: twice the scatter of the mean over time, plus the difference to the same run with cells 1.5 times
  coarser; "time only" where that was not run. The lattice's own Reynolds number is 40,000 to 180,000 by its
  viscosity, less where the subgrid adds to that; a flight's is a million: what depends on it (where the air
  leaves round bodies) is not inside the ±.
- **Known**: from lowest to highest source. Inside: the tunnel's number with its ± touches that range.
"""


@dataclass(frozen=True, kw_only=True)
class Run:
    """One kept run, corrected."""

    name: str
    angle_deg: float
    roll_deg: float
    cells: float
    settings: tuple[float, ...]
    loads: NDArray[np.float64]
    """Aft, across a, across b, and moments about the tip, shape (6,)."""
    error: NDArray[np.float64]
    """Standard error in time, shape (6,)."""
    line: dict

    @property
    def towards(self) -> NDArray[np.float64]:
        """Unit vector along the wind."""
        return np.array(stream(self.angle_deg, self.roll_deg).towards)

    @property
    def drag(self) -> float:
        """Along the wind."""
        return float(self.loads[:3] @ self.towards)


@dataclass(frozen=True, kw_only=True)
class Told:
    """A number with its error; whether that holds the grid's share."""

    value: float
    error: float
    has_grid: bool = True

    def __str__(self) -> str:
        told = f"{self.value:.3f} ± {self.error:.3f}"
        return told if self.has_grid else f"{told} (time only)"


def stream(angle_deg: float, roll_deg: float) -> Stream:
    """Give the wind from degrees."""
    return Stream(angle_rad=float(np.radians(angle_deg)), roll_rad=float(np.radians(roll_deg)))


@cache
def drawn(name: str):
    """Draw a body once."""
    return body(name)


def corrected(line: dict) -> Run:
    """Take blockage off and add friction."""
    one, wind = drawn(line["name"]), stream(line["angle_deg"], line["roll_deg"])
    length = one.shape.length_m
    reynolds = max(REYNOLDS.get(line["name"], HANDBOOK_REYNOLDS) * length, 1e5)
    friction = friction_loads(
        one.shape, wind, float(turbulent_friction(reynolds)), area_m2=one.area, width_m=1.0
    )
    pressure = np.array(line["pressure"])
    drag = float((pressure + friction)[:3] @ np.array(wind.towards))
    share = unblocked_share(max(drag, 0.0), one.area / line["section"])
    return Run(
        name=line["name"],
        angle_deg=line["angle_deg"],
        roll_deg=line["roll_deg"],
        cells=line["cells"],
        settings=tuple(line[key] for key in USUAL),
        loads=pressure * share + friction,
        error=np.array(line["pressure_error"]) * share,
        line=line,
    )


@dataclass(frozen=True, kw_only=True)
class Kept:
    """All kept runs."""

    runs: tuple[Run, ...]

    def best(self, name: str, angle_deg: float, roll_deg: float | None = None) -> Run | None:
        """Find the finest run of the usual settings that a coarser one stands beside, else the finest."""
        found = [
            run
            for run in self.runs
            if (run.name, run.angle_deg) == (name, angle_deg)
            and run.settings == tuple(USUAL.values())
            and roll_deg in (None, run.roll_deg)
        ]
        return max(found, key=lambda run: (self.coarser(run) is not None, run.cells), default=None)

    def coarser(self, run: Run) -> Run | None:
        """Find the same run with 1.5 times coarser cells."""
        for other in self.runs:
            same = (other.name, other.angle_deg, other.roll_deg, other.settings) == (
                run.name,
                run.angle_deg,
                run.roll_deg,
                run.settings,
            )
            if same and abs(other.cells * COARSER - run.cells) < 0.5:
                return other
        return None

    def told(self, run: Run, number) -> Told:
        """Give a number of a run with its error: ``number`` takes six loads and the wind."""
        value, spread = number(run.loads, run.towards), scatter(run, number)
        other = self.coarser(run)
        if other is None:
            return Told(value=value, error=SURE * spread, has_grid=False)
        both = of_two_grids(
            Mean(value=value, error=spread), Mean(value=number(other.loads, other.towards), error=0.0)
        )
        return Told(value=value, error=both.high - both.value)


def scatter(run: Run, number) -> float:
    """Give a number's standard error in time.

    Force and moment of a centre rise and fall together; where a line does not tell how far, they are taken
    as independent, which is too wide.
    """
    if number is centre_of and run.line.get("place_error") is not None:
        return float(run.line["place_error"])
    moves = [
        number(run.loads + np.eye(6)[column] * run.error[column], run.towards)
        - number(run.loads, run.towards)
        for column in range(6)
    ]
    return float(np.sqrt(np.sum(np.square(moves))))


def drag_of(loads, towards) -> float:
    """Give the drag along the wind."""
    return float(loads[:3] @ towards)


def force_of(loads, towards) -> float:
    """Give the normal force, towards a."""
    return float(loads[1])


def centre_of(loads, towards) -> float:
    """Give the station of the normal force, in widths behind the tip."""
    return float(loads[5] / loads[1])


def moment_about(centre: float):
    """Give the nose-up moment about a station, over the width."""
    return lambda loads, towards: float(centre * loads[1] - loads[5])


def kept() -> Kept:
    """Read the kept runs; those that failed are left to ``failures``."""
    return Kept(runs=tuple(corrected(line) for line in lines() if "failed" not in line))


def lines() -> list[dict]:
    """Read all kept lines."""
    if not KEPT.is_file():
        return []
    return [json.loads(line) for line in KEPT.read_text(encoding="utf-8").splitlines()]


def rows_of(path: Path) -> list[dict[str, str]]:
    """Read a table, comments left out."""
    text = path.read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in text if not line.startswith("#")))


def table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Lay out a table."""
    every = [heads, ["---"] * len(heads), *rows]
    return "".join(f"| {' | '.join(row)} |\n" for row in every) + "\n"


def page(runs: Kept) -> str:
    """Return the whole page."""
    parts = [OPENING, "\n![Drag in the tunnel beside what is known](tunnel-accuracy.svg)\n\n", made_on()]
    if not runs.runs:
        return "".join([*parts, "\n**No run is kept yet.**\n"])
    return "".join(
        [
            *parts,
            questions(runs),
            drags(runs),
            symmetric(runs),
            vehicles(runs),
            prisms(runs),
            studies(runs),
            shedding(runs),
            "\nThis page is generated by `docs/make_tunnel_accuracy.py`.\n",
        ]
    )


def made_on() -> str:
    """Say what the runs were made on, and what they cost."""
    good = [line for line in lines() if "failed" not in line]
    failed = [line for line in lines() if "failed" in line]
    cards = [line for line in good if line["machine"] == "card"]
    told = (
        f"{len(good)} runs are kept, {len(cards)} of them from a graphics card:"
        f" {sum(line['updates'] for line in good) / 1e12:.2f} million million cell updates in"
        f" {sum(line['seconds'] for line in good) / 60:.0f} minutes of machine time. "
    )
    restarts = sum(line["restarts"] > 0 for line in good)
    told += f"{restarts} began again slower after they diverged; {len(failed)} failed"
    names = "; ".join(line["key"] for line in failed)
    return f"{told}: {names}.\n" if failed else f"{told}.\n"


def questions(runs: Kept) -> str:
    """Answer the three questions that the sections could not."""
    rows = []
    for angle in (2.0, 5.0, 10.0, 15.0):
        for name in ("prism 1", "prism 4", "finned prism 4"):
            run = runs.best(name, angle)
            if run is not None:
                section = section_loads(name, angle)
                centre = runs.told(run, centre_of) if abs(run.loads[1]) > 0.02 else "no force to speak of"
                rows.append(
                    [
                        name,
                        f"{angle:g}°",
                        f"{run.cells:g}",
                        str(runs.told(run, force_of)),
                        section.force_told,
                        str(centre),
                        section.centre_told,
                    ]
                )
    heads = (
        "body",
        "angle",
        "cells",
        "force, tunnel",
        "force, sections",
        "centre, tunnel",
        "centre, sections",
    )
    return (
        "\n## Three questions\n\nA bare cube, a flat-fronted prism of four widths, and the same with four"
        " fins close to its tail (0.7 widths out): force square to the axis on the section's area, centre in"
        f" widths behind the tip; the sections' central guess with their range.\n\n{table(heads, rows)}"
        + "".join(f"- {line}\n" for line in answers(runs))
    )


def answers(runs: Kept) -> list[str]:
    """Say what the runs answer, each with its error."""
    said = []
    for angle in (5.0, 10.0):
        cube, bare = runs.best("prism 1", angle), runs.best("prism 4", angle)
        finned = runs.best("finned prism 4", angle)
        if cube is not None:
            force = runs.told(cube, force_of)
            slope = Told(
                value=force.value / np.radians(angle),
                error=force.error / np.radians(angle),
                has_grid=force.has_grid,
            )
            sign = "not known: the error is larger than the number"
            if abs(slope.value) > slope.error:
                sign = "negative" if slope.value < 0 else "positive"
            said.append(f"The bare cube at {angle:g}°: {slope} a radian, so its slope is **{sign}**.")
        if bare is not None and finned is not None:
            said.append(fins_lose(runs, bare, finned, angle))
        if bare is not None:
            told, section = runs.told(bare, centre_of), section_loads("prism 4", angle)
            low, central, high = section.centre
            where = "aft" if told.value > central else "ahead"
            verdict = "inside" if low - told.error <= told.value <= high + told.error else "**outside**"
            said.append(
                f"The flat prism of four widths at {angle:g}°: its centre lies {told} widths behind the tip,"
                f" {abs(told.value - central):.2f} {where} of the sections' central guess,"
                f" {verdict} their range."
            )
    return [*said, *measured_fins(runs)]


def measured_fins(runs: Kept) -> list[str]:
    """Hold the tunnel's fins to the ones that were measured, in clean air on a slim round body."""
    said = []
    for angle in (3.98, 8.05):
        bare, finned = runs.best("ogive-cylinder", angle), runs.best("finned ogive-cylinder", angle)
        if bare is None or finned is None:
            continue
        added = finned.loads[1] - bare.loads[1]
        measured = measured_force("ogive-cylinder with fins", angle) - measured_force("ogive-cylinder", angle)
        coarser = runs.coarser(bare), runs.coarser(finned)
        more = ""
        if coarser[0] is not None and coarser[1] is not None:
            share = (coarser[1].loads[1] - coarser[0].loads[1]) / measured
            apart = abs(share - added / measured)
            verdict = "**settled**" if apart < SETTLED_SHARE else "**not settled**"
            more = f"; at {coarser[1].cells:g} cells {share:.2f}, so what thin fins add is {verdict}"
        said.append(
            f"To hold against it: on the ogive-cylinder at {angle:g}°, whose fins stand in clean air and were"
            f" measured, the tunnel's fins at {finned.cells:g} cells add {added:.2f} where {measured:.2f} was"
            f" measured, a share of **{added / measured:.2f}**{more}."
        )
    return said


def measured_force(vehicle: str, angle_deg: float) -> float:
    """Look up the measured normal force nearest to an angle, of those above 0 in the table."""
    found = []
    for row in rows_of(MEASURED):
        given = dict(part.strip().split("=", 1) for part in row["inputs"].split(";"))
        if (given["vehicle"], given["ask"]) == (vehicle, "force"):
            found.append((abs(float(given["angle"]) - angle_deg), float(row["expected"])))
    return min(found)[1]


def fins_lose(runs: Kept, bare: Run, finned: Run, angle: float) -> str:
    """Compare what fins add in the tunnel with what the sections promise."""
    one, other = runs.told(finned, force_of), runs.told(bare, force_of)
    added = Told(
        value=one.value - other.value,
        error=float(np.hypot(one.error, other.error)),
        has_grid=one.has_grid and other.has_grid,
    )
    promised = section_loads("finned prism 4", angle).force[1] - section_loads("prism 4", angle).force[1]
    return (
        f"Fins behind a flat front at {angle:g}°: they add {added}, where the sections' central guess is"
        f" {promised:.3f}: a share of {added.value / promised:.2f} ± {added.error / abs(promised):.2f}."
    )


@dataclass(frozen=True, kw_only=True)
class SectionLoads:
    """What the sections give, low, central and high, on side and area of the square."""

    force: tuple[float, float, float]
    centre: tuple[float, float, float]

    @property
    def force_told(self) -> str:
        """Force as it is shown."""
        low, central, high = self.force
        return f"{central:.3f} ({low:.3f} to {high:.3f})"

    @property
    def centre_told(self) -> str:
        """Centre as it is shown."""
        low, central, high = self.centre
        return f"{central:.2f} ({low:.2f} to {high:.2f})"


@cache
def square_body(length: float):
    """Give a square prism to the sections."""
    return body_air(tapered_skin(lambda s: regular_polygon(4, s, np.pi / 4), [(0.0, 1.0), (length, 1.0)]))


@cache
def section_loads(name: str, angle_deg: float) -> SectionLoads:
    """Give the loads of a square prism by sections; fins as in ``bench/tunnel/bodies.py``."""
    whole = square_body(float(name.rsplit(" ", 1)[1]))
    fins = ()
    if "finned" in name:
        outline = LARGER_FIN if name.startswith("larger") else FIN
        fins = fin_air(
            whole,
            [
                FinSet(
                    name="fins",
                    outline_m=np.array(outline),
                    station_m=whole.skin.length_m - 0.8,
                    root_radius_m=0.5,
                    count=4,
                    first_at_rad=0.0,
                    thickness_m=0.04,
                )
            ],
        )
    angles = np.radians([angle_deg])
    loads = load_range(whole, fins, angles, [0.0], 0.0)
    band = pressure_band(whole, fins, angles, [0.0])
    force = tuple(float(end[0, 0]) for end in loads.force)
    centre = tuple(float(end[0, 0]) for end in (band.forward_m, band.central_m, band.aft_m))
    return SectionLoads(force=force, centre=centre)


@dataclass(frozen=True, kw_only=True)
class Known:
    """A drag that is known, beside the tunnel's."""

    name: str
    angle_deg: float
    low: float
    central: float
    high: float
    source: str
    told: Told | None
    cells: float

    @property
    def inside(self) -> str:
        """Whether the tunnel's number touches the range."""
        if self.told is None:
            return "not run"
        held = self.low - self.told.error <= self.told.value <= self.high + self.told.error
        return "yes" if held else "**no**"


def known_drags(runs: Kept) -> list[Known]:
    """All rows of the table of expected loads with their runs."""
    found = []
    for row in rows_of(EXPECTED):
        run = runs.best(row["name"], float(row["angle_deg"]))
        found.append(
            Known(
                name=row["name"],
                angle_deg=float(row["angle_deg"]),
                low=float(row["low"]),
                central=float(row["central"]),
                high=float(row["high"]),
                source=row["source"],
                told=None if run is None else runs.told(run, drag_of),
                cells=0.0 if run is None else run.cells,
            )
        )
    return found


def drags(runs: Kept) -> str:
    """Drag of every body of the table."""
    rows, known = [], known_drags(runs)
    for one in known:
        told = "not run" if one.told is None else str(one.told)
        off = "" if one.told is None else f"{one.told.value / one.central - 1:+.0%}"
        span = f"{one.low:g} to {one.high:g}"
        rows.append([one.name, f"{one.cells:g}", told, span, off, one.inside, one.source])
    ran = [one for one in known if one.told is not None]
    held = sum(one.inside == "yes" for one in ran)
    off = [abs(one.told.value / one.central - 1) for one in ran if one.told is not None]
    typical = f", and half of all lie within {np.median(off):.0%} of the middle" if off else ""
    heads = ("body", "cells", "tunnel", "known", "off the middle", "inside", "source")
    return f"\n## Drag\n\n{held} of {len(ran)} lie inside{typical}.\n\n{table(heads, rows)}"


def symmetric(runs: Kept) -> str:
    """Side forces of bodies that can have none."""
    rows = []
    for run in runs.runs:
        if run.angle_deg == 0.0 and run.settings == tuple(USUAL.values()):
            side = np.abs(run.loads[1:3])
            limit = np.maximum(SURE * run.error[1:3], 0.01)
            rows.append((float((side / limit).max()), run, side))
    if not rows:
        return ""
    _, run, side = max(rows, key=lambda row: row[0])
    bad = sum(row[0] > 1.5 for row in rows)
    return (
        f"\n## No force from nowhere\n\n{len(rows)} runs of bodies along the wind can have no force across."
        f" The largest beside its own error is that of {run.name} at {run.cells:g} cells: {side.max():.4f} on"
        f" the section's area. {bad} are larger than three times their scatter (or than 0.015, where that is"
        " more).\n"
    )


def vehicles(runs: Kept) -> str:
    """Measured vehicles: force, moment, centre and drag."""
    rows = []
    for name, published in VEHICLES.items():
        for row in rows_of(MEASURED):
            given = dict(part.strip().split("=", 1) for part in row["inputs"].split(";"))
            ask = given["ask"]
            slow = given.get("mach", "0") in ("0", "0.4", "0.6")
            if given["vehicle"] != published or not slow or ask not in ("force", "moment", "centre", "drag"):
                continue
            run = nearest(runs, name, float(given.get("angle", 0.0)))
            if run is not None:
                rows.append(vehicle_row(runs, run, row, ask))
    rows += plates(runs)
    if not rows:
        return ""
    heads = ("vehicle", "angle", "what", "cells", "tunnel", "measured", "sections")
    return (
        "\n## Measured vehicles\n\nThe same measurements as on the [accuracy page](accuracy.md), their"
        " sources there. The tunnel has no Mach number; slim bodies with smooth tails, whose force is far too"
        " high, are what it is worst at. Fins and plates are drawn at least"
        f" {LEAST_CELLS:g} cells thick, their sides glide and their tails are held: what they add is that of"
        " air that stays on and leaves at the tail. What air that rolls up over side edges adds to a plate, a"
        f" tenth at these angles, is not seen.\n\n{table(heads, rows)}"
    )


def plates(runs: Kept) -> list[list[str]]:
    """Give the normal force of a flat plate of two chords' span, on its own area."""
    rows = []
    for row in rows_of(PLATES):
        kind, _, angle = row["inputs"].partition("=")
        run = runs.best("plate", float(angle)) if kind == "plate" and angle else None
        if run is not None:
            rows.append(vehicle_row(runs, run, row, "force"))
    return rows


def nearest(runs: Kept, name: str, angle_deg: float) -> Run | None:
    """Find the run within a tenth of a degree of a measurement."""
    angles = {run.angle_deg for run in runs.runs if run.name == name}
    near = [angle for angle in angles if abs(angle - angle_deg) < 0.11]
    return runs.best(name, near[0]) if near else None


def vehicle_row(runs: Kept, run: Run, row: dict[str, str], ask: str) -> list[str]:
    """Give one measurement beside the tunnel and the sections."""
    numbers = {
        "force": force_of,
        "moment": moment_about(drawn(run.name).centre),
        "centre": centre_of,
        "drag": lambda loads, towards: float(loads[0]),
    }
    return [
        run.name,
        f"{run.angle_deg:g}°",
        ask,
        f"{run.cells:g}",
        str(runs.told(run, numbers[ask])),
        f"{float(row['expected']):.3f} ± {float(row['tolerance']):.3f}",
        f"{float(row['central']):.3f} ({float(row['low']):.3f} to {float(row['high']):.3f})",
    ]


def prisms(runs: Kept) -> str:
    """Square prisms with and without fins, beside the sections."""
    rows = []
    names = [f"{kind} {length}" for kind in ("prism", "finned prism") for length in (1, 2, 4, 7, 10)]
    for name in [*names, "larger finned prism 7"]:
        for angle in ANGLES_DEG[1:]:
            run = runs.best(name, angle)
            if run is not None:
                section = section_loads(name, angle)
                rows.append(
                    [
                        name,
                        f"{angle:g}°",
                        f"{run.cells:g}",
                        str(runs.told(run, force_of)),
                        section.force_told,
                        str(runs.told(run, centre_of))
                        if abs(run.loads[1]) > 0.02
                        else "no force to speak of",
                        section.centre_told,
                    ]
                )
    if not rows:
        return ""
    heads = (
        "body",
        "angle",
        "cells",
        "force, tunnel",
        "force, sections",
        "centre, tunnel",
        "centre, sections",
    )
    return (
        "\n## Square prisms, bare and with fins, beside the sections\n\nLengths in widths; fins 0.7 widths"
        " out (the larger 1.0), flush with the tail. Nobody measured these: two methods stand side by"
        f" side.\n\n{table(heads, rows)}{ranking(runs)}"
    )


def ranking(runs: Kept) -> str:
    """Say whether tunnel and sections rank two fin sets alike."""
    small, large = runs.best("finned prism 7", 5.0), runs.best("larger finned prism 7", 5.0)
    if small is None or large is None:
        return ""
    one, other = runs.told(small, centre_of), runs.told(large, centre_of)
    moved = Told(
        value=other.value - one.value,
        error=float(np.hypot(one.error, other.error)),
        has_grid=one.has_grid and other.has_grid,
    )
    sections = section_loads("larger finned prism 7", 5.0).centre[1]
    sections -= section_loads("finned prism 7", 5.0).centre[1]
    alike = "rank them alike" if moved.value * sections > 0 else "do **not** rank them alike"
    return (
        f"\nFins of 1.0 instead of 0.7 widths on the prism of seven move the centre at 5° by {moved} widths;"
        f" the sections' central guess moves by {sections:.3f}. Both {alike}.\n"
    )


def studies(runs: Kept) -> str:
    """How numbers change with cells, walls, grids and time."""
    rows = []
    for name, angle in STUDIED:
        for run in sorted(runs.runs, key=lambda run: (run.settings, run.cells)):
            if (run.name, run.angle_deg) == (name, angle):
                grids, side, settle, travel = run.settings
                rows.append(
                    [
                        f"{name} {angle:g}°",
                        f"{run.cells:g}",
                        f"{grids:g}",
                        f"{side:g}",
                        f"{settle:g} + {travel:g}",
                        f"{run.drag:.3f} ± {SURE * scatter(run, drag_of):.3f}",
                        "" if angle == 0 else f"{run.loads[1]:.3f} ± {SURE * scatter(run, force_of):.3f}",
                        "" if angle == 0 else f"{centre_of(run.loads, run.towards):.3f}",
                        f"{run.line['updates'] / 1e9:.1f} G in {run.line['seconds']:.1f} s",
                    ]
                )
    heads = ("body", "cells", "grids", "side", "settle + travel", "drag", "force", "centre", "cost")
    return (
        "\n## Cells, walls, grids and time\n\nOne number changes at a time; ± is twice the scatter in time"
        f" alone.\n\n{table(heads, rows)}"
    )


def shedding(runs: Kept) -> str:
    """Frequency and size of unsteady loads across the wind."""
    rows = []
    for name in ("square across", "diamond across", "rounded square across"):
        run = runs.best(name, 90.0)
        if run is not None and "swings" in run.line:
            # The long body's axis lies along the stations: what sheds pushes square to it and to the wind.
            side = shed_across(run)
            told = ["none clear", ""] if side is None else [f"{side[0]:.3f}", f"{side[-1]:.3f}"]
            rows.append([name, f"{run.cells:g}", *told])
    if not rows:
        return "\n## What sheds\n\nNot known: the runs that are kept did not keep it.\n"
    heads = ("body", "cells", "cycles in a width of travel", "scatter of the force across")
    return (
        "\n## What sheds\n\nStrongest frequency of the force across, over speed and width. A long square"
        " cylinder sheds at 0.12 to 0.13 (from memory of Vickery, J. Fluid Mech. 25, 1966); short ones shed"
        f" more weakly.\n\n{table(heads, rows)}"
    )


def shed_across(run: Run) -> list[float] | None:
    """Of the two loads across the body, give the swing of the one less along the wind."""
    along_a = abs(run.towards[1]) > abs(run.towards[2])
    return run.line["swings"][1 if along_a else 0]


def picture(runs: Kept) -> str:
    """Draw each known drag as a bar, and the tunnel's as a dot with its error."""
    known = known_drags(runs)
    row, left, wide = 20, 170, 520
    high, most = row * len(known) + 60, 1.8

    def at(value: float) -> float:
        return left + (wide - left - 20) * min(value, most) / most

    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" role="img"'
        ' aria-label="Drag in the tunnel beside what is known" font-family="sans-serif" font-size="11"'
        ' fill="#222">',
        f'<rect width="{wide}" height="{high}" fill="#fff"/>',
    ]
    for tick in np.arange(0.0, most + 0.1, 0.2):
        x = at(float(tick))
        parts.append(f'<line x1="{x:.1f}" x2="{x:.1f}" y1="20" y2="{high - 36}" stroke="#eee"/>')
        parts.append(f'<text x="{x:.1f}" y="{high - 22}" text-anchor="middle">{tick:.1f}</text>')
    for number, one in enumerate(known):
        y = 30 + row * number
        parts.append(f'<text x="{left - 8}" y="{y + 4}" text-anchor="end">{one.name}</text>')
        parts.append(
            f'<rect x="{at(one.low):.1f}" y="{y - 6}" width="{at(one.high) - at(one.low):.1f}" height="12"'
            f' fill="{RANGE}"/>'
        )
        if one.told is not None:
            low, high_end = at(max(one.told.value - one.told.error, 0.0)), at(one.told.value + one.told.error)
            parts.append(f'<line x1="{low:.1f}" x2="{high_end:.1f}" y1="{y}" y2="{y}" stroke="{TUNNEL}"/>')
            parts.append(f'<circle cx="{at(one.told.value):.1f}" cy="{y}" r="3.5" fill="{TUNNEL}"/>')
    parts.append(f'<text x="{left}" y="{high - 6}">bar: known; dot with line: tunnel with its error</text>')
    return "\n".join([*parts, "</svg>\n"])


if __name__ == "__main__":
    found = kept()
    PAGE.write_text(page(found), encoding="utf-8")
    PICTURE.write_text(picture(found), encoding="utf-8")
