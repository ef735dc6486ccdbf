"""What a print plan says, of pieces and joints made by hand."""

import math
from types import SimpleNamespace

import pytest

from finial.assemble.prints.results import DrawnThin, JointReserve, PlannedStrength, Turned
from finial.core.estimates import Estimate, KnownBy
from finial.printing.cuts import Barred, Why
from finial.printing.joints import JointKind
from finial.printing.numbers import Marking
from finial.report.print_text import plan_section
from finial.structure.reserves import FailureMode

ROOMY = {"up": (0.9, 0.0, 0.1), "turned_rad": 0.0, "size_m": (0.1, 0.1, 0.4), "overhang_m2": 1e-4}
ROOMY |= {"first_layer_m2": 0.0015, "footprint_m2": 0.01}


def spread(value, low, high):
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.COMPUTED)


def piece(
    number, part="hull", within=(1, 1), hours=(2.0, 1.5, 3.0), made=False, mark=Marking.DIGITS, **lying
):
    value, low, high = (3600.0 * one for one in hours)
    return SimpleNamespace(
        number=number,
        part=part,
        within=within,
        lying=SimpleNamespace(**{**ROOMY, **lying}),
        effort=SimpleNamespace(
            mass=spread(0.1 * number, 0.09 * number, 0.12 * number),
            time=spread(value, low, high),
            filament_m=spread(30.0 * number, 29.0 * number, 32.0 * number),
        ),
        mark=mark,
        is_made=made,
    )


def joint(**changes):
    told = {
        "part": "hull",
        "turned": Turned.ACROSS,
        "station_m": 0.25,
        "roll_rad": None,
        "kind": JointKind.DOWELS,
        "wanted": JointKind.DOWELS,
        "glue_area_m2": 4e-4,
        "dowels": 3,
        "dowel_diameter_m": 3e-3,
        "dowel_depth_m": 8e-3,
        "at_ledge": False,
        "demand": 0.4,
        "through": (),
        "reserve": JointReserve(low=2.5, mode=FailureMode.WALL_PULLED, case=None),
    }
    return SimpleNamespace(**{**told, **changes})


def plan(*pieces, **changes):
    told = {
        "name": "hull",
        "us_units": False,
        "bed_m": (0.25, 0.21, 0.22),
        "clearance_m": 0.2e-3,
        "clearance_measured": True,
        "printer": SimpleNamespace(line_width_m=0.45e-3, speed_m_s=0.06),
        "speed_told": True,
        "learned": SimpleNamespace(
            mass=spread(1.04, 1.0, 1.1), time=spread(1.3, 1.2, 1.4), weighed=2, timed=1
        ),
        "pieces": pieces or (piece(1),),
        "joints": (),
        "holes": (),
        "left_out": (),
        "thin": (),
        "drawn_thin": (),
        "strength": None,
    }
    return SimpleNamespace(**{**told, **changes})


def facts(told):
    return dict(plan_section(told).facts)


def notes(told):
    """Notes beside the one that always stands last."""
    return plan_section(told).notes[:-1]


def test_totals_are_added_up_and_the_dearest_failure_is_the_longest_piece():
    found = facts(plan(piece(1, hours=(4.0, 3.0, 9.0)), piece(2), piece(3)))
    assert found["pieces"] == "3"
    assert found["mass of all"].startswith("600 g")
    assert found["filament"].startswith("180 m")
    assert found["printing"].startswith("8.0 h")
    # Piece 1 may take nine hours and 120 g.
    assert "120 g" in found["a failed piece"]
    assert "9.0 h" in found["a failed piece"]
    assert found["a failed piece"].endswith("piece 1")
    assert found["lines"] == "0.45 mm wide, laid at 60 mm/s"
    assert found["holes"].startswith("0.20 mm")


def test_feet_and_inches_are_told_of_the_same_plan():
    found = facts(plan(us_units=True))
    # 60 mm/s over 25.4 mm; 30 m over 0.3048 m.
    assert found["lines"].endswith("2.36 in/s")
    assert found["filament"] == "98 ft (95 to 105)"


@pytest.mark.parametrize(
    ("hours", "told"),
    [((2.04, 1.5, 3.0), "2.0 h (1.5 to 3.0)"), ((19.9, 19.4, 20.4), "19.9 h (19.4 to 20)")],
)
def test_from_twenty_hours_on_tenths_are_left_out(hours, told):
    assert facts(plan(piece(1, hours=hours)))["printing"].startswith(told)


def test_what_made_pieces_taught_is_told_with_how_many_there_were():
    assert "mass x 1.04 by 2 " in facts(plan())["learned"]
    assert "hours x 1.30 by 1 " in facts(plan())["learned"]

    def learned(weighed, timed):
        one = spread(1.04, 1.0, 1.1)
        return facts(plan(learned=SimpleNamespace(mass=one, time=one, weighed=weighed, timed=timed)))[
            "learned"
        ]

    assert "1.04" not in learned(0, 0)
    assert learned(1, 0).count("1.04") == learned(0, 1).count("1.04") == 1
    assert learned(1, 0) != learned(0, 1)


def test_the_least_reserve_is_told_before_and_after_the_cuts():
    before = JointReserve(low=2.25, mode=FailureMode.WALL_CRUSHED, case=None)
    after = JointReserve(low=100.0, mode=FailureMode.WALL_PULLED, case=None)
    found = facts(plan(strength=PlannedStrength(before=before, after=after, unheld=("hull",))))
    assert found["least reserve"].startswith("2.25 (")
    assert "over 100 (" in found["least reserve"]
    assert "hull" in found["not held"]
    unknown = JointReserve(low=math.nan, mode=FailureMode.WALL_PULLED, case=None)
    nothing = JointReserve(low=2.0, mode=None, case=None)
    found = facts(plan(strength=PlannedStrength(before=unknown, after=nothing)))
    assert found["least reserve"].count("not known") == 2
    assert "not held" not in found
    assert facts(plan())["strength"].startswith("not known")


def test_a_piece_tells_which_way_up_it_stands_and_how_it_is_turned():
    pieces = (
        piece(1),
        piece(2, within=(2, 3), up=(-0.9, 0.1, 0.0), turned_rad=math.radians(30)),
        piece(3, up=(0.5, 0.8, 0.0)),
        piece(4, up=(-0.5, 0.8, 0.0)),
    )
    table = plan_section(plan(*pieces)).tables[0]
    assert table.numbers == (0, 4, 5, 6, 7)
    assert [row[3] for row in table.rows] == ["tip up", "tip down, turned 30 deg", "lying", "lying"]
    assert [row[1] for row in table.rows] == ["hull", "hull, 2 of 3", "hull", "hull"]
    assert table.rows[1] == (
        "2",
        "hull, 2 of 3",
        "100 x 100 x 400 mm",
        "tip down, turned 30 deg",
        "200 g",
        "2.0 (1.5 to 3.0)",
        "1 cm2",
        "15 cm2",
    )


def test_a_joint_tells_where_it_lies_what_holds_it_and_what_loads_it():
    assert len(plan_section(plan()).tables) == 1
    across = joint(at_ledge=True)
    along = joint(
        turned=Turned.ALONG,
        station_m=None,
        roll_rad=math.radians(-90),
        kind=JointKind.GLUE,
        dowels=0,
        demand=None,
        reserve=None,
    )
    table = plan_section(plan(joints=(across, along))).tables[1]
    assert table.numbers == (3,)
    first, second = table.rows
    assert first[1] == "station 250 mm, at a ledge"
    assert first[3:6] == ("4 cm2", "3 of 3.0 mm, 16.0 mm long", "40 % of the hardest")
    assert first[6].startswith("2.50 (")
    assert "270 deg" in second[1]
    assert second[4:] == ("none", "not known", "not known")
    # It was to have dowels.
    assert ":" in second[2]
    assert ":" not in first[2]
    assert joint_place_of(joint()) == "station 250 mm"
    assert "facing 0 deg" in joint_place_of(joint(turned=Turned.ALONG, station_m=None))


def joint_place_of(one):
    return plan_section(plan(joints=(one,))).tables[1].rows[0][1]


def test_only_what_there_is_to_mind_is_noted():
    assert notes(plan()) == ()
    (holes,) = notes(plan(holes=(SimpleNamespace(name="rod", across_m=4.2e-3),)))
    assert "rod 4.20 mm" in holes
    (thin,) = notes(plan(thin=("hull",)))
    assert "0.45 mm: hull" in thin
    (drawn,) = notes(plan(drawn_thin=(DrawnThin(part="hull", station_m=0.12, share=0.35),)))
    assert "0.45 mm" in drawn
    assert "35 %" in drawn
    assert "120 mm" in drawn
    (left,) = notes(plan(left_out=("tube",)))
    assert "tube" in left


def test_pieces_that_are_made_notched_or_bare_are_named_by_their_numbers():
    pieces = (piece(1, made=True), piece(2, mark=Marking.NOTCHES), piece(3, mark=None), piece(4))
    made, notched, bare = notes(plan(*pieces, joints=(joint(),)))
    assert made.endswith("piece 1.")
    assert notched.endswith("piece 2.")
    assert "piece 3 " in bare


@pytest.mark.parametrize(
    ("lying", "wants"),
    [
        ({}, False),
        ({"first_layer_m2": 0.00149}, True),
        ({"size_m": (0.1, 0.2, 0.401)}, True),
        ({"size_m": (0.2, 0.1, 0.399)}, False),
    ],
)
def test_a_brim_helps_what_stands_on_little_or_is_over_four_widths_tall(lying, wants):
    assert len(notes(plan(piece(1, **lying)))) == int(wants)


def test_parts_that_fall_apart_without_a_cut_are_told():
    loose, cut = (piece(1, "loose"), piece(2, "loose")), (piece(3), piece(4))
    (told,) = notes(plan(*loose, *cut, joints=(joint(),)))
    assert told.startswith("loose falls into 2 ")
    assert notes(plan(piece(1), piece(2, "other"))) == ()


def test_a_seam_says_what_it_goes_through_and_a_cut_along_that_it_is_not_seen():
    tube = Barred(why=Why.MOTOR_TUBE, name="motor tube", fore_m=0.2, aft_m=0.6)
    root = Barred(why=Why.FIN_ROOT, name="fins", fore_m=0.2, aft_m=0.6)
    amid, through = notes(plan(piece(1), piece(2), joints=(joint(through=(tube, root)),)))
    assert "250 mm" in amid
    assert "motor tube" in amid
    assert "fin root of fins" in through
    along = joint(turned=Turned.ALONG, station_m=None, roll_rad=0.0)
    assert len(notes(plan(piece(1), piece(2), joints=(along,)))) == 1
