"""Air loads from a file: a grid in SI, or a fault that says what to write."""

from pathlib import Path

import numpy as np
import pytest

from finial.core.errors import BuildSheetError
from finial.files.air_columns import read_air_columns

HEADING = "angle (deg), force (-), force_low (-), force_high (-), place (mm), place_low (mm), place_high (mm)"
ROWS = "0, 0, 0, 0, 610, 590, 650\n10, 1.9, 1.6, 2.0, 600, 580, 640\n"


def written(folder: Path, text: str) -> Path:
    path = folder / "tunnel.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_columns_are_read_in_si(tmp_path: Path) -> None:
    found = read_air_columns(written(tmp_path, f"# an invented tunnel\n{HEADING}\n{ROWS}"))
    assert found.angles_rad == pytest.approx(np.radians([0.0, 10.0]))
    assert found.rolls_rad.tolist() == found.machs.tolist() == [0.0]
    assert found.force[:, 1, 0, 0].tolist() == [1.6, 1.9, 2.0]
    assert found.place_m[:, 0, 0, 0] == pytest.approx([0.59, 0.61, 0.65])
    assert found.axial is None
    assert not found.force.flags.writeable


def test_rows_in_any_order_fill_the_grid(tmp_path: Path) -> None:
    heading = f"mach (-), roll (rad), {HEADING}, axial (-), axial_low (-), axial_high (-)"
    rows = [
        f"{mach}, {roll}, {angle}, {force}, {force}, {force}, 60, 50, 70, 0.5, 0.4, 0.6"
        for mach in (0.6, 0.3)
        for roll in (0.5, 0.0)
        for angle, force in ((20, 4 + mach + roll), (10, 2 + mach + roll))
    ]
    found = read_air_columns(written(tmp_path, "\n".join([heading, *rows])))
    assert found.machs.tolist() == [0.3, 0.6]
    assert found.rolls_rad.tolist() == [0.0, 0.5]
    assert found.force[1].ravel() == pytest.approx([2.3, 2.6, 2.8, 3.1, 4.3, 4.6, 4.8, 5.1])
    assert found.axial is not None
    assert found.axial[:, 0, 0, 0].tolist() == [0.4, 0.5, 0.6]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "a heading of names with units"),
        ("angle (deg), force (-)\n0, 1\n", "no column force_low"),
        (HEADING + ", lift (-)\n" + ROWS, "column lift"),
        (HEADING.replace("(deg)", "(V)") + "\n" + ROWS, "unit V"),
        (HEADING.replace("force (-)", "force (N)") + "\n" + ROWS, "unit N"),
        (HEADING + ", axial (-)\n" + ROWS, "no column axial_low, axial_high"),
        (HEADING + "\n", "no rows"),
        (HEADING + "\n0, 1, x, 2, 3, 4, 5\n", "7 numbers"),
        (HEADING + "\n10, 1, 2, 3, 610, 590, 650\n", "force_low, force, force_high that rise"),
        (HEADING + "\n-4, 1, 1, 1, 610, 590, 650\n", "0 to 180 deg"),
        (HEADING + "\n" + ROWS + "10, 1.9, 1.6, 2.0, 600, 580, 640\n", "once"),
        (HEADING + "\n0, 0, 0, 0, 610, 590, 650\n", "no angle above 0"),
        ("mach (-), " + HEADING + "\n1.2, 10, 1, 1, 1, 610, 590, 650\n", "Mach numbers of 0 to 0.9"),
    ],
)
def test_what_is_no_table_is_refused(tmp_path: Path, text: str, words: str) -> None:
    with pytest.raises(BuildSheetError) as refused:
        read_air_columns(written(tmp_path, text))
    assert words in str(refused.value)


@pytest.mark.parametrize("twice", ["angle (deg)", "force_low (-)", "roll (deg), roll (deg)"])
def test_a_column_that_comes_twice_is_refused(tmp_path: Path, twice: str) -> None:
    more = twice.count(",") + 1
    rows = "\n".join(f"{row}{', 0' * more}" for row in ROWS.splitlines())
    with pytest.raises(BuildSheetError, match=f"column {twice.split()[0]}"):
        read_air_columns(written(tmp_path, f"{HEADING}, {twice}\n{rows}"))
