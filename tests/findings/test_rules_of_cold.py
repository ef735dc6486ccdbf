"""Cold makes prints brittle: from which air on, and what is said where nothing is printed."""

import pytest

from finial.assemble.strength.results import ColdCase
from finial.core.constants import ZERO_CELSIUS_K
from finial.core.estimates import Estimate, KnownBy
from finial.core.tables import table_rows
from finial.findings.finding import Verdict
from finial.findings.rules.cold_rules import cold_findings
from finial.materials.material import material
from finial.report.finding_words import title, what_to_change, why


def case(low_c: float, value_c: float, *, part: str = "tower", brittle_c: float = -20.0) -> ColdCase:
    low, value = low_c + ZERO_CELSIUS_K, value_c + ZERO_CELSIUS_K
    air = Estimate(value=value, low=low, high=value + 5.0, known_by=KnownBy.MEASURED)
    return ColdCase(part=part, station_m=0.2, air=air, brittle_below_k=brittle_c + ZERO_CELSIUS_K)


@pytest.mark.parametrize(
    ("low_c", "value_c", "verdict"),
    [
        (-19.9, -15.0, Verdict.GO),
        (-20.1, -15.0, Verdict.CAUTION),
        (-25.0, -19.9, Verdict.CAUTION),
        (-25.0, -20.1, Verdict.NOT_KNOWN),
        (-40.0, -35.0, Verdict.NOT_KNOWN),
    ],
)
def test_a_print_in_the_cold(low_c: float, value_c: float, verdict: Verdict) -> None:
    """A copolyester's data sheet (ASTM D 3763, seen): 26 J to punch a plate at 23 degC, 1.6 J at -40."""
    (found,) = cold_findings([case(low_c, value_c)])
    assert found.verdict is verdict
    assert found.safety
    assert title(found) == "air about tower, for a plastic that cold makes brittle"
    assert "may shatter" in why(found)
    assert verdict is Verdict.GO or "warmer day" in what_to_change(found)


def test_the_part_that_is_brittle_first_is_told() -> None:
    (found,) = cold_findings([case(-5, 0), case(-5, 0, part="lid", brittle_c=0.0), case(-5, 0, part="foot")])
    assert (found.subject.name, found.verdict) == ("lid", Verdict.CAUTION)


def test_a_vehicle_without_prints_is_told_so() -> None:
    (found,) = cold_findings([])
    assert (found.key, found.verdict) == ("nothing-brittle", Verdict.GO)


def test_every_printed_plastic_has_its_cold_and_of_sheets_acrylic_alone() -> None:
    """Common practice, from memory: PLA breaks like glass on a frosty day, the others somewhat later."""
    printed = {row["name"]: material(row["name"]) for row in table_rows("finial.materials", "printed.csv")}
    assert printed["PLA"].brittle_below_k == pytest.approx(273.15)
    assert printed["PETG"].brittle_below_k == pytest.approx(253.15)
    assert printed["TPU"].brittle_below_k == pytest.approx(243.15)
    assert all(one.brittle_below_k is not None for one in printed.values())
    assert material("birch plywood").brittle_below_k is None
    assert material("polycarbonate").brittle_below_k is None
    # It cracks from drilled holes at any temperature of a field: 60 degC.
    assert material("acrylic").brittle_below_k == pytest.approx(333.15)
    assert material("steel").brittle_below_k is None
