"""What holds, closes and weighs: each limit from both sides, and what is missing is not known."""

import math
from dataclasses import replace

import pytest

from finial.assemble.inside.results import BayEnd, Elsewhere, Fittings, ItemDensity, MotorHold, TubeCover
from finial.core.estimates import Estimate, KnownBy, exact
from finial.findings.finding import Finding, Verdict
from finial.findings.rules import fitting_rules as rules
from finial.findings.rules.fitting_rules import fitting_findings
from finial.report.finding_words import title, what_to_change, why

MOTOR = MotorHold(
    motor="K", station_m=0.9, held=exact(0.9), play=exact(0.5e-3), lean_rad=0.002, slips=exact(0.0)
)
NOTHING = Fittings(motors=(), bay_ends=(), tubes=(), densities=(), elsewhere=(), standoff=None)
WOOD = Estimate(value=700.0, low=500.0, high=2700.0, known_by=KnownBy.ASSUMED)
GO, NOT_KNOWN, NO_GO = Verdict.GO, Verdict.NOT_KNOWN, Verdict.NO_GO


def judged(key: str, **changed) -> Finding:
    (found,) = (one for one in fitting_findings(replace(NOTHING, **changed)) if one.key == key)
    return found


def motor(key: str, **changed) -> Finding:
    return judged(key, motors=(replace(MOTOR, **changed),))


@pytest.mark.parametrize(("share", "verdict"), [(0.51, GO), (0.49, NO_GO), (None, NOT_KNOWN)])
def test_a_tube_holds_at_least_half_of_its_motor(share, verdict) -> None:
    """Common practice, without source."""
    found = motor("motor-held", held=None if share is None else exact(share))
    assert found.verdict is verdict
    assert found.safety
    assert title(found)
    assert verdict is GO or what_to_change(found)


@pytest.mark.parametrize(("play_mm", "verdict"), [(2.9, GO), (3.1, NO_GO)])
def test_a_loose_motor_leans(play_mm, verdict) -> None:
    """Common practice, without source."""
    found = motor("motor-play", play=exact(play_mm * 1e-3), lean_rad=math.radians(1.5))
    assert found.verdict is verdict
    assert "1.5 deg" in why(found)


@pytest.mark.parametrize(("play_mm", "verdict"), [(0.0, GO), (-0.1, NO_GO)])
def test_a_motor_slides_into_its_tube(play_mm, verdict) -> None:
    """A tube narrower than its motor takes it by no hand; of one size by name they slide."""
    found = motor("motor-play", play=exact(play_mm * 1e-3), lean_rad=0.0)
    assert found.verdict is verdict
    assert verdict is GO or "narrower than K" in what_to_change(found)


@pytest.mark.parametrize(("room_mm", "verdict"), [(499.0, GO), (501.0, Verdict.CAUTION)])
def test_room_for_motors_ends_where_the_next_thing_stands(room_mm, verdict) -> None:
    found = motor("motor-room", room=exact(room_mm * 1e-3), run_m=0.5, ahead="floor of the bay")
    assert found.verdict is verdict
    assert "runs into floor of the bay" in why(found)
    bare = motor("motor-room", room=exact(0.6), run_m=0.5)
    assert "where the tip stands" in what_to_change(bare)


def test_who_says_no_room_is_not_asked() -> None:
    assert "motor-room" not in {one.key for one in fitting_findings(replace(NOTHING, motors=(MOTOR,)))}


@pytest.mark.parametrize(("wider_mm", "verdict"), [(5.9, GO), (6.1, NO_GO), (-3.0, GO)])
def test_a_motor_bears_on_its_plate(wider_mm, verdict) -> None:
    assert motor("motor-bears", slips=exact(wider_mm * 1e-3)).verdict is verdict


@pytest.mark.parametrize(
    ("off_mm", "verdict"), [(-2.1, NO_GO), (-1.9, GO), (0.0, GO), (24.9, GO), (25.1, NO_GO)]
)
def test_the_end_that_pushes_meets_its_plate(off_mm, verdict) -> None:
    """Rings and nozzles of motors stand out by some centimetres at most: common practice, without source."""
    found = motor("motor-at-plate", off_plate=exact(off_mm * 1e-3))
    assert found.verdict is verdict
    assert found.safety
    assert title(found) == "end of K behind its thrust plate"
    assert verdict is GO or ("ends ahead of" if off_mm < 0 else "ends behind") in what_to_change(found)


def test_without_a_plate_nothing_is_said_of_its_hole() -> None:
    found = fitting_findings(replace(NOTHING, motors=(replace(MOTOR, slips=None),)))
    assert "motor-bears" not in {one.key for one in found}


@pytest.mark.parametrize(("share", "verdict"), [(0.059, GO), (0.061, NO_GO)])
def test_a_bay_is_closed_at_both_ends(share, verdict) -> None:
    ends = tuple(BayEnd(bay="bay", station_m=at, open_share=exact(share), plate="lid") for at in (0.2, 0.5))
    found = [one for one in fitting_findings(replace(NOTHING, bay_ends=ends)) if one.key == "bay-closed"]
    assert [one.verdict for one in found] == [verdict, verdict]
    assert [one.subject.station_m for one in found] == [0.2, 0.5]


@pytest.mark.parametrize(("plate", "verdict"), [("lid", GO), ("", NOT_KNOWN)])
def test_what_print_alone_holds_is_not_known(plate, verdict) -> None:
    end = BayEnd(bay="bay", station_m=0.2, open_share=exact(0.0), plate=plate)
    assert judged("bay-end-plate", bay_ends=(end,)).verdict is verdict


@pytest.mark.parametrize(("share", "verdict"), [(0.81, GO), (0.79, NO_GO)])
def test_a_tube_covers_its_bay(share, verdict) -> None:
    tube = TubeCover(bay="bay", tube="tube", station_m=0.3, share=exact(share))
    assert judged("bay-tube-covers", tubes=(tube,)).verdict is verdict


@pytest.mark.parametrize(
    ("said", "verdict"), [(0.76, GO), (0.74, NOT_KNOWN), (1.24, GO), (1.26, NOT_KNOWN), (1.0, GO)]
)
def test_the_wall_of_a_bay_is_that_of_its_tube(said, verdict) -> None:
    tube = TubeCover(bay="bay", tube="tube", station_m=0.3, share=exact(1.0), wall=exact(said))
    found = judged("bay-tube-wall", tubes=(tube,))
    assert found.verdict is verdict
    assert title(found) == "wall of bay as said, over that of tube"


@pytest.mark.parametrize(
    ("density", "named", "verdict"),
    [
        (2.0 * 2700 - 1, False, GO),
        (2.0 * 2700 + 1, False, NOT_KNOWN),
        (1.3 * 2700 - 1, True, GO),
        (1.3 * 2700 + 1, True, NOT_KNOWN),
        (11699, False, NOT_KNOWN),
        (11701, False, NO_GO),
        (251, False, GO),
        (249, False, NOT_KNOWN),
        (251, True, GO),
        (249, True, NOT_KNOWN),
    ],
)
def test_mass_and_size_agree(density, named, verdict) -> None:
    """Nothing that is built in is denser than lead: 11 340 kg/m3, handbook value from memory.

    The lightest of its kind has 500 kg/m3; half of that with holes and air.
    """
    item = ItemDensity(
        item="floor", station_m=0.6, found=exact(density), usual=WOOD, named=named, heaviest=WOOD
    )
    key = "masses-and-sizes" if verdict is GO else "mass-and-size"
    assert judged(key, densities=(item,)).verdict is verdict


@pytest.mark.parametrize(("density", "urgent"), [(23399, False), (23401, True)])
def test_a_mass_in_another_unit_is_told_before_all_that_follows_from_it(density, urgent) -> None:
    """Twice as dense as lead, 2 * 11 700 kg/m3, nothing is: osmium has 22 590, handbook value from memory."""
    item = ItemDensity(
        item="floor", station_m=0.6, found=exact(density), usual=WOOD, named=True, heaviest=WOOD
    )
    assert judged("mass-and-size", densities=(item,)).urgent is urgent


@pytest.mark.parametrize(
    ("density", "verdict"), [(3924, NOT_KNOWN), (3926, GO), (5399, GO), (5401, NOT_KNOWN)]
)
def test_a_plate_with_an_eye_is_as_heavy_as_its_material_and_no_heavier_than_its_kind(
    density, verdict
) -> None:
    """Steel of 7850 kg/m3, half of it holes; an eye of steel in a plate of plywood to aluminium, twice."""
    steel = exact(7850.0)
    item = ItemDensity(
        item="bulkhead",
        station_m=0.6,
        found=exact(density),
        usual=steel,
        named=True,
        heaviest=WOOD,
        alone=False,
    )
    key = "masses-and-sizes" if verdict is GO else "mass-and-size"
    assert judged(key, densities=(item,)).verdict is verdict


def test_a_tube_that_is_the_wall_of_a_bay_and_stands_nowhere_is_not_known() -> None:
    assert judged("bay-tube-entered").verdict is GO
    found = judged("bay-tube-entered", bays_untubed=("lantern bay",))
    assert found.verdict is NOT_KNOWN
    assert "tube of lantern bay" in what_to_change(found)


def test_a_motor_tube_in_no_row_of_the_mass_table_is_not_known() -> None:
    assert judged("motor-tube-weighed").verdict is GO
    found = judged("motor-tube-weighed", tubes_unweighed=("motor tube",))
    assert found.verdict is NOT_KNOWN
    assert "room_of" in what_to_change(found)


@pytest.mark.parametrize(("off_mm", "verdict"), [(0.0, GO), (1.0, NO_GO)])
def test_what_is_another_thing_stands_where_it_stands(off_mm, verdict) -> None:
    item = Elsewhere(item="tube", room_of="motor tube", station_m=0.1, off_m=off_mm * 1e-3)
    assert judged("in-its-room", elsewhere=(item,)).verdict is verdict


@pytest.mark.parametrize(("standoff_mm", "verdict"), [(99, GO), (101, NO_GO)])
def test_a_button_stands_near_the_skin(standoff_mm, verdict) -> None:
    assert judged("standoff", standoff=exact(standoff_mm * 1e-3)).verdict is verdict


@pytest.mark.parametrize(("stuffs", "verdict"), [(("G10",), GO), (("G10", "TPU"), NOT_KNOWN)])
def test_a_bay_and_its_tube_are_of_one_material(stuffs, verdict) -> None:
    cover = TubeCover(bay="bay", tube="tube", station_m=0.4, share=exact(1.0), stuffs=stuffs)
    found = judged("bay-tube-stuff", tubes=(cover,))
    assert found.verdict is verdict
    assert verdict is GO or "of G10, TPU" in what_to_change(found)


def test_limits_are_those_that_are_told() -> None:
    assert rules.HELD_SHARE == 0.5
    assert rules.PLAY_M == 3e-3


def test_where_all_agree_one_finding_says_so() -> None:
    assert [(one.key, one.verdict) for one in fitting_findings(NOTHING)] == [
        ("masses-and-sizes", GO),
        ("motor-tube-weighed", GO),
        ("bay-tube-entered", GO),
    ]
