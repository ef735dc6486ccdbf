"""Motions of a printer: a box whose lines are written here, arcs and units against geometry."""

import math
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from finial.core.errors import MotionError, OutsideRange
from finial.files.gcode import motions_of, read_motions
from finial.printing.laid import PrintMoves, laid

HERE = Path("box.gcode")
WIDTH, LAYER, SECTION = 0.45, 0.2, math.pi / 4 * 1.75**2


def box(side_mm: float, lines: int, layers: int, infill_every_mm: float = 8.0) -> tuple[str, float]:
    """Square box of some lines with sparse infill, relative E; and its filament [mm], added up here."""
    out, filament = ["; a box", "G21", "G90", "M83", "G28", "G1 F3000"], 0.0

    def to(x: float, y: float, start: tuple[float, float]) -> None:
        nonlocal filament
        pushed = math.hypot(x - start[0], y - start[1]) * WIDTH * LAYER / SECTION
        filament += pushed
        out.append(f"G1 X{x:.4f} Y{y:.4f} E{pushed:.6f}")

    for layer in range(layers):
        out.append(f"G0 Z{(layer + 1) * LAYER:.3f} F6000")
        for line in range(lines):
            low, high = WIDTH / 2 + line * WIDTH, side_mm - WIDTH / 2 - line * WIDTH
            corners = [(low, low), (high, low), (high, high), (low, high), (low, low)]
            out.append(f"G1 E-0.8 F1800\nG0 X{low} Y{low} F9000\nG1 E0.8 F1800\nG1 F3000")
            for start, end in pairwise(corners):
                to(*end, start)
        inner = lines * WIDTH + WIDTH
        for x in np.arange(inner + infill_every_mm, side_mm - inner, infill_every_mm):
            out.append(f"G0 X{x} Y{inner}")
            to(float(x), side_mm - inner, (float(x), inner))
    return "\n".join(out), filament


@pytest.mark.parametrize("lines", [1, 2, 4])
def test_the_wall_is_counted_line_by_line(lines: int) -> None:
    text, filament = box(60.0, lines, 12)
    told = motions_of(text, HERE)
    found = laid(_moves(told))
    assert found.filament_m == pytest.approx(1e-3 * filament, rel=1e-4)
    assert found.plastic_m3 == pytest.approx(1e-9 * filament * SECTION, rel=1e-4)
    assert (found.layers, found.layer_m) == (12, pytest.approx(2e-4))
    assert found.lines == lines
    assert found.line_m == pytest.approx(4.5e-4, rel=1e-3)
    assert found.wall.value == pytest.approx(1e-3 * WIDTH * lines, rel=0.02)


def _moves(told) -> PrintMoves:
    return PrintMoves(
        starts_mm=told.starts_mm,
        ends_mm=told.ends_mm,
        fed_mm=told.fed_mm,
        speeds_mm_s=told.speeds_mm_s,
        dwell_s=told.dwell_s,
    )


def test_time_is_length_over_speed_and_waits() -> None:
    """100 mm at 3000 mm/min is 2 s, 0.8 mm drawn back at 30 mm/s, half a second of waiting."""
    told = motions_of("G21 G90 M83\nG1 X100 E3 F3000\nG1 E-0.8 F1800\nG4 P500", HERE)
    assert laid(_moves(told)).time.low == pytest.approx(2.0 + 0.8 / 30 + 0.5)
    assert laid(_moves(told)).time.high == pytest.approx(1.35 * (2.5 + 0.8 / 30))


@pytest.mark.parametrize(
    ("arc", "length"),
    [
        ("G2 X20 Y0 I10 J0", 10 * math.pi),
        ("G3 X10 Y10 I10 J0", 3 * math.pi / 2 * 10),
        ("G2 X10 Y10 I10 J0", math.pi / 2 * 10),
        ("G2 X0 Y0 I10 J0", 20 * math.pi),
        ("G2 X10 Y10 R10", math.pi / 2 * 10),
        ("G3 X10 Y10 R-10", 3 * math.pi / 2 * 10),
    ],
)
def test_arcs_are_as_long_as_their_angle_says(arc: str, length: float) -> None:
    told = motions_of(f"G21 G90 M83\n{arc} E5 F600", HERE)
    chords = np.linalg.norm(told.ends_mm - told.starts_mm, axis=1).sum()
    assert chords == pytest.approx(length, rel=1e-3)
    assert told.fed_mm.sum() == pytest.approx(5.0)


def test_inches_steps_and_e_from_zero() -> None:
    told = motions_of("G20 G91\nG1 X1 E0.1 F60\nX1 E0.1\nG90 G92 E0 X0\nG1 X1 E0.2", HERE)
    assert told.ends_mm[:, 0] == pytest.approx([25.4, 50.8, 25.4])
    assert told.fed_mm == pytest.approx([2.54, 2.54, 5.08])
    assert told.speeds_mm_s == pytest.approx([25.4 / 60 * 60 / 60 * 60] * 3)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("G1 X10 Y10", "no move that pushes filament"),
        ("M83\nG1 X1o E1", "X1o"),
        ("M83\nG1 Xnan E1", "Xnan"),
        ("M83\nG2 X100 R1 E1", "an arc whose radius does not reach"),
        ("", "no move that pushes filament"),
    ],
)
def test_what_cannot_be_read_is_told_with_its_line(text: str, why: str) -> None:
    with pytest.raises(MotionError, match=why):
        motions_of(text, HERE)


def test_files_that_are_none_are_refused(tmp_path) -> None:
    with pytest.raises(MotionError, match="in the motions"):
        read_motions(tmp_path / "none.gcode")
    (tmp_path / "binary.gcode").write_bytes(b"GCDE\x01\x00\xff\xfe\x80")
    with pytest.raises(MotionError, match="not in binary"):
        read_motions(tmp_path / "binary.gcode")


def test_plastic_pushed_in_one_place_lays_nothing() -> None:
    still = PrintMoves(
        starts_mm=np.zeros((1, 3)), ends_mm=np.zeros((1, 3)), fed_mm=np.ones(1), speeds_mm_s=np.ones(1)
    )
    with pytest.raises(OutsideRange, match="no move lays plastic"):
        laid(still)


@pytest.mark.parametrize(("home", "start"), [("G28 X0", [0.0, 20.0, 5.0]), ("G28", [0.0, 0.0, 0.0])])
def test_only_the_axes_that_are_named_go_home(home: str, start: list[float]) -> None:
    told = motions_of(f"G21 G90 M83\nG1 X10 Y20 Z5 E1 F600\n{home}\nG1 X10 E1", HERE)
    assert told.starts_mm[-1].tolist() == start
    assert told.ends_mm[-1].tolist() == [10.0, *start[1:]]


def test_waits_in_milliseconds_and_in_seconds_add_up() -> None:
    assert motions_of("M83\nG4 S2 P500\nG4 S1\nG1 X1 E1 F60", HERE).dwell_s == pytest.approx(3.5)


def test_the_wall_is_that_of_the_middle_layers() -> None:
    """One line below and above, three amid: floors and roofs have lines that are no wall."""
    rows = [
        (start, end, level, side)
        for level in range(1, 13)
        for inset in range(3 if 4 <= level <= 9 else 1)
        for start, end, side in _square(30.0, WIDTH * (inset + 0.5))
    ]
    moves = PrintMoves(
        starts_mm=np.array([[*start, LAYER * level] for start, _, level, _ in rows]),
        ends_mm=np.array([[*end, LAYER * level] for _, end, level, _ in rows]),
        fed_mm=np.array([side * WIDTH * LAYER / SECTION for *_, side in rows]),
        speeds_mm_s=np.ones(len(rows)),
    )
    found = laid(moves)
    assert (found.layers, found.lines) == (12, 3.0)
    assert found.wall.value == pytest.approx(3e-3 * WIDTH, rel=0.02)


def _square(side_mm: float, inset_mm: float):
    low, high = inset_mm, side_mm - inset_mm
    corners = [(low, low), (high, low), (high, high), (low, high), (low, low)]
    return [(start, end, high - low) for start, end in pairwise(corners)]
