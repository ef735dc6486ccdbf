"""One known defect at a time in a sheet that goes: none may end in go, and each is named at once."""

import importlib.util
from pathlib import Path

import pytest

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.errors import BuildSheetError
from finial.findings.check import load, readiness
from finial.findings.readiness import Depth

HERE = Path(__file__).parent
SKERRY = HERE.parents[1] / "examples" / "skerry-light" / "skerry-light.toml"
CAUTION_ALONE = frozenset(
    {"fits-the-bed", "test-bars", "bay-wall-stuff", "own-drag", "own-centre", "motor-room"}
)
"""Defects that are told as a caution: they take nothing from the flight itself."""

_spec = importlib.util.spec_from_file_location("one_defect", HERE / "one_defect.py")
one_defect = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(one_defect)
ROWS = one_defect.rows(HERE / "defects.csv")


@pytest.fixture(scope="module")
def lighthouse() -> LoadedVehicle:
    return load(SKERRY)


def test_the_sheet_goes_without_a_defect(lighthouse: LoadedVehicle) -> None:
    assert one_defect.judged(lighthouse) == []


def test_there_are_many_defects_of_many_kinds() -> None:
    every = ROWS
    assert len({row["defect"] for row in every}) == len(every) >= 120
    assert len({row["place"].split(".")[0].split("[")[0] for row in every}) >= 10


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["defect"])
def test_no_defect_goes(lighthouse: LoadedVehicle, row: dict[str, str]) -> None:
    wanted = set(row["found"].split("|"))
    try:
        vehicle = one_defect.with_defect(lighthouse, row["place"], row["value"])
    except BuildSheetError:
        assert "refused" in wanted
        return
    if wanted <= CAUTION_ALONE:
        told = readiness(vehicle, depth=Depth.QUICK).findings
        assert wanted & {finding.key for finding in told if finding.verdict > 0}
        return
    first = [finding.key for finding in one_defect.judged(vehicle)[: one_defect.FIRST]]
    assert first, "it goes"
    assert wanted & set(first), f"found {first}"
