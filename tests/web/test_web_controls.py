"""Sliders: which there are, where they end, and that they can return to what the sheet says."""

from dataclasses import replace

import pytest

from finial.assemble.mass.results import MassRow
from finial.core.estimates import exact
from finial.findings.readiness import Readiness
from finial.web.controls import ballast_controls, fin_control

MARKED = ("steel_ballast", "nose_discs", "ballast")


def with_items(readiness: Readiness, **masses_kg: float) -> Readiness:
    rows = tuple(
        MassRow(
            name=name.replace("_", " "),
            kind="item",
            mass=exact(mass),
            station_m=0.1,
            is_ballast=name in MARKED,
        )
        for name, mass in masses_kg.items()
    )
    return replace(readiness, mass=replace(readiness.mass, rows=rows))


def test_what_is_marked_as_ballast_gets_a_slider(readiness: Readiness) -> None:
    controls = ballast_controls(with_items(readiness, steel_ballast=0.94, nose_discs=0.2, ballast_bay=2.0))
    assert [control.name for control in controls] == ["steel ballast", "nose discs"]


def test_without_ballast_the_heaviest_item_gets_the_slider(readiness: Readiness) -> None:
    assert [control.name for control in ballast_controls(with_items(readiness, board=0.1, nut=0.3))] == [
        "nut"
    ]
    assert ballast_controls(with_items(readiness)) == ()


@pytest.mark.parametrize("mass_kg", [0.005, 0.0317, 0.412, 0.94, 1.3127, 4.2])
def test_steps_from_nothing_land_on_the_mass_in_the_sheet(readiness: Readiness, mass_kg: float) -> None:
    (control,) = ballast_controls(with_items(readiness, ballast=mass_kg))
    steps = (control.mass_kg - control.min_kg) / control.step_kg
    assert steps == pytest.approx(round(steps), abs=1e-6)
    assert 20 <= round(steps) <= 1000
    assert control.min_kg == 0.0
    assert 2 * mass_kg < control.max_kg <= 2.5 * mass_kg * (1 + 1e-9)


def test_sliders_speak_the_builders_units(readiness: Readiness, us_readiness: Readiness) -> None:
    assert [control.unit for control in ballast_controls(readiness)] == ["g"]
    (ounces,) = ballast_controls(us_readiness)
    # International avoirdupois ounce, exact: NIST SP 811 (2008) B.8, from memory, not re-read.
    assert (ounces.unit, ounces.unit_kg) == ("oz", pytest.approx(0.028349523125, rel=1e-12))
    fins = fin_control(us_readiness)
    assert fins is not None
    assert (fins.unit, fins.unit_m, fins.span_m) == ("in", 0.0254, pytest.approx(0.15))


def test_a_vehicle_without_fins_has_no_span_to_change(readiness: Readiness) -> None:
    assert fin_control(replace(readiness, shape=replace(readiness.shape, fins=()))) is None
