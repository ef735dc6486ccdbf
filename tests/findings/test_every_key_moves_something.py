"""Every key of the sheet, of a motor's and of a site's file bears on the answer: change it, and that changes.

Each key is changed alone in ``examples/every-key``, or in another example that has it, and the findings are
compared: their numbers, verdicts, limits and fixes. A value that is refused does not count.
"""

import copy
import json
import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from finial.assemble.looks.answer import answer
from finial.assemble.prints.plan import print_plan
from finial.assemble.recovery.study import recovery_study
from finial.assemble.spread.case import flight_case
from finial.assemble.strength.cuts import ROOM, cuts_through
from finial.assemble.strength.details import DetailScene, detail_rows
from finial.assemble.strength.fins.build import fin_builds
from finial.assemble.strength.fins.quick import top_speed
from finial.assemble.strength.fins.rows import fin_rows
from finial.assemble.strength.fins.study import FinScene, fin_study
from finial.assemble.strength.study import StrengthInputs, all_cases
from finial.assemble.vehicle.changes import of_files
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.errors import BuildSheetError, FinialError
from finial.files.sheet import sheet_from
from finial.files.sheet_keys import KeyValue, inner_table
from finial.files.sheet_rows import BUILD_SHEET, MOTOR_FILE, SITE_FILE, KeyRow, rows_of
from finial.files.source import read_toml
from finial.findings.check import load, readiness
from finial.findings.limits import Limits
from finial.findings.range_stage import codes_of
from finial.findings.readiness import Depth
from finial.findings.rules.recovery_study_rules import study_findings
from finial.report.print_json import plan_plain
from finial.structure.loads.case import Load
from finial.structure.walls.body import body_reserves

EXAMPLES = Path(__file__).parents[2] / "examples"
WORDS = frozenset(
    {"vehicle.note", "vehicle.builder", "note", "air.source", "flown.logs", "vehicle.show_units"}
)
"""Keys that only say how things are told; names, which stand for other things, are left out as well."""
OTHER_VALUES = {
    "curve": ("other.csv",),
    "claimed_letter": ("M",),
    "field": ("other.geojson",),
    "authorised_by": ("",),
}
REFUSED = frozenset({"claimed_impulse"})
"""Keys that another value of is refused, as the file says of them."""
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
NAMES = {
    "material": ("PLA", "G10", "steel"),
    "glue": ("cyanoacrylate on print", "epoxy on metal or G10"),
    "thread": ("M5", "M8", "M3"),
    "shear pin": ("M3 nylon", "4-40 nylon"),
    "canopy kind": ("conical", "cross"),
    "cord": ("nylon webbing 1000 lbf", "tubular nylon 25 mm"),
    "switch kind": ("switch", "screw switch"),
    "igniter kind": ("electric match",),
    "terrain": ("city", "open water"),
}
Look = str


@dataclass(frozen=True, kw_only=True)
class Trial:
    """How a key is tried: by which look, beside what, at which value, in which example."""

    look: Look = "quick"
    beside: dict[str, Any] = field(default_factory=dict)
    """Other places with what stands there meanwhile; ``None`` takes a key out."""
    values: tuple[Any, ...] = ()
    sheet: str = "every-key"


LIP = "recovery.bay[1].lip"
BARE = {"wall": "1.5 mm", "material": "PETG", "edge_radius": "1 mm", "layers_stacked": "along"}
RING = {"wall": "2 mm", "edge_radius": "1 mm", "material": "6061-T6"}
IN_TIME = Trial(look="recovery", sheet="skerry-light")
BARE_LIP = replace(IN_TIME, beside={LIP: BARE})
RING_LIP = replace(BARE_LIP, beside={LIP: {**BARE, "ring": RING}})
NO_STAYS = {"fin[1].stays": None}
ON_THE_WALL = {**NO_STAYS, "fin[1].fixing.kind": "fillet"}
COMPUTER, IGNITER = "electronics.computer[2]", "electronics.igniter[1]"
SPECIAL: dict[str, Trial] = {
    "part.mesh": Trial(values=("meshes/other.stl",)),
    "part.tiers.outline": Trial(values=("octagon", "circle")),
    "part.tiers.roof": Trial(beside={"part[4].tiers[1].roof": "dome"}, values=(None,)),
    "part.print.layers_along": Trial(sheet="skerry-light"),
    "part.dowels": Trial(look="small"),
    "part.dowels.depth": Trial(look="small", values=("1 mm",)),
    "part.bores.toward": Trial(beside={"part[2].bores[1].tilt": "2 deg"}),
    "item.toward": Trial(beside={"item[1].tilt": "20 deg"}),
    "item.material": Trial(values=("PLA", "G10")),
    "item.glue": Trial(sheet="skerry-light"),
    "item.passes": Trial(beside={"rod[2].stations": ["100 mm", "260 mm"]}),
    "item.pressed_in": Trial(
        sheet="buoy-tiers",
        beside={"item[2].across": "90 mm", "item[2].pressed_in": "0 mm"},
        values=("2 mm",),
    ),
    "motor.mount.across": Trial(beside={"motor.tube": None}),
    "motor.mount.bore": Trial(values=("55.5 mm",)),
    "motor.mount.pressed_in": Trial(
        sheet="buoy-tiers",
        beside={"motor.mount.across": "61 mm", "motor.mount.pressed_in": "0 mm"},
        values=("2 mm",),
    ),
    "motor.more.mount.pressed_in": Trial(beside={"motor.more[1].mount.pressed_in": "0 mm"}, values=("2 mm",)),
    "motor.thrust_plate.pressed_in": Trial(
        beside={
            "motor.thrust_plate.held_at": "90 mm",
            "motor.thrust_plate.across": "93 mm",
            "motor.thrust_plate.pressed_in": "0 mm",
        },
        values=("2 mm",),
    ),
    "item.put_in": Trial(sheet="pagoda"),
    "item.held_by": Trial(sheet="skerry-light", values=([],)),
    "item.eye.across": Trial(beside={"item[3].eye.thread": "M12"}, values=("95 mm",)),
    "item.room_of": Trial(beside={"item[5].name": "its tube"}, values=("upper bay", "drogue")),
    "rod.slip": Trial(values=("0 mm",)),
    "rod.washer": Trial(look="small"),
    "rod.bears_on": Trial(look="small"),
    "fin.fixing": Trial(look="first fins", beside=NO_STAYS),
    "fin.fixing.wall": Trial(look="first fins", beside=ON_THE_WALL),
    "fin.fixing.width": Trial(look="first fins", beside=ON_THE_WALL),
    "fin.fixing.bolts": Trial(look="second fins"),
    "fin.fixing.washer": Trial(look="second fins"),
    "fin.stays": Trial(look="first fins"),
    "motor.data": Trial(values=("motors/other.toml",)),
    "motor.toward": Trial(beside={"motor.tilt": "1 deg"}),
    "motor.more.data": Trial(values=("motors/other.toml",)),
    "motor.more.mount.bore": Trial(beside={"motor.more[1].mount.bore": "54.5 mm"}),
    "motor.thrust_plate.material": Trial(look="small"),
    "motor.thrust_plate.held_at": Trial(look="small"),
    "motor.tube": Trial(look="small"),
    "motor.tube.diameter": Trial(look="small", beside={"motor.mount": None}),
    "motor.retainer": Trial(look="small"),
    "motor.retainer.engagement": Trial(look="small", values=("1 mm",)),
    "guide.screw": Trial(beside={"guide.pull_out": None}),
    "guide.holds_in": Trial(beside={"guide.pull_out": None}),
    "recovery.bay.toward": Trial(beside={"recovery.bay[1].tilt": "2 deg"}),
    "recovery.bay.lip": BARE_LIP,
    "recovery.bay.lip.edge_radius": replace(BARE_LIP, values=("0.1 mm",)),
    "recovery.bay.lip.ring": RING_LIP,
    "recovery.bay.lip.ring.edge_radius": replace(RING_LIP, values=("0.1 mm",)),
    "recovery.bay.lip.pull_test": IN_TIME,
    "recovery.canopy.drag_area": Trial(values=("0.3 m2 +- 0.02 m2",)),
    "recovery.canopy.line_length": replace(IN_TIME, beside={"recovery.canopy[1].line_length": "4.5 m"}),
    "recovery.canopy.event.after_lift_off": Trial(
        beside={"recovery.canopy[2].event": {"after_lift_off": "14 s"}}
    ),
    "recovery.charge.ground_test.speed": replace(
        IN_TIME, beside={"recovery.charge[1].ground_test[1].speed": "11 m/s +- 1 m/s"}
    ),
    "recovery.cord.width": replace(IN_TIME, beside={LIP: BARE, "recovery.cord[1].width": "14 mm"}),
    "recovery.cord.canopy_at": replace(IN_TIME, beside={"recovery.cord[1].canopy_at": "30 %"}),
    "recovery.charge.behind_pack": IN_TIME,
    "electronics.switch.kind": Trial(look="power"),
    "electronics.switch.rest": Trial(look="power"),
    "electronics.computer.switches": Trial(look="power", values=([["switch A"], ["pin B1"]],)),
    "electronics.computer.battery": Trial(sheet="skerry-light"),
    "electronics.computer.sled": Trial(
        sheet="skerry-light", beside={f"{COMPUTER}.sled": "sled B"}, values=("sled",)
    ),
    "electronics.computer.port": Trial(
        sheet="skerry-light", beside={f"{COMPUTER}.port": "hole B"}, values=("static ports",)
    ),
    "electronics.igniter.kind": Trial(
        beside={f"{IGNITER}.kind": "electric match", f"{IGNITER}.all_fire": None}, values=(None,)
    ),
    "weighing.mass": Trial(beside={"weighing.scales": None}),
    "weighing.balance": Trial(beside={"weighing.scales": None}),
    "weighing.scales.reads": Trial(beside={"weighing.mass": None, "weighing.balance": None}),
    "weighing.scales.at": Trial(beside={"weighing.mass": None, "weighing.balance": None}),
    "launch.wind_from": Trial(beside={"launch.wind_column": None}),
    "launch.ground": Trial(look="small"),
    "launch.crowd_across": Trial(look="spread"),
    "launch.layout": Trial(sheet="skerry-light"),
    "launch.site": Trial(values=("other-site.toml",)),
    "launch.wind_column": Trial(values=(None,)),
    "launch.code": Trial(values=("19 CCR 1036",)),
    "air.table": Trial(values=("other.csv",)),
    "air.study": Trial(values=(None,)),
    "scatter": Trial(look="spread"),
    "scatter.wind_from": Trial(look="spread", beside={"launch.wind_from": "250 deg"}),
    "scatter.thrust_offset": Trial(look="spread", beside={"motor.offset": ["0 mm", "0 mm"]}),
    "scatter.ignition_delay": Trial(
        look="spread", sheet="skerry-light", beside={"scatter.ignition_delay": "0.3 s"}
    ),
    "scatter.rail_tilt": Trial(look="spread", beside={"launch.tilt": "3 deg"}),
    "scatter.rail_toward": Trial(look="spread", beside={"launch.toward": "250 deg"}),
    "print.nozzle": Trial(values=("2.5 mm",)),
    "print.clearance": Trial(look="print"),
    "print.speed": Trial(look="print"),
    "print.made": Trial(look="print"),
    "print.made.part": Trial(look="print", values=("sled cover",)),
    "print.made.piece": Trial(look="print", values=(2,)),
    "part.cuts": Trial(values=([],)),
    "part.cuts.station": Trial(values=("450 mm",)),
    "part.cuts.held_by": Trial(look="print"),
    "part.cuts.holds": Trial(values=("0.1 kN",)),
}
"""Keys that a plain change in the quick look does not try; the longest beginning of a key's path counts."""


def trial_of(key: str) -> Trial:
    """How a key is tried."""
    steps = key.split(".")
    heads = (".".join(steps[:end]) for end in range(len(steps), 0, -1))
    return next((SPECIAL[head] for head in heads if head in SPECIAL), Trial())


def leaf(row: KeyRow) -> bool:
    return inner_table(row.key.value) is None


SHEET_KEYS = [
    row for row in rows_of(BUILD_SHEET) if leaf(row) and row.path[-1] != "name" and row.dotted not in WORDS
]
OTHER_KEYS = [
    (file, row)
    for file in (MOTOR_FILE, SITE_FILE)
    for row in rows_of(file)
    if leaf(row) and row.path[-1] != "name" and row.dotted not in WORDS
]


def quick(vehicle: LoadedVehicle) -> str:
    return repr(readiness(vehicle, depth=Depth.QUICK).findings)


def small(vehicle: LoadedVehicle) -> str:
    """Small things that only the long look judges."""
    found = answer(vehicle)
    given = StrengthInputs(recovery=found.recovery, followed=None, ends=(), wanted_ratio=1.3)
    cuts = cuts_through(vehicle, ROOM)
    cases = all_cases(found.basis, given, cuts.stack)
    scene = DetailScene(
        vehicle=vehicle,
        cuts=cuts,
        warmth=ROOM,
        cases=cases,
        grid=body_reserves(cuts.stack, [case.body for case in cases]),
        fins=fin_builds(vehicle, found.basis.air.fins),
    )
    return repr(list(detail_rows(scene)))


def first_fins(vehicle: LoadedVehicle) -> str:
    """The first set of fins in the wind."""
    return _fins_in_the_wind(vehicle, 0)


def second_fins(vehicle: LoadedVehicle) -> str:
    """The second set of fins in the wind."""
    return _fins_in_the_wind(vehicle, 1)


def _fins_in_the_wind(vehicle: LoadedVehicle, which: int) -> str:
    found = answer(vehicle)
    given = StrengthInputs(recovery=found.recovery, followed=None, ends=(), wanted_ratio=1.3)
    cases = all_cases(found.basis, given, cuts_through(vehicle, ROOM).stack)
    fastest = next(case for case in cases if case.case.load is Load.MAX_SPEED)
    scene = FinScene(
        vehicle=vehicle,
        fin=found.basis.air.fins[which],
        build=fin_builds(vehicle, found.basis.air.fins)[which],
        case=fastest,
        trace=found.basis.flights.nominal,
        top_speed=top_speed(found.flights.every),
        wanted_ratio=0.0,
    )
    return repr(list(fin_rows(fin_study(scene))))


def recovery(vehicle: LoadedVehicle) -> str:
    """The recovery followed in time."""
    found = answer(vehicle)
    study = recovery_study(found.basis, found.recovery, lambda _note: None)
    return repr(study_findings(study, Limits(own=vehicle.sheet.limits.own)))


def spread(vehicle: LoadedVehicle) -> str:
    """What flights of a campaign are drawn from."""
    return repr(flight_case(vehicle))


def power(vehicle: LoadedVehicle) -> str:
    """Firing, power on the pad, and how often the recovery fails."""
    return repr(answer(vehicle).electronics)


def printed(vehicle: LoadedVehicle) -> str:
    """The print plan, and what it learned."""
    return json.dumps(plan_plain(print_plan(vehicle, lambda _note: None)))


LOOKS = {
    "print": printed,
    "power": power,
    "quick": quick,
    "small": small,
    "first fins": first_fins,
    "second fins": second_fins,
    "recovery": recovery,
    "spread": spread,
}


class Bench:
    """Examples as they are, or with something beside a key, each looked at once."""

    def __init__(self, folder: Path) -> None:
        self.loaded = cache(lambda sheet: load(folder / sheet / f"{sheet}.toml"))
        self.source = cache(lambda sheet: read_toml(folder / sheet / f"{sheet}.toml"))
        self._before: dict[str, str] = {}

    def values(self, trial: Trial) -> dict[str, Any]:
        values = copy.deepcopy(self.source(trial.sheet).values)
        for place, value in trial.beside.items():
            put(values, steps_of(place), value)
        return values

    def before(self, trial: Trial) -> str:
        values = self.values(trial)
        asked = json.dumps([trial.look, trial.sheet, values])
        if asked not in self._before:
            self._before[asked] = self.after(trial, values)
        return self._before[asked]

    def after(self, trial: Trial, values: dict[str, Any]) -> str:
        files = sheet_from(replace(self.source(trial.sheet), values=values))
        return LOOKS[trial.look](of_files(self.loaded(trial.sheet), files, codes_of))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Copies of examples, with other files beside those that their sheets name."""
    place = tmp_path_factory.mktemp("keys")
    for name in ("every-key", "skerry-light", "pagoda", "buoy-tiers"):
        shutil.copytree(EXAMPLES / name, place / name)
    here = place / "every-key"
    shutil.copy(EXAMPLES / "skerry-light" / "meshes" / "dome.stl", here / "meshes" / "other.stl")
    _rewritten(here / "motors" / "demo-k500.toml", "other.toml", '"1.48 kg"', '"1.70 kg"')
    _rewritten(here / "motors" / "demo-k500.csv", "other.csv", "570", "540")
    _rewritten(here / "field.geojson", "other.geojson", "48.009", "48.004")
    _rewritten(here / "site.toml", "other-site.toml", '"1500 m"', '"700 m"')
    _rewritten(here / "tunnel.csv", "other.csv", "0.63, 0.59, 0.67", "0.73, 0.69, 0.77")
    return place


def _rewritten(path: Path, name: str, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.with_name(name).write_text(text.replace(old, new), encoding="utf-8")


@pytest.fixture(scope="module")
def bench(folder: Path) -> Bench:
    return Bench(folder)


def steps_of(place: str) -> list[str | int]:
    found: list[str | int] = []
    for part in place.split("."):
        name, _, number = part.partition("[")
        found += [name, int(number[:-1]) - 1] if number else [name]
    return found


def put(values: dict[str, Any], steps: list[str | int], value: Any) -> None:
    *above, last = steps
    table: Any = values
    for step in above:
        table = table[step] if isinstance(step, int) else table.setdefault(step, {})
    if value is None:
        del table[last]
    elif isinstance(last, int) and last == len(table):
        table.append(value)
    else:
        table[last] = value


def places(
    values: Any, path: tuple[str, ...], where: tuple[str | int, ...] = ()
) -> Iterator[tuple[Any, Any]]:
    """Every place of a key in a sheet, and what stands there."""
    if not path:
        yield where, values
    elif isinstance(values, list):
        for index, entry in enumerate(values):
            yield from places(entry, path, (*where, index))
    elif isinstance(values, dict) and path[0] in values:
        yield from places(values[path[0]], path[1:], (*where, path[0]))


def _candidates(values: dict[str, Any], value: Any, row: KeyRow) -> Iterator[Any]:
    """Other values; where a key names an entry of another table, the other entries, in lists as in texts."""
    if not row.names_entry_of:
        yield from others(value, row.key.value)
        return
    names = [name for _, name in places(values, (*row.names_entry_of.split("."), "name"))]
    text = json.dumps(value)
    used = next(name for name in names if json.dumps(name) in text)
    yield from (json.loads(text.replace(json.dumps(used), json.dumps(one))) for one in names if one != used)


def others(value: Any, kind: KeyValue) -> Iterator[Any]:
    """Other values that may stand in a place."""
    if isinstance(value, bool):
        yield not value
    elif isinstance(value, int):
        yield from (value + 1, max(1, value - 1))
    elif isinstance(value, list):
        yield from _other_lists(value, kind)
    elif kind.measured is not None:
        found = NUMBER.search(value)
        assert found is not None
        for factor, more in ((1.6, 0.0), (0.5, 0.0), (1.0, 20.0), (1.0, -7.0)):
            yield f"{value[: found.start()]}{float(found[0]) * factor + more:g}{value[found.end() :]}"
    else:
        yield from (one for one in (*kind.choices, *NAMES.get(kind.names, ())) if one != value)


def _other_lists(value: list[Any], kind: KeyValue) -> Iterator[list[Any]]:
    entry = kind.entries[0] if kind.entries else kind
    yield from ([one, *value[1:]] for one in others(value[0], entry))
    yield value[:-1]


def tried(bench: Bench, trial: Trial, row: KeyRow) -> Iterator[str]:
    """Each value that is taken, with what the answer is then; refused ones are left out."""
    values = bench.values(trial)
    for where, value in places(values, row.path):
        for other in trial.values or _candidates(values, value, row):
            changed = copy.deepcopy(values)
            put(changed, list(where), other)
            try:
                yield bench.after(trial, changed)
            except FinialError:
                continue


@pytest.mark.parametrize("row", SHEET_KEYS, ids=lambda row: row.dotted)
def test_another_value_of_a_key_gives_another_answer(bench: Bench, row: KeyRow) -> None:
    trial = trial_of(row.dotted)
    assert list(places(bench.values(trial), row.path)), "nothing of the kind in that example"
    before = bench.before(trial)
    assert any(after != before for after in tried(bench, trial, row))


@pytest.mark.parametrize(
    ("file", "row"), OTHER_KEYS, ids=[f"{file.name}:{row.dotted}" for file, row in OTHER_KEYS]
)
def test_another_value_in_a_file_beside_it_gives_another_answer(bench, folder, file, row) -> None:
    sheet = folder / "every-key" / "every-key.toml"
    path, before = sheet.parent / file.example, bench.before(Trial())
    text = path.read_text(encoding="utf-8")
    try:
        given = read_toml(path).values[row.path[0]]
        for value in OTHER_VALUES.get(row.path[0]) or others(given, row.key.value):
            line = re.compile(rf"^{row.path[0]} = .*$", re.MULTILINE)
            path.write_text(line.sub(f"{row.path[0]} = {json.dumps(value)}", text), encoding="utf-8")
            try:
                after = quick(load(sheet))
            except BuildSheetError:
                if row.path[0] in REFUSED:
                    return
                continue
            if after != before:
                return
    finally:
        path.write_text(text, encoding="utf-8")
    pytest.fail("nothing moves")
