"""The sliders on a real sheet: every end of each of them must be answered."""

import json
from pathlib import Path

import pytest

from finial.findings.check import load
from finial.web.controls import ballast_controls, fin_control
from finial.web.payload import answer_text
from finial.web.serve import session_of
from finial.web.session import PageQuestion, Session

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def lighthouse() -> Session:
    return session_of(load(ROOT / "examples" / "skerry-light" / "skerry-light.toml"))


@pytest.mark.parametrize("ballast_end", ["min_kg", "max_kg"])
@pytest.mark.parametrize("span_end", ["min_scale", "max_scale"])
def test_every_end_of_the_sliders_is_answered(lighthouse: Session, ballast_end: str, span_end: str) -> None:
    (ballast,) = ballast_controls(lighthouse.as_written)
    fins = fin_control(lighthouse.as_written)
    assert fins is not None
    tried = lighthouse.answer(
        PageQuestion(
            ballast_kg={ballast.name: getattr(ballast, ballast_end)}, fin_span_scale=getattr(fins, span_end)
        )
    )
    gained_kg = getattr(ballast, ballast_end) - ballast.mass_kg
    # Larger or smaller fins change the mass too, by less than a kilogram here.
    mass_kg, written_kg = tried.mass.lift_off_mass.value, lighthouse.as_written.mass.lift_off_mass.value
    assert mass_kg - written_kg == pytest.approx(gained_kg, abs=1.0)
    assert json.loads(answer_text(tried))["headline"]


def test_ballast_alone_adds_its_own_mass(lighthouse: Session) -> None:
    (ballast,) = ballast_controls(lighthouse.as_written)
    tried = lighthouse.answer(
        PageQuestion(ballast_kg={ballast.name: ballast.mass_kg + 0.4}, fin_span_scale=1.0)
    )
    written = lighthouse.as_written.mass
    assert tried.mass.lift_off_mass.value - written.lift_off_mass.value == pytest.approx(0.4, abs=1e-9)
    assert tried.mass.lift_off_balance.value < written.lift_off_balance.value


def test_the_sheet_as_written_is_the_change_of_nothing(lighthouse: Session) -> None:
    (ballast,) = ballast_controls(lighthouse.as_written)
    same = lighthouse.answer(PageQuestion(ballast_kg={ballast.name: ballast.mass_kg}, fin_span_scale=1.0))
    assert json.loads(answer_text(same)) == json.loads(answer_text(lighthouse.as_written))
