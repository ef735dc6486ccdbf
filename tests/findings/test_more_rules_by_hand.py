"""Rules on records of a few numbers each: what makes one speak, and what keeps it still."""

import math
from types import SimpleNamespace
from typing import Any

import pytest

from finial.core.estimates import KnownBy, exact, spread
from finial.findings.finding import Verdict
from finial.findings.limits import Limits
from finial.findings.rules import shape_rules
from finial.findings.rules.stability_rules import stability_findings
from finial.shape.turned import Turn


def point(moment: str, margin_m: float) -> Any:
    return SimpleNamespace(
        moment=moment,
        margin=spread(margin_m, 0.01, known_by=KnownBy.COMPUTED),
        width_m=0.2,
        length_m=0.8,
        moment_slope=exact(1.0),
        by_moment=False,
    )


def test_the_moment_with_the_least_margin_says_that_the_shape_is_short() -> None:
    found = stability_findings((point("rail-exit", 0.05), point("burnout", 0.3)), Limits(own={}))
    assert [(one.subject.case, "short-and-fat" in one.reasons) for one in found] == [
        ("rail-exit", True),
        ("burnout", False),
    ]


@pytest.mark.parametrize(
    ("share", "steadiness", "verdict"),
    [(0.5, 0.9, Verdict.NOT_KNOWN), (0.1, 0.9, Verdict.GO), (0.5, 0.5, Verdict.GO)],
)
def test_a_screw_turns_one_way_along_a_good_part_of_the_body(
    monkeypatch: pytest.MonkeyPatch, share: float, steadiness: float, verdict: Verdict
) -> None:
    turn = Turn(angle_rad=math.radians(40.0), steadiness=steadiness, share=share)
    monkeypatch.setattr(shape_rules, "turn_of", lambda _skin: turn)
    shape: Any = SimpleNamespace(skin=SimpleNamespace(bridged_share=0.0), open_parts=(), mesh_notes=())
    monkeypatch.setattr(shape_rules, "_meshes", lambda _shape, _floating: [])
    (found,) = shape_rules.shape_findings(shape)
    assert found.verdict is verdict
