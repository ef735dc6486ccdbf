"""The key reference and the shipped schemas say what the records say."""

import importlib.util
import re
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest

from finial.assemble.air.sections import USUAL_LAYER_M
from finial.assemble.electronics.wiring import NO_WIRING_OHM
from finial.assemble.recovery.charges import LOOSE_FRICTION_N
from finial.assemble.recovery.scene import LINES_OVER_DIAMETER
from finial.assemble.vehicle.nozzle import USUAL_NOZZLE_M
from finial.core.dimensions import Dimension
from finial.core.units import show
from finial.files.editor_schemas import shipped_schema
from finial.files.sheet_keys import inner_table
from finial.files.sheet_rows import SHEET_FILES, rows_of
from finial.files.sheet_schema import schema_text
from finial.motors.motor import Motor
from finial.recovery.cords.zipper import SHARP_EDGE_M

ROOT = Path(__file__).resolve().parents[2]
REMAKE = "run: python docs/make_sheet_reference.py"
THRUST_SPREAD: Any = {field.name: field.default for field in fields(Motor)}["thrust_spread"]
ROWS = {f"{file.name}:{row.dotted}": row for file in SHEET_FILES for row in rows_of(file)}


@pytest.fixture(scope="module")
def maker() -> Any:
    path = ROOT / "docs" / "make_sheet_reference.py"
    spec = importlib.util.spec_from_file_location("make_sheet_reference", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_committed_page_is_what_the_records_give(maker: Any) -> None:
    assert maker.PAGE.read_text(encoding="utf-8") == maker.page(), REMAKE


@pytest.mark.parametrize("file", SHEET_FILES, ids=lambda file: file.name)
def test_the_shipped_schema_is_what_the_records_give(file: Any) -> None:
    assert shipped_schema(file) == schema_text(file), REMAKE


def test_every_key_is_on_the_page_with_its_meaning() -> None:
    page = (ROOT / "docs" / "sheet-reference.md").read_text(encoding="utf-8")
    for path, row in ROWS.items():
        if inner_table(row.key.value) is not None:
            assert re.search(rf"`\[+{re.escape(row.dotted)}\]+`|`{re.escape(row.dotted)}`", page), path
        rows = [line for line in page.splitlines() if line.startswith(f"| `{row.key.name}` |")]
        is_table = len(row.path) == 1 and inner_table(row.key.value) is not None
        assert is_table or any(row.key.meaning in line for line in rows), path


def test_places_on_the_page_that_it_leads_to_are_there(maker: Any) -> None:
    page = maker.page()
    headings: set[str] = {
        maker.anchor(title.lower().replace(" ", "-")) for title in re.findall(r"^#+ (.*)$", page, re.M)
    }
    led = set(re.findall(r"\]\(#([^)]*)\)", page))
    assert {"units", "names"} < led
    assert led <= headings


def test_every_kind_of_name_is_listed(maker: Any) -> None:
    wanted = {row.key.value.names for row in ROWS.values()} - {"", "file"}
    assert wanted == set(maker.TABLES_OF_NAMES)
    assert "PETG" in maker.names_of("material")
    assert maker.names_of("code") == ["NFPA 1127", "19 CCR 1036", "Research Safety Code"]


# Where a meaning tells the usual value, the number is that of the code.
USUAL = [
    ("build-sheet:part.print.layer_height", show(USUAL_LAYER_M, Dimension.LENGTH)),
    ("build-sheet:print.nozzle", show(USUAL_NOZZLE_M, Dimension.LENGTH)),
    ("build-sheet:recovery.bay.lip.edge_radius", show(SHARP_EDGE_M, Dimension.LENGTH)),
    ("build-sheet:recovery.joint.friction", show(LOOSE_FRICTION_N, Dimension.FORCE)),
    ("build-sheet:recovery.canopy.line_length", f"{LINES_OVER_DIAMETER} diameters"),
    ("build-sheet:electronics.igniter.wiring_resistance", f"{NO_WIRING_OHM} ohm"),
    ("motor:thrust_spread", f"{100 * THRUST_SPREAD:.0f} %"),
]


@pytest.mark.parametrize(("path", "words"), USUAL)
def test_usual_values_that_meanings_tell_are_those_of_the_code(path: str, words: str) -> None:
    assert words in ROWS[path].key.meaning


def test_limits_and_scatter_show_the_usual_value(maker: Any) -> None:
    assert maker.left_out(ROWS["build-sheet:limits.rail_exit_speed"]) == "usual: 13 m/s"
    assert maker.left_out(ROWS["build-sheet:scatter.thrust_line"]) == "usual: 0.25 deg"
    assert maker.left_out(ROWS["build-sheet:vehicle.name"]) == "**needed**"
    assert maker.left_out(ROWS["build-sheet:scatter.gusts"]) == "`true`"
