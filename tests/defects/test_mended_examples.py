"""Three more vehicles, each mended until it flies: one known defect at a time, each named at once."""

import importlib.util
from functools import cache
from pathlib import Path

import pytest

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.errors import BuildSheetError
from finial.findings.check import load, readiness
from finial.findings.finding import Finding

HERE = Path(__file__).parent
EXAMPLES = HERE.parents[1] / "examples"
LEFT: dict[str, set[tuple[str, str]]] = {
    "pagoda": {
        ("barometer-rises", "static ports"),
        ("computers-disagree", ""),
    },
    "phone-box": set(),
    "buoy-tiers": set(),
}
"""All that is left against each mended vehicle: no wall of the pagoda lies far from a roof, and what
its ports read there is one finding with all that follows."""

_spec = importlib.util.spec_from_file_location("one_defect", HERE / "one_defect.py")
one_defect = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(one_defect)
ROWS = [(name, row) for name in LEFT for row in one_defect.rows(HERE / f"{name}.csv")]


def which(finding: Finding) -> tuple[str, str]:
    return finding.key, finding.subject.name


class Workshop:
    """Every example, loaded once, with what mends it and what the quick look then says against it."""

    def __init__(self) -> None:
        self.vehicle = cache(lambda name: load(EXAMPLES / name / f"{name}.toml"))
        self.already = cache(lambda name: {which(one) for one in one_defect.quickly(self.mended(name))})
        """A guess of the quick look that the whole look settles."""

    def mended(self, name: str, *more: tuple[str, str]) -> LoadedVehicle:
        mends = [(row["place"], row["value"]) for row in one_defect.rows(HERE / f"mended-{name}.csv")]
        return one_defect.with_changes(self.vehicle(name), [*mends, *more])


@pytest.fixture(scope="module")
def workshop() -> Workshop:
    return Workshop()


@pytest.mark.parametrize("name", LEFT)
def test_nothing_but_what_is_known_keeps_a_mended_one_down(workshop: Workshop, name: str) -> None:
    whole = readiness(workshop.mended(name))
    assert {which(one) for one in one_defect.failing(whole.findings)} == LEFT[name]


@pytest.mark.parametrize("name", LEFT)
def test_there_are_many_defects_of_many_kinds(name: str) -> None:
    rows = [row for of, row in ROWS if of == name]
    assert len({row["defect"] for row in rows}) == len(rows) >= 45
    assert len({row["place"].split(".")[0].split("[")[0] for row in rows}) >= 8


@pytest.mark.parametrize(
    ("name", "row"), ROWS, ids=lambda one: one if isinstance(one, str) else one["defect"]
)
def test_no_defect_goes(workshop: Workshop, name: str, row: dict[str, str]) -> None:
    wanted = set(row["found"].split("|"))
    try:
        vehicle = workshop.mended(name, (row["place"], row["value"]))
    except BuildSheetError:
        assert "refused" in wanted
        return
    new = [one for one in one_defect.quickly(vehicle) if which(one) not in workshop.already(name)]
    if not new:
        whole = one_defect.failing(readiness(vehicle).findings)
        new = [one for one in whole if which(one) not in LEFT[name]]
    first = [one.key for one in new[: one_defect.FIRST]]
    assert first, "it goes"
    assert wanted & set(first), f"found {first}"
