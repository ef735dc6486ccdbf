"""Every number of the sheet against what it usually is: both ends of every row, and no number left out."""

from dataclasses import replace
from pathlib import Path

import pytest

from finial.core.dimensions import Dimension
from finial.core.units import Quantity, parse_quantity
from finial.files.fields import Record
from finial.files.sheet import Sheet
from finial.files.sheet_recovery import EventEntry
from finial.findings.check import load
from finial.findings.finding import Finding, Sense, Verdict
from finial.findings.rules.plausible_rules import (
    MOTOR_FILE,
    SITE_FILE,
    flown_findings,
    numbers_of,
    numbers_of_motor,
    plausible_findings,
    site_findings,
    usual_ranges,
)
from finial.report.finding_words import limit, title, what_to_change

EXAMPLES = Path(__file__).parents[2] / "examples"
WHOLE = {"recovery", "electronics", "launch"}
NOT_JUDGED = {
    "launch.tilt",  # judged by the code
    "launch.toward",  # bearings
    "launch.wind_from",
    "launch.crowd_bearing",
    "recovery.bay.toward",
    "recovery.bay.tilt",  # places: judged by what fits
    "recovery.bay.stations",
    "recovery.bay.offset",
    "electronics.port.station",
    "electronics.port.at",
}


@pytest.fixture(scope="module")
def every_key() -> Sheet:
    sheet = load(EXAMPLES / "every-key" / "every-key.toml").sheet
    clock = EventEntry.model_validate({"after_lift_off": "9 s"})
    first, *others = sheet.recovery.canopy
    canopies = (first.model_copy(update={"event": clock}), *others)
    return sheet.model_copy(update={"recovery": sheet.recovery.model_copy(update={"canopy": canopies})})


def put(value: object, steps: list[str], new: float) -> object:
    """The value with the number at a place, in whichever entry of a list has one, replaced."""
    if isinstance(value, tuple):
        return tuple(put(entry, steps, new) for entry in value)
    if isinstance(value, Quantity):
        return Quantity(value=new, text=f"{new} SI")
    if isinstance(value, int):
        return new if new != int(new) else int(new)
    if not isinstance(value, Record):
        return value
    first, *rest = steps
    return value.model_copy(update={first: put(getattr(value, first), rest, new)})


def outside(sheet: Sheet) -> list[Finding]:
    return [finding for finding in plausible_findings(sheet) if finding.verdict is not Verdict.GO]


def test_every_example_has_usual_numbers(every_key) -> None:
    for name in ("skerry-light", "pagoda", "phone-box", "buoy-tiers"):
        assert outside(load(EXAMPLES / name / f"{name}.toml").sheet) == []
    (found,) = plausible_findings(every_key)
    assert found.verdict is Verdict.GO


def test_no_number_is_left_out(every_key) -> None:
    """Of recovery, electronics and launch; sizes of parts and rail are judged by what fits."""
    told = {one.place for one in numbers_of(every_key) if one.place.split(".")[0] in WHOLE}
    assert told - NOT_JUDGED <= set(usual_ranges())


@pytest.mark.parametrize(
    ("moved", "fails"), [("120 mm", False), ("121 mm", True), ("-120 mm", False), ("-121 mm", True)]
)
def test_logs_move_the_centre_by_a_tenth_of_the_length_at_most(every_key, moved: str, fails: bool) -> None:
    told = Quantity(value=parse_quantity(moved, Dimension.LENGTH).value, text=moved)
    flown = every_key.flown.model_copy(update={"pressure_centre": told})
    found = list(flown_findings(every_key.model_copy(update={"flown": flown}), 1.2))
    assert [one.subject.case for one in found] == (["pressure_centre"] if fails else [])
    assert list(flown_findings(every_key.model_copy(update={"flown": None}), 1.2)) == []


OF_SITES = [place for place in sorted(usual_ranges()) if place.startswith(SITE_FILE)]


@pytest.mark.parametrize("place", OF_SITES)
def test_both_ends_of_every_range_of_a_site_s_file(place: str) -> None:
    site = load(EXAMPLES / "skerry-light" / "skerry-light.toml").files.site
    key, usual = place.split(".")[1], usual_ranges()[place]

    def told(number: float) -> list[Finding]:
        return site_findings(site.model_copy(update={key: Quantity(value=number, text="as told")}))

    assert told(usual.low) == told(usual.high) == site_findings(site) == []
    for number in (0.99 * usual.low, 1.01 * usual.high):
        (found,) = told(number)
        assert (found.fails, found.subject.name, found.subject.case) == (True, site.name, key)


OF_MOTORS = [place for place in sorted(usual_ranges()) if place.startswith(MOTOR_FILE)]


@pytest.mark.parametrize("place", OF_MOTORS)
def test_both_ends_of_every_range_of_a_motor_s_file(place: str) -> None:
    """The demo K500: 0.76 of 1.48 kg burn, a share of 0.51; the masses are moved by what burns."""
    vehicle = load(EXAMPLES / "skerry-light" / "skerry-light.toml")
    sheet, motor = vehicle.sheet, vehicle.files.motor
    key, usual = place.split(".")[1], usual_ranges()[place]
    assert place in {told.place for told in numbers_of_motor(motor)}
    whole = motor.loaded_mass.value if key == "propellant_mass" else 1.0

    def told(number: float) -> list[Finding]:
        changed = replace(motor, **{key: Quantity(value=whole * number, text="as told")})
        found = plausible_findings(sheet, (changed, changed))
        return [one for one in found if one.verdict is not Verdict.GO]

    assert told(usual.low + 1e-9) == told(usual.high - 1e-9) == []
    for number in (usual.low - 0.01 * usual.low - 1e-9, 1.01 * usual.high):
        (found,) = told(number)
        assert (found.fails, found.subject.name, found.subject.case) == (True, motor.name, key)


@pytest.mark.parametrize("place", sorted(set(usual_ranges()) - set(OF_MOTORS) - set(OF_SITES)))
def test_both_ends_of_every_range(every_key, place: str) -> None:
    usual = usual_ranges()[place]
    assert place in {told.place for told in numbers_of(every_key)}
    assert outside(put(every_key, place.split("."), usual.low)) == []
    assert outside(put(every_key, place.split("."), usual.high)) == []
    for sense, number in (
        (Sense.AT_LEAST, usual.low - 0.01 * abs(usual.low) - 1e-9),
        (Sense.AT_MOST, 1.01 * usual.high),
    ):
        if number != int(number) and usual.dimension.value == "ratio" and usual.high > 3:
            number = int(usual.low) - 1 if sense is Sense.AT_LEAST else int(usual.high) + 1
        found = outside(put(every_key, place.split("."), number))
        assert found, place
        assert all(one.fails for one in found)
        assert {one.bound.sense for one in found} == {sense}
        assert all(one.bound.source == usual.source and one.urgent for one in found)


@pytest.mark.parametrize(
    ("volts", "verdict"),
    [(169.0, Verdict.NOT_KNOWN), (171.0, Verdict.NO_GO), (0.25, Verdict.NOT_KNOWN), (0.23, Verdict.NO_GO)],
)
def test_ten_times_outside_is_a_slip(every_key, volts: float, verdict: Verdict) -> None:
    changed = put(every_key, ["electronics", "battery", "voltage"], volts)
    assert {one.verdict for one in outside(changed)} == {verdict}


def test_it_says_what_to_look_at(every_key) -> None:
    far = every_key.model_copy(
        update={
            "launch": every_key.launch.model_copy(
                update={"crowd_distance": Quantity(value=8e4, text="80 km")}
            )
        }
    )
    (found,) = outside(far)
    assert title(found) == "crowd_distance of launch, as usual"
    assert limit(found) == "at most 5000 m"
    assert "80 km" in what_to_change(found)


@pytest.mark.parametrize("row", sorted(set(usual_ranges()) - set(OF_MOTORS) - set(OF_SITES)))
def test_a_row_is_of_the_sheet_s_own_dimension(every_key, row: str) -> None:
    """Read anew with the row's dimension, what the sheet says is a number, and lies inside."""
    written = {told.place: told.number.text for told in numbers_of(every_key)}
    read = parse_quantity(written[row], usual_ranges()[row].dimension)
    assert usual_ranges()[row].low <= read.value <= usual_ranges()[row].high
