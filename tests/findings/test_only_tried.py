"""A vehicle that is only tried is judged as one that is shown, and nothing is proposed for it."""

from pathlib import Path

import pytest

from finial.assemble.recovery import study as recovery
from finial.assemble.strength.fins import study as fins
from finial.findings.check import load, readiness, tried
from finial.findings.finding import Finding
from finial.findings.readiness import Depth
from finial.findings.same_check import check_of

BUOY = Path(__file__).parents[2] / "examples" / "buoy-tiers" / "buoy-tiers.toml"
PROPOSED = "stays-would-help"


def judged(findings: tuple[Finding, ...]) -> list[tuple[object, ...]]:
    kept = [one for one in findings if one.key != PROPOSED]
    return [(check_of(one), one.verdict, one.value, one.bound, one.margin) for one in kept]


def test_it_is_judged_the_same_and_nothing_is_proposed(monkeypatch, tmp_path, compiled_where_it_is) -> None:
    monkeypatch.setenv("FINIAL_CACHE_DIR", str(tmp_path))
    vehicle = load(BUOY)
    shown = readiness(vehicle)
    assert PROPOSED in {one.key for one in shown.findings}
    (cord,) = shown.recovery_study.tethers

    def never(*_given: object) -> None:
        pytest.fail("nobody reads what is proposed for it")

    monkeypatch.setattr(fins, "designed_stays", never)
    monkeypatch.setattr(recovery, "other_rigs", never)
    found = tried(vehicle, {}, depth=Depth.WHOLE)
    assert judged(found.findings) == judged(shown.findings)
    assert PROPOSED not in {one.key for one in found.findings}
    assert len(found.recovery_study.tethers[0].remedies) < len(cord.remedies)
    assert readiness(vehicle).findings == shown.findings
