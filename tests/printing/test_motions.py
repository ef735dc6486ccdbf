"""Motions of a printer: a box whose lines are written here."""

import math
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.files.gcode import motions_of
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


def test_plastic_pushed_in_one_place_lays_nothing() -> None:
    still = PrintMoves(
        starts_mm=np.zeros((1, 3)), ends_mm=np.zeros((1, 3)), fed_mm=np.ones(1), speeds_mm_s=np.ones(1)
    )
    with pytest.raises(OutsideRange, match="no move lays plastic"):
        laid(still)


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
