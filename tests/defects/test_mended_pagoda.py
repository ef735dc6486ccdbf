"""A second vehicle that flies but for its ports: one known defect at a time, each named at once."""

import importlib.util
from pathlib import Path

import pytest

from finial.assemble.vehicle.loading import Vehicle
from finial.core.errors import BuildSheetError
from finial.findings.check import load, readiness
from finial.findings.finding import Finding

HERE = Path(__file__).parent
PAGODA = HERE.parents[1] / "examples" / "pagoda" / "pagoda.toml"
PORTS_BY_A_LEDGE = {("barometer-rises", "static ports")}
"""All that is left against the mended pagoda: no wall of it lies far from a roof."""

_spec = importlib.util.spec_from_file_location("one_defect", HERE / "one_defect.py")
one_defect = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(one_defect)
ROWS = one_defect.rows(HERE / "pagoda.csv")
MENDED = [(row["place"], row["value"]) for row in one_defect.rows(HERE / "mended-pagoda.csv")]


def which(finding: Finding) -> tuple[str, str]:
    return finding.key, finding.subject.name


@pytest.fixture(scope="module")
def pagoda() -> Vehicle:
    return load(PAGODA)


@pytest.fixture(scope="module")
def already(pagoda: Vehicle) -> set[tuple[str, str]]:
    """What the quick look says against the mended one: a guess of it that the whole look settles."""
    return {which(one) for one in one_defect.quickly(one_defect.with_changes(pagoda, MENDED))}


def test_nothing_but_its_ports_keeps_the_mended_pagoda_down(pagoda: Vehicle) -> None:
    whole = readiness(one_defect.with_changes(pagoda, MENDED))
    assert {which(one) for one in one_defect.failing(whole.findings)} == PORTS_BY_A_LEDGE


def test_there_are_many_defects_of_many_kinds() -> None:
    assert len({row["defect"] for row in ROWS}) == len(ROWS) >= 50
    assert len({row["place"].split(".")[0].split("[")[0] for row in ROWS}) >= 8


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["defect"])
def test_no_defect_goes(pagoda: Vehicle, already: set[tuple[str, str]], row: dict[str, str]) -> None:
    wanted = set(row["found"].split("|"))
    try:
        vehicle = one_defect.with_changes(pagoda, [*MENDED, (row["place"], row["value"])])
    except BuildSheetError:
        assert "refused" in wanted
        return
    new = [one for one in one_defect.quickly(vehicle) if which(one) not in already]
    if not new:
        whole = one_defect.failing(readiness(vehicle).findings)
        new = [one for one in whole if which(one) not in PORTS_BY_A_LEDGE]
    first = [one.key for one in new[: one_defect.FIRST]]
    assert first, "it goes"
    assert wanted & set(first), f"found {first}"
