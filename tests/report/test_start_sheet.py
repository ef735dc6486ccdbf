"""The sheet that is begun from meshes: every number that was found stands where its key is."""

import math
import re
import tomllib
from types import SimpleNamespace

import pytest

from finial.report.shown import Shown
from finial.report.start_sheet import PROPOSED, Beginning, MeshLine, bare_sheet, start_sheet
from finial.report.start_words import motor_words, piece_words, room_words, standing_words
from finial.shape.pieces.upright import Sign, Sureness, Upright

METRIC = Shown(us_units=False)
SURE = next(iter(Sureness))


def upright(**changes):
    return Upright(**{"up": "-y", "axis": SURE, "tip": SURE, "signs": ((Sign.LONG, 4.25),), **changes})


def arranged(order=(1, 0), inner=(False, False), stack=None):
    return SimpleNamespace(
        upright=upright(), inner=inner, order=order, stack=stack, drawn=SimpleNamespace(apart=None, which=())
    )


def beginning(us_units=False, **changes):
    told = {
        "title": "two tiers",
        "arranged": arranged(),
        "meshes": (
            MeshLine(name="hull", file="meshes/hull.stl", unit="mm", notes=("mended: a hole",)),
            MeshLine(name="cap", file="meshes/cap.3mf", unit=None),
        ),
        "us_units": us_units,
        "material": "PLA",
    }
    return Beginning(**{**told, **changes})


def piece(name, *, is_shell=False, hollow_share=0.9, wall_m=2e-3):
    return SimpleNamespace(name=name, is_shell=is_shell, hollow_share=hollow_share, wall_m=wall_m)


def room(fore_m, aft_m, across_m=0.05, *, is_round=True, is_straight=True):
    return SimpleNamespace(
        fore_m=fore_m,
        aft_m=aft_m,
        across_m=across_m,
        is_round=is_round,
        is_straight=is_straight,
        length_m=aft_m - fore_m,
    )


def bore(*, is_bore=True):
    return SimpleNamespace(is_bore=is_bore, across_m=0.0545, depth_m=lambda across_m: 10 * across_m)


def found(**changes):
    told = {
        "length_m": 1.2,
        "width_m": 0.1,
        "pieces": (piece("hull"), piece("cap", is_shell=True)),
        "rooms": (room(0.3, 0.5),),
        "motor": bore(),
        "rods": (),
        "fins": (),
        "opening": SimpleNamespace(joint_m=0.45, ahead="cap", behind="hull", bay=room(0.3, 0.5, 0.09)),
        "buttons": SimpleNamespace(fore_m=0.55, aft_m=1.05, at_rad=-math.pi / 4, rail_from_axis_m=0.0612),
        "ballast_m": 0.125,
        "notes": (),
    }
    return SimpleNamespace(**{**told, **changes})


def proposed(text):
    """Read the sheet with every proposal taken on."""
    return tomllib.loads("\n".join(line.removeprefix(PROPOSED) for line in text.splitlines()))


def test_every_number_that_was_found_stands_at_its_key():
    sheet = proposed(start_sheet(beginning(), found()))
    assert sheet["vehicle"] == {"name": "two tiers", "up": "-y", "show_units": "metric"}
    assert sheet["motor"] == {
        "data": "motors/?.toml",
        "nozzle_station": "1200 mm",
        "takes": "54.5 mm",
        "room": "545 mm",
    }
    assert sheet["guide"] == {"buttons": ["550 mm", "1050 mm"], "at": "315 deg", "rail_from_axis": "61.2 mm"}
    assert sheet["item"][0]["station"] == "125 mm"
    recovery = sheet["recovery"]
    assert recovery["joint"][0]["station"] == "450 mm"
    assert recovery["bay"][0]["stations"] == ["300 mm", "500 mm"]
    assert (recovery["bay"][0]["diameter"], recovery["bay"][0]["round_tube"]) == ("90 mm", True)
    assert recovery["canopy"][0]["station"] == "400 mm"
    assert sheet["launch"]["wind_from"] == "? deg"
    assert sheet["print"]["bed"] == ["?", "?", "?"]


def test_a_first_set_of_fins_is_as_large_as_the_vehicle_asks():
    # 0.22 of the length, 0.8 of the width out, swept by 0.6 of that, the tip half of the root.
    (fins,) = proposed(start_sheet(beginning(), found()))["fin"]
    assert fins["outline"] == [["0 mm", "0 mm"], ["48 mm", "80 mm"], ["180 mm", "80 mm"], ["264 mm", "0 mm"]]
    assert (fins["station"], fins["count"], fins["first_at"]) == ("936 mm", 4, "45 deg")
    # Where the vehicle is wide and short, the sweep is the root's at most.
    (fins,) = proposed(start_sheet(beginning(), found(length_m=0.1, width_m=0.1)))["fin"]
    assert fins["outline"][1] == ["22 mm", "80 mm"]
    drawn = SimpleNamespace(count=3, thickness_m=5e-3, station_m=0.9, first_at_rad=0.0)
    assert "fin" not in proposed(start_sheet(beginning(), found(fins=(drawn,))))


def test_parts_stand_from_the_tip_with_what_is_guessed_of_them():
    text = start_sheet(beginning(), found())
    cap, hull = tomllib.loads(text)["part"]
    assert cap == {"name": "cap", "mesh": "meshes/cap.3mf", "material": "PLA", "guessed": True}
    assert hull["mesh_unit"] == "mm"
    assert hull["print"] == {"wall": "1.6 mm", "infill": "15 %", "layers_along": "y"}
    told = start_sheet(beginning(material="PETG", material_told=True), found())
    assert told.count("GUESS.") == text.count("GUESS.") - 2
    inner = beginning(arranged=arranged(inner=(True, False)))
    assert tomllib.loads(start_sheet(inner, found()))["part"][1]["outside"] is False
    assert "mended: a hole" in text


def test_a_bare_sheet_holds_the_meshes_alone():
    sheet = tomllib.loads(bare_sheet(beginning()))
    assert [part["name"] for part in sheet["part"]] == ["cap", "hull"]
    assert set(sheet) == {"vehicle", "part"}
    assert "guessed" not in sheet["part"][0]


def test_a_us_sheet_is_written_in_inches():
    sheet = proposed(start_sheet(beginning(us_units=True), found()))
    assert sheet["vehicle"]["show_units"] == "us"
    assert sheet["motor"]["nozzle_station"] == "47.24 in"
    assert sheet["part"][1]["print"]["wall"] == "0.063 in"
    assert sheet["item"][0]["mass"] == "? oz"
    assert (sheet["launch"]["wind"], sheet["launch"]["temperature"]) == ("? mph", "? degF")
    assert sheet["fin"][0]["thickness"] == "? in"


def test_holes_for_rods_are_written_with_their_circle_and_their_thread():
    holes = SimpleNamespace(
        count=3, across_m=5.4e-3, on_circle_m=0.09, first_at_rad=math.radians(30), fore_m=0.3, aft_m=1.19
    )
    text = start_sheet(
        beginning(),
        found(rods=(SimpleNamespace(holes=holes, thread="M5"), SimpleNamespace(holes=holes, thread=""))),
    )
    first, second = proposed(text)["rod"]
    assert (first["thread"], second["thread"]) == ("M5", "?")
    assert (first["count"], first["on_circle"], first["first_at"]) == (3, "90 mm", "30 deg")
    assert (first["stations"], first["preload"]) == (["300 mm", "1190 mm"], "? N")
    assert "M5 goes through" in " ".join(text.replace("\n#", " ").split())
    assert "rod" not in proposed(start_sheet(beginning(), found()))


def test_what_was_not_found_is_left_open():
    nothing = found(motor=None, opening=None, rooms=())
    sheet = proposed(start_sheet(beginning(motors=("best.toml", "other.toml")), nothing))
    assert sheet["motor"] == {"data": "motors/best.toml", "nozzle_station": "1200 mm"}
    recovery = sheet["recovery"]
    assert (recovery["joint"][0]["station"], recovery["bay"][0]["stations"]) == ("?", ["?", "?"])
    assert (recovery["bay"][0]["round_tube"], recovery["canopy"][0]["station"]) == (False, "?")
    roomy = proposed(start_sheet(beginning(), found(motor=bore(is_bore=False))))
    assert "takes" not in roomy["motor"]
    no_bay = SimpleNamespace(joint_m=0.45, ahead="cap", behind="hull", bay=None)
    open_bay = proposed(start_sheet(beginning(), found(opening=no_bay)))["recovery"]
    assert (open_bay["joint"][0]["station"], open_bay["bay"][0]["diameter"]) == ("450 mm", "?")


def test_no_line_of_words_is_longer_than_an_editor_shows():
    for us_units in (False, True):
        lines = start_sheet(beginning(us_units=us_units), found()).splitlines()
        assert max(len(line) for line in lines if line.startswith("# ") and "----" not in line) <= 110


@pytest.mark.parametrize(
    ("hollow_share", "wall_mm", "is_shell", "begins"),
    [
        (0.19, 2.0, False, "drawn solid but"),
        (0.2, 2.0, False, "hollow in part"),
        (0.49, 2.0, False, "hollow in part"),
        (0.5, 2.0, False, "hollow:"),
        (0.9, 15.0, False, "hollow:"),
        (0.9, 15.1, False, "thick"),
        (0.9, 15.1, True, "a shell"),
        (0.0, math.nan, False, "drawn solid, bores"),
    ],
)
def test_a_part_is_called_hollow_or_solid_by_its_cuts_and_its_wall(hollow_share, wall_mm, is_shell, begins):
    one = piece("it", is_shell=is_shell, hollow_share=hollow_share, wall_m=1e-3 * wall_mm)
    said = piece_words(one, METRIC)
    assert said.startswith(begins)
    if begins.startswith("hollow"):
        assert f"{100 * hollow_share:.0f} %" in said
        assert f"{wall_mm:.1f} mm" in said


def test_room_at_the_base_and_along_the_axis_is_told_in_its_size():
    assert "54.5 mm across and 545 mm deep" in motor_words(bore(), METRIC)
    tube = motor_words(bore(is_bore=False), METRIC)
    assert "54.5 mm across" in tube
    assert "a tube of 27.2 mm goes in 272 mm" in tube
    rooms = found(
        rooms=(room(0.1, 0.1151), room(0.2, 0.214), room(0.3, 0.5, is_round=False, is_straight=False))
    )
    first, last = room_words(rooms, METRIC)
    assert "50.0 mm across, from station 100 mm to 115 mm" in first
    assert "300 mm to 500 mm" in last
    assert len(first) < len(last)


@pytest.mark.parametrize(("mismatch", "common"), [((0.02, 0.05), None), ((0.02, 0.06), 94)])
def test_pieces_on_one_another_tell_where_their_ends_match_least(mismatch, common):
    names = ["hull", "cap"]
    said = standing_words(arranged(stack=SimpleNamespace(mismatch=mismatch)), names)
    assert "cap, hull" in said
    assert re.findall(r"(\d+) %", said) == ([] if common is None else [str(common)])
    within = standing_words(arranged(inner=(True, False)), names)
    assert within.endswith("hull")
    assert standing_words(arranged(order=(0,)), ["hull"]) == standing_words(arranged(order=(0,)), ["cap"])
