"""Odd vehicles with bad ends, for answers kept beside tests: examples and drawn ones, made worse."""

import importlib.util
import sys
import tempfile
from functools import cache
from pathlib import Path
from types import ModuleType

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.findings.check import load

TESTS = Path(__file__).parent
EXAMPLES = TESTS.parent / "examples"
OUT = "-"
CHANGES: dict[str, tuple[tuple[str, str], ...]] = {
    "every-key": (),
    "skerry-light": (
        ("item[1].mass", '"5 kg +- 1 kg"'),
        ("part[3].print.wall", '"0.8 mm"'),
        ("part[3].material", '"PLA"'),
        ("recovery.canopy[1].diameter", '"0.6 m"'),
        ("electronics.computer[1].switch", OUT),
        ("fin[1].thickness", '"2 mm"'),
        ("rod[1].preload", '"50 N +- 40 N"'),
        ("motor.thrust_plate.thickness", '"2 mm"'),
    ),
    "phone-box": (
        ("motor.offset", '["6 mm", "-3 mm"]'),
        ("motor.tilt", '"1 deg"'),
        ("launch.tilt", '"12 deg"'),
        ("launch.wind", '"9 m/s +- 3 m/s"'),
        ("recovery.joint[1].pins", OUT),
        ("recovery.charge[2].event", '{ after_lift_off = "2 s" }'),
        ("fin[1].cant", '"3 deg"'),
        ("fin[1].edges", '"rounded"'),
        ("rod", OUT),
        ("vehicle.show_units", '"us"'),
    ),
    "pagoda": (
        ("recovery.canopy[1].event", '{ after_lift_off = "4 s" }'),
        ("recovery.bay[1].wall", '"0.4 mm"'),
        ("recovery.bay[1].material", '"PETG"'),
        ("recovery.cord[1].length", '"1.5 m"'),
        ("item[1].offset", '["9 mm", "4 mm"]'),
        ("fin[1].count", "3"),
        ("launch.temperature", '"41 degC +- 3 degC"'),
        ("vehicle.colour", '"dark"'),
    ),
    "buoy-tiers": (
        (
            "motor.more",
            '[{ offset = ["0 mm", "70 mm"] }, { offset = ["0 mm", "-70 mm"], tilt = "2 deg" }]',
        ),
        ("recovery.charge[1].powder", '"0.1 g"'),
        ("electronics.battery[1].capacity", '"25 mAh"'),
        ("electronics.igniter[1].all_fire", '"4 A"'),
        ("guide.buttons", '["760 mm", "850 mm"]'),
        ("launch.rail_length", '"1.8 m"'),
        ("launch.pressure", '"870 hPa"'),
        ("print", '{ bed = ["220 mm", "220 mm", "250 mm"] }'),
    ),
    "arch": (
        ("fin[3].thickness", '"1.5 mm"'),
        ("recovery.canopy[1].event", '{ falling_through = "60 m" }'),
        ("part[2].print.infill", '"3 %"'),
        ("print", '{ bed = ["300 mm", "300 mm", "340 mm"], nozzle = "0.6 mm" }'),
    ),
    "statue": (
        ("item[1].station", '"560 mm"'),
        ("recovery.joint[1].friction", '"300 N"'),
        ("launch.wind", '"7 m/s"'),
    ),
    "twin-towers": (
        ("item[1].mass", '"0.2 kg"'),
        ("recovery.canopy[1].drag_coefficient", '"0.3"'),
        ("motor.nozzle_station", '"815 mm"'),
    ),
}
"""Of each vehicle, what is worse in it than in its sheet."""


@cache
def beside(name: str, folder: str = "defects") -> ModuleType:
    """Return a helper out of another folder of tests."""
    spec = importlib.util.spec_from_file_location(name, TESTS / folder / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[f"{folder} {name}"] = module
    spec.loader.exec_module(module)
    return module


@cache
def _drawn() -> dict[str, Path]:
    return beside("odd_shapes").written(Path(tempfile.mkdtemp()))


@cache
def loaded(name: str) -> LoadedVehicle:
    """Return a vehicle as its sheet says."""
    example = EXAMPLES / name / f"{name}.toml"
    return load(example if example.is_file() else _drawn()[name])


def bad_end(name: str) -> LoadedVehicle:
    """Return a vehicle with all that is worse in it."""
    return beside("one_defect").with_changes(loaded(name), CHANGES[name])
