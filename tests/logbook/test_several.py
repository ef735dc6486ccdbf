"""Several flights of one vehicle: joined, void after a change, and the next one's band from them."""

from dataclasses import replace
from pathlib import Path

import pytest

from finial.assemble.vehicle.changes import changed
from finial.core.estimates import Estimate, KnownBy
from finial.files.flight_log.kept import KeptFlight
from finial.findings.check import load
from finial.logbook.refit import Learnt
from finial.logbook.several import NumberByOne, joint, joint_learnt, kept_numbers, numbers_of, told_by
from finial.logbook.sheet_changes import sheet_changes
from finial.logbook.unknowns import Unknown, UnknownKind
from finial.report.logbook_text import logbook_section
from finial.report.shown import Shown

BUOY = Path(__file__).parents[2] / "examples" / "buoy-tiers" / "buoy-tiers.toml"


@pytest.fixture(scope="module")
def vehicle():
    return load(BUOY)


def learnt(kind, before, after, canopy=""):
    """A number before and after a log, each as value and deviation."""

    def estimate(value, sigma):
        low, high = value - 1.645 * sigma, value + 1.645 * sigma
        return Estimate(value=value, low=low, high=high, known_by=KnownBy.MEASURED, method="made up")

    return Learnt(
        unknown=Unknown(kind=kind, canopy=canopy, value=before[0], sigma=before[1], low=0.0, high=50.0),
        before=estimate(*before),
        after=estimate(*after),
        sigma=after[1],
        fixed=1.0 - after[1] / before[1],
    )


def flight(*told, **more):
    numbers = [
        NumberByOne(what=what, canopy=canopy, value=value, sigma=sigma) for what, canopy, value, sigma in told
    ]
    return KeptFlight(vehicle="Channel Buoy", logs=("a.csv",), **kept_numbers(numbers), **more)


def test_what_was_known_before_is_taken_out_again(vehicle):
    """Two readings of 1.0 and 1.2, each to 0.1, make 1.1 to 0.0707: the second alone is what the log told."""
    half = 0.1 / 2.0**0.5
    (told,) = told_by(vehicle, [learnt(UnknownKind.DRAG, (1.0, 0.1), (1.1, half))])
    assert told.value == pytest.approx(1.2)
    assert told.sigma == pytest.approx(0.1)


def test_motor_day_and_what_a_flight_hardly_tells_are_not_kept(vehicle):
    numbers = [
        learnt(UnknownKind.THRUST, (1.0, 0.05), (0.98, 0.01)),
        learnt(UnknownKind.WIND, (3.0, 1.0), (4.0, 0.1)),
        learnt(UnknownKind.DRAG, (1.0, 0.1), (1.01, 0.0999)),
        learnt(UnknownKind.DELAY, (0.5, 0.5), (2.3, 0.02), "main"),
    ]
    assert [(one.what, one.canopy) for one in told_by(vehicle, numbers)] == [("delay", "main")]


def test_an_area_is_kept_in_square_metres(vehicle):
    (told,) = told_by(vehicle, [learnt(UnknownKind.CANOPY, (1.0, 0.5), (0.9, 0.01), "main")])
    (again,) = joint([("a", flight(("canopy", "main", told.value, told.sigma)))])
    (back,) = joint_learnt(vehicle, [again], [learnt(UnknownKind.CANOPY, (1.0, 0.5), (0.5, 0.3), "main")])
    assert back.after.value == pytest.approx(0.9, abs=0.001)
    assert told.value != pytest.approx(0.9, abs=0.01)


def test_flights_that_lie_apart_widen_the_next_ones_band(vehicle):
    near = joint([("a", flight(("drag", "", 1.10, 0.01))), ("b", flight(("drag", "", 1.11, 0.01)))])
    apart = joint([("a", flight(("drag", "", 1.0, 0.01))), ("b", flight(("drag", "", 1.3, 0.01)))])
    assert near[0].together.next_sigma < 0.045
    assert apart[0].together.next_sigma > 0.15
    sheet_has_it = [learnt(UnknownKind.DRAG, (1.0, 0.02), (1.01, 0.015))]
    (following,) = joint_learnt(vehicle, apart, sheet_has_it)
    assert following.flights == 2
    assert following.fixed < 0.0
    values = sheet_changes(vehicle, [following], "a.csv, b.csv").values
    assert values[("flown",)]["drag"].startswith("1.150 +- 0.")
    assert float(values[("flown",)]["drag"].partition("+- ")[2]) > 0.3
    assert sheet_changes(vehicle, sheet_has_it, "a.csv").values == {}


def test_a_change_makes_flights_before_it_void_for_what_it_names(vehicle):
    before = flight(("drag", "", 1.0, 0.01), ("delay", "main", 2.0, 0.1))
    after = flight(("drag", "", 1.3, 0.01), ("delay", "main", 2.1, 0.1), no_longer=("drag",))
    found = {one.what: one for one in joint([("a", before), ("b", after)])}
    assert [one.flight for one in found["drag"].flights] == ["b"]
    assert [one.flight for one in found["delay"].flights] == ["a", "b"]
    canopy = flight(("canopy", "main", 1.0, 0.1))
    (kept,) = joint([("a", canopy), ("b", flight(no_longer=("canopy drogue",)))])
    assert kept.canopy == "main"
    assert joint([("a", canopy), ("b", flight(no_longer=("canopy main",)))]) == ()


def test_a_flight_left_out_does_not_count_and_still_makes_void(vehicle):
    first, odd = flight(("drag", "", 1.0, 0.01)), flight(("drag", "", 3.0, 0.01), left_out=True)
    (found,) = joint([("a", first), ("b", odd)])
    assert found.together.mean == pytest.approx(1.0)
    assert joint([("a", first), ("b", odd.model_copy(update={"no_longer": ("drag",)}))]) == ()


def test_words_name_each_flight(vehicle):
    found = joint([("first", flight(("drag", "", 1.1, 0.01))), ("second", flight(("drag", "", 1.12, 0.01)))])
    section = logbook_section(found, Shown(us_units=False))
    assert section.title == "The logbook: 2 flights together"
    ((what, each, mean, following),) = section.tables[0].rows
    assert what == "drag over the computed"
    assert each.startswith("first: 1.1")
    assert "second: 1.12" in each
    assert mean != following


def test_one_number_of_a_refit_is_left_where_no_flight_tells_it(vehicle):
    alone = learnt(UnknownKind.DELAY, (0.5, 0.5), (2.3, 0.02), "main")
    assert joint_learnt(vehicle, joint([("a", flight(("drag", "", 1.0, 0.1)))]), [alone]) == (alone,)
    assert replace(alone, flights=1) == alone


def test_numbers_come_back_as_they_were_kept():
    numbers = [
        NumberByOne(what="drag", value=1.1394, sigma=0.0052),
        NumberByOne(what="canopy", canopy="main", value=1.2345, sigma=0.05),
        NumberByOne(what="height", canopy="main", value=198.0, sigma=4.0),
        NumberByOne(what="delay", canopy="drogue", value=0.7, sigma=0.02),
    ]
    back = {
        (one.what, one.canopy): one
        for one in numbers_of(KeptFlight(vehicle="x", logs=(), **kept_numbers(numbers)))
    }
    assert len(back) == 4
    for one in numbers:
        again = back[one.what, one.canopy]
        assert again.value == pytest.approx(one.value, rel=1e-4)
        assert again.sigma == pytest.approx(one.sigma, rel=0.05)


def test_a_shift_of_the_centre_counts_from_the_computed_whatever_the_sheet_has(vehicle):
    """A sheet that has it 10 mm aft is told 5 mm more: 15 mm of the computed are kept, and 5 come back."""
    shifted = changed(vehicle, {("flown",): {"pressure_centre": "10 mm +- 5 mm"}})
    number = learnt(UnknownKind.CENTRE, (0.0, 0.05), (0.005, 0.0005))
    (told,) = told_by(shifted, [number])
    assert told.value == pytest.approx(0.015, abs=1e-5)
    kept = flight(("centre", "", told.value, told.sigma))
    assert kept.pressure_centre.value == pytest.approx(0.015, abs=1e-5)
    (again,) = joint([("a", kept)])
    (back,) = joint_learnt(shifted, [again], [number])
    assert back.after.value == pytest.approx(0.005, abs=1e-5)
    (plain,) = joint_learnt(vehicle, [again], [number])
    assert plain.after.value == pytest.approx(0.015, abs=1e-5)


def test_a_centre_ahead_of_the_computed_is_kept_so():
    kept = flight(("centre", "", -0.02, 0.004))
    assert [one.value for one in numbers_of(kept)] == pytest.approx([-0.02])


def test_friction_that_hardly_shows_is_not_kept_and_what_shows_never_lies_below_none(vehicle):
    hardly = learnt(UnknownKind.FRICTION, (0.0, 0.3), (0.05, 0.29))
    clear = learnt(UnknownKind.FRICTION, (0.0, 0.3), (0.05, 0.04))
    assert told_by(vehicle, [hardly]) == ()
    (told,) = told_by(vehicle, [clear])
    kept = flight(("friction", "", told.value, told.sigma)).friction
    assert kept.value - kept.tolerance >= -1e-6
