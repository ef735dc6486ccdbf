"""One defect of fit at a time in every example and in four odd vehicles: none goes, each is named at once."""

import importlib.util
from functools import cache
from pathlib import Path

import pytest

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.errors import BuildSheetError
from finial.findings.causes import groups_of
from finial.findings.check import load
from finial.findings.finding import Finding

HERE = Path(__file__).parent
EXAMPLES = HERE.parents[1] / "examples"
COLLISIONS = frozenset({"same-room", "into-print", "out-of-skin"})
ODD = ("teapot", "arch", "twin-towers", "statue")


def _beside(name: str):
    spec = importlib.util.spec_from_file_location(name, HERE / f"{name}.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


one_defect, odd_shapes = _beside("one_defect"), _beside("odd_shapes")
ROWS = one_defect.rows(HERE / "fit.csv")
VEHICLES = tuple(dict.fromkeys(row["vehicle"] for row in ROWS))


class Hangar:
    """Every vehicle, loaded once, and what the quick look says of it as it is."""

    def __init__(self, odd: dict[str, Path]) -> None:
        self._odd = odd
        self.vehicle = cache(self._vehicle)
        self.already = cache(self._already)

    def _vehicle(self, name: str) -> LoadedVehicle:
        return load(self._odd.get(name, EXAMPLES / name / f"{name}.toml"))

    def _already(self, name: str) -> frozenset[tuple[str, str]]:
        return frozenset(_which(finding) for finding in one_defect.quickly(self.vehicle(name)))


@pytest.fixture(scope="module")
def hangar(tmp_path_factory: pytest.TempPathFactory) -> Hangar:
    return Hangar(odd_shapes.written(tmp_path_factory.mktemp("odd")))


def _which(finding: Finding) -> tuple[str, str]:
    return finding.key, finding.subject.name


@pytest.mark.parametrize("name", VEHICLES)
def test_everything_fits_without_a_defect(hangar: Hangar, name: str) -> None:
    found = one_defect.quickly(hangar.vehicle(name))
    assert [finding.key for finding in found if finding.stage == "inside"] == []


def test_there_are_many_defects_over_all_vehicles() -> None:
    assert len({(row["vehicle"], row["defect"]) for row in ROWS}) == len(ROWS) >= 60
    assert set(VEHICLES) == {path.name for path in EXAMPLES.iterdir() if path.is_dir()} - {"every-key"} | set(
        ODD
    )
    assert min(sum(row["vehicle"] == name for row in ROWS) for name in VEHICLES) >= 8


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['vehicle']}: {row['defect']}")
def test_no_defect_of_fit_goes(hangar: Hangar, row: dict[str, str]) -> None:
    try:
        vehicle = one_defect.with_defect(hangar.vehicle(row["vehicle"]), row["place"], row["value"])
    except BuildSheetError:
        assert row["found"] == "refused"
        return
    already = hangar.already(row["vehicle"])
    new = [finding for finding in one_defect.quickly(vehicle) if _which(finding) not in already]
    causes = groups_of(new)
    first = [one for group in causes[: one_defect.FIRST] for one in (group.leader, *group.followers)]
    wanted = [finding for finding in first if finding.key in row["found"].split("|")]
    assert wanted, f"found {[_which(finding) for finding in first]}"
    for finding in wanted:
        _says_what_where_and_by_how_much(finding, vehicle)
    assert sum(_is_collision(group.leader) for group in causes) <= int(row["causes"] or 1)
    if row["names"]:
        assert any(_is(finding, row) for finding in wanted), [_told(finding) for finding in wanted]


def _is_collision(finding: Finding) -> bool:
    return finding.key in COLLISIONS


def _says_what_where_and_by_how_much(finding: Finding, vehicle: LoadedVehicle) -> None:
    if finding.key not in COLLISIONS:
        return
    name, other, at_mm, deep_mm = _told(finding)
    assert name
    assert other
    assert name != other
    # Ends of rods and a motor may stick out of the base, and meet there.
    assert -1e-6 <= at_mm <= 1e3 * vehicle.skin.length_m + 30.0
    assert deep_mm > 0.0


def _told(finding: Finding) -> tuple[str, str, float, float]:
    facts = finding.facts
    return finding.subject.name, facts["other"], 1e3 * facts["at"].value, 1e3 * facts["deep"].value


def _is(finding: Finding, row: dict[str, str]) -> bool:
    """Whether a collision is that of the row: the same two things, station and depth as by hand."""
    if finding.key not in COLLISIONS:
        return False
    name, other, at_mm, deep_mm = _told(finding)
    return (
        {name, other} == set(row["names"].split("|"))
        and (not row["at_mm"] or abs(at_mm - float(row["at_mm"])) <= 2.0)
        and (not row["deep_mm"] or abs(deep_mm - float(row["deep_mm"])) <= 1.0)
    )
