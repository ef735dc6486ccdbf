"""Words of a printer's motions, each against what it moves: places, arcs, units, filament and waits."""

import math
from pathlib import Path

import numpy as np
import pytest

from finial.core.errors import MotionError
from finial.files.gcode import motions_of, read_motions

HERE = Path("words.gcode")


def told(*lines):
    return motions_of("\n".join(("G21 G90 M83", "G1 F600", *lines)), HERE)


def ends(*lines):
    return told(*lines).ends_mm.tolist()


def test_each_move_goes_from_where_the_last_one_ended() -> None:
    found = told("G0 X1 Y2 Z3", "G1 X4 E1 F1200", "Y5 E1")
    assert found.starts_mm.tolist() == [[0, 0, 0], [1, 2, 3], [4, 2, 3]]
    assert found.ends_mm.tolist() == [[1, 2, 3], [4, 2, 3], [4, 5, 3]]
    assert found.fed_mm.tolist() == [0, 1, 1]
    assert found.speeds_mm_s.tolist() == [10, 20, 20]


def test_a_move_that_goes_nowhere_is_one_only_where_it_pushes() -> None:
    assert len(told("G1 X0", "G1 X1 E1", "G1 X1", "G1 E2").fed_mm) == 2
    assert told("G1 X1 E1", "G1 E-0.5").fed_mm.tolist() == [1, -0.5]


def test_places_are_absolute_or_steps_and_so_is_filament() -> None:
    assert ends("G91", "G1 X2 Y1 E1", "G1 X2 E1", "G90", "G1 X1 E1") == [[2, 1, 0], [4, 1, 0], [1, 1, 0]]
    assert motions_of("M82\nG1 X1 E1\nG1 X2 E3", HERE).fed_mm.tolist() == [1, 2]
    assert motions_of("M83\nG1 X1 E1\nG1 X2 E3", HERE).fed_mm.tolist() == [1, 3]
    # G90 and G91 turn the filament with them, until M82 or M83 says otherwise.
    assert motions_of("G91\nG1 X1 E1\nG1 X1 E3", HERE).fed_mm.tolist() == [1, 3]
    assert motions_of("G91\nG90\nG1 X1 E1\nG1 X2 E3", HERE).fed_mm.tolist() == [1, 2]
    assert motions_of("G91 M82\nG1 X1 E1\nG1 X1 E3", HERE).fed_mm.tolist() == [1, 2]


@pytest.mark.parametrize(("inch", "mm"), [("G20", "G21"), ("G70", "G71")])
def test_inches_scale_places_filament_and_speeds_until_millimetres_return(inch: str, mm: str) -> None:
    found = motions_of(f"M83 {inch}\nG1 X1 E0.5 F60\n{mm}\nG1 X50.8 E2 F60", HERE)
    assert found.ends_mm[:, 0] == pytest.approx([25.4, 50.8])
    assert found.fed_mm == pytest.approx([12.7, 2.0])
    assert found.speeds_mm_s == pytest.approx([25.4, 1.0])


def test_a_place_is_renamed_without_moving() -> None:
    found = told("G1 X10 Y20 E1", "G92 X0 Z5", "G1 X1 E1")
    assert found.starts_mm[-1].tolist() == [0, 20, 5]
    assert found.ends_mm[-1].tolist() == [1, 20, 5]
    assert motions_of("M82\nG1 X1 E5\nG92 E0\nG1 X2 E1", HERE).fed_mm.tolist() == [5, 1]
    assert motions_of("M82\nG1 X1 E5\nG92 X0\nG1 X2 E6", HERE).fed_mm.tolist() == [5, 1]
    kept = motions_of("M82 G20\nG1 X1 E1\nG92 X2\nG1 X3 E3", HERE)
    assert kept.fed_mm == pytest.approx([25.4, 50.8])
    inches = motions_of("M82 G20\nG1 X1 Y1 E1\nG92 X2 E2\nG1 X3 E3", HERE)
    assert inches.starts_mm[-1] == pytest.approx([50.8, 25.4, 0.0])
    assert inches.fed_mm == pytest.approx([25.4, 25.4])


@pytest.mark.parametrize(
    ("home", "start"),
    [("G28 X0", [0, 20, 5]), ("G28 X Y0", [10, 0, 5]), ("G28 Y0 Z0", [10, 0, 0]), ("G28", [0, 0, 0])],
)
def test_only_the_axes_that_are_named_go_home(home: str, start: list[float]) -> None:
    found = told("G1 X10 Y20 Z5 E1", home, "G1 X11 E1")
    assert found.starts_mm[-1].tolist() == start
    assert len(found.fed_mm) == 2


def test_waits_add_up_in_milliseconds_and_in_seconds_and_move_nothing() -> None:
    found = told("G4 S2 P500", "G4 S1 X9", "G1 X1 E1", "G4")
    assert found.dwell_s == pytest.approx(3.5)
    assert found.ends_mm.tolist() == [[1, 0, 0]]


def test_words_that_move_nothing_are_passed_over() -> None:
    lines = ("M104 S200 X5", "T1 X5", "; G1 X5 E1", "(G1 X5 E1) G1 X1 E1", "G29 X7", "N10 G1 X2 E1 * 71", "%")
    assert ends(*lines) == [[1, 0, 0], [2, 0, 0]]


def measured(found):
    return float(np.linalg.norm(found.ends_mm - found.starts_mm, axis=1).sum())


@pytest.mark.parametrize(
    ("arc", "length", "far"),
    [
        ("G2 X20 Y0 I10 J0", 10 * math.pi, (10, 10)),
        ("G3 X20 Y0 I10 J0", 10 * math.pi, (10, -10)),
        ("G3 X10 Y10 I10 J0", 15 * math.pi, (17.071, -7.071)),
        ("G2 X10 Y10 I10", 5 * math.pi, (2.929, 7.071)),
        ("G2 X10 Y10 J10", 15 * math.pi, (-7.071, 17.071)),
        ("G2 X0 Y0 I10 J0", 20 * math.pi, (20, 0)),
        ("G3 X0 Y0 I0 J-10", 20 * math.pi, (0, -20)),
        ("G2 X10 Y10 R10", 5 * math.pi, (2.929, 7.071)),
        ("G3 X10 Y10 R10", 5 * math.pi, (7.071, 2.929)),
        ("G3 X10 Y10 R-10", 15 * math.pi, (17.071, -7.071)),
        ("G2 X10 Y10 R-10", 15 * math.pi, (-7.071, 17.071)),
    ],
)
def test_an_arc_is_as_long_as_its_angle_says_and_bends_to_its_side(arc, length, far) -> None:
    found = told(f"{arc} E5")
    assert measured(found) == pytest.approx(length, rel=1e-3)
    assert found.fed_mm.sum() == pytest.approx(5.0)
    nearest = np.linalg.norm(found.ends_mm[:, :2] - np.array(far), axis=1).min()
    # The middle of the arc lies on a chord's end or half a chord beside it.
    assert nearest < 0.26


@pytest.mark.parametrize(
    ("arc", "length", "far"),
    [
        ("G2 X13 Y4 I5", 5 * math.pi, (8, 9)),
        ("G3 X3 Y14 J5", 5 * math.pi, (8, 9)),
        ("G2 X13 Y14 R10", 5 * math.pi, (5.929, 11.071)),
        ("G3 X3 Y4 I-2 J-2", 2 * math.pi * 8**0.5, (1, -0.828)),
    ],
)
def test_an_arc_starts_where_the_nozzle_stands(arc, length, far) -> None:
    found = told("G1 X3 Y4 Z2", f"{arc} Z3 E5")
    assert measured(found) - 29**0.5 == pytest.approx(length, rel=5e-3)
    assert np.linalg.norm(found.ends_mm[:, :2] - np.array(far), axis=1).min() < 0.26
    assert (found.ends_mm[0, 2], found.ends_mm[-1, 2]) == (2.0, 3.0)
    assert np.diff(found.ends_mm[:, 2]).max() < 0.1


def test_the_first_words_stand_in_millimetres_from_the_origin_at_no_speed() -> None:
    found = motions_of("G1 X1 E1\nG1 X2 E3 F60", HERE)
    assert found.ends_mm[:, 0].tolist() == [1, 2]
    assert found.fed_mm.tolist() == [1, 2]
    assert found.speeds_mm_s.tolist() == [0, 1]
    assert motions_of("X3 E1", HERE).ends_mm.tolist() == [[3, 0, 0]]


def test_an_arc_is_drawn_in_chords_of_half_a_millimetre_that_rise_evenly() -> None:
    found = told("G1 X5 E1", "G3 X-5 Y0 Z8 I-5 J0 E4 F300")
    chords = np.linalg.norm(found.ends_mm[1:, :2] - found.starts_mm[1:, :2], axis=1)
    # Five times pi over 0.5 is 31.4.
    assert len(chords) == 32
    assert np.ptp(chords) < 1e-9
    assert np.diff(found.ends_mm[1:, 2]) == pytest.approx(np.full(31, 0.25))
    assert found.ends_mm[-1].tolist() == [-5, 0, 8]
    assert found.starts_mm[2].tolist() == found.ends_mm[1].tolist()
    assert found.fed_mm[1:] == pytest.approx(np.full(32, 0.125))
    assert found.speeds_mm_s[[0, -1]].tolist() == [10, 5]


def test_arcs_in_inches_and_without_a_middle() -> None:
    inches = motions_of("M83 G20\nG2 X2 Y0 I1 J0 E1 F60", HERE)
    assert measured(inches) == pytest.approx(25.4 * math.pi, rel=1e-3)
    for arc in ("G2 X1 Y1 J1 E1", "G2 X1 Y1 R-1 E1"):
        found = motions_of(f"M83 G20\n{arc}", HERE)
        assert measured(found) == pytest.approx(25.4 * 1.5 * math.pi, rel=1e-3)
    # No middle and no radius: a straight line.
    assert ends("G2 X3 Y4 E1") == [[3, 4, 0]]
    # A radius of half the chord is enough; half a thousandth less is not.
    assert measured(told("G2 X10 R5 E1")) == pytest.approx(5 * math.pi, rel=1e-3)


@pytest.mark.parametrize(
    ("text", "line", "why"),
    [
        ("G1 X10 Y10", None, "no move that pushes filament"),
        ("", None, "no move that pushes filament"),
        ("M83\nG1 X1o E1", 2, "X1o"),
        ("M83\nG1 Xnan E1", 2, "Xnan"),
        ("M83\nG1 X1e999 E1", 2, "finite"),
        ("M83\n\nG2 X100 R1 E1", 3, "an arc whose radius does not reach"),
        ("M83\nG2 X10 R4.999 E1", 2, "an arc whose radius does not reach"),
        ("M83\nG2 X0 Y0 R4 E1", 2, "an arc whose radius does not reach"),
    ],
)
def test_what_cannot_be_read_is_told_with_its_line(text: str, line: int | None, why: str) -> None:
    with pytest.raises(MotionError, match=why) as refused:
        motions_of(text, HERE)
    assert refused.value.faults[0].line == line


def test_files_that_are_none_are_refused(tmp_path) -> None:
    with pytest.raises(MotionError, match="in the motions"):
        read_motions(tmp_path / "none.gcode")
    (tmp_path / "binary.gcode").write_bytes(b"GCDE\x01\x00\xff\xfe\x80")
    with pytest.raises(MotionError, match="not in binary"):
        read_motions(tmp_path / "binary.gcode")
    (tmp_path / "box.gcode").write_text("M83\nG1 X1 E1 F60\n", encoding="utf-8")
    assert read_motions(tmp_path / "box.gcode").fed_mm.tolist() == [1]
