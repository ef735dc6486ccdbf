"""Logs read by their mapping: separators, counts, empty cells, odd rows; and what a guess proposes."""

import tomllib

import numpy as np
import pytest

from finial.core.errors import LogError
from finial.files.flight_log import rows as rows_module
from finial.files.flight_log.guess import LogQuestion, answered, guesses, mapping_text
from finial.files.flight_log.mapping import read_mapping
from finial.files.flight_log.read import read_log
from finial.files.flight_log.rows import columns_of, log_text

G = 9.80665


@pytest.fixture
def read(tmp_path):
    def run(content, mapping):
        (tmp_path / "a.csv").write_bytes(content if isinstance(content, bytes) else content.encode())
        (tmp_path / "a.toml").write_text(mapping, encoding="utf-8")
        return read_log(tmp_path / "a.csv", read_mapping(tmp_path / "a.toml"))

    return run


def table(mark, count=40, decimal="."):
    lines = [
        mark.join(("t", "p", "a")),
        *(mark.join((f"{n}", f"{900 + n}.5", f"{n}.25")) for n in range(count)),
    ]
    return "\n".join(lines).replace(".", decimal) + "\n"


MAPPING = """
[time]
column = "t"
unit = "ms"
[pressure]
column = "p"
unit = "hPa"
[acceleration]
x = "a"
unit = "g"
up = "+x"
"""


@pytest.mark.parametrize("mark", [",", ";", "\t", " ", "   "])
def test_any_separator_and_its_units(read, mark):
    found = read(table(mark), MAPPING)
    assert found.counts[:3].tolist() == [0.0, 0.001, 0.002]
    assert found.pressure_pa[3] == pytest.approx(90350.0)
    assert found.felt_m_s2[2, 0] == pytest.approx(2.25 * G)
    assert np.isnan(found.felt_m_s2[:, 1:]).all()
    assert found.lines[:2].tolist() == [2, 3]


def test_decimal_commas(read):
    found = read(table(";", decimal=","), "decimal_comma = true\n" + MAPPING)
    assert found.pressure_pa[3] == pytest.approx(90350.0)


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "latin-1"])
def test_other_encodings(read, encoding):
    content = table(",").replace("t,p,a", "t,p,a").replace("\n", "\r\n")
    assert read(("# 20 °C\r\n" + content).encode(encoding), MAPPING).pressure_pa[3] == pytest.approx(90350.0)


def test_preamble_comments_and_blank_lines_are_passed_over(read):
    content = table(",").replace("\n5,", "\n\n# note\n5,")
    found = read("A recorder\nserial,7\n\n" + content, MAPPING)
    assert len(found.counts) == 40
    assert found.lines[5] == 12


def test_empty_cells_are_not_a_number_by_the_fast_way_and_the_slow(read, monkeypatch):
    content = table(",").replace(",903.5,", ",,").replace(",904.5,", ",-,")
    found = read(content, MAPPING)
    assert np.isnan(found.pressure_pa[[3, 4]]).all()
    assert np.isfinite(found.pressure_pa).sum() == 38
    fast = read(table(",").replace(",903.5,", ",,").replace("7,907.5,7.25", "7,907.5,"), MAPPING)
    assert np.isnan(fast.pressure_pa[3])
    assert np.isnan(fast.felt_m_s2[7, 0])
    assert fast.pressure_pa[7] == pytest.approx(90750.0)


def test_pieces_of_a_long_log_join_without_a_seam(read, monkeypatch):
    whole = read(table(",", 300), MAPPING)
    monkeypatch.setattr(rows_module, "_LINES_AT_ONCE", 7)
    pieces = read(table(",", 300), MAPPING)
    assert np.array_equal(whole.counts, pieces.counts)
    assert np.array_equal(whole.lines, pieces.lines)


def test_a_few_odd_rows_are_named_and_left_out(read):
    content = table(",", 400).replace("\n100,1000.5,100.25\n", "\n100,10#?.5\n")
    found = read(content, MAPPING)
    assert found.odd == (102,)
    assert len(found.counts) == 399


def test_headings_again_and_a_last_line_cut_short(read):
    content = table(",", 100).replace("\n50,", "\nt,p,a\n50,") + "100,10"
    found = read(content, MAPPING)
    assert (found.restarts, found.cut_short) == ((52,), 103)


def test_axes_are_turned_to_the_tip(read):
    heading, rows = "t,x,y,z", [f"{n},{n},{2 * n},{3 * n + 1}" for n in range(30)]
    mapping = '[time]\ncolumn = "t"\n[acceleration]\nx = "x"\ny = "y"\nz = "z"\nunit = "m/s2"\nup = "{}"\n'
    felt = read("\n".join([heading, *rows]), mapping.format("+y")).felt_m_s2
    assert felt[4].tolist() == [8.0, 13.0, 4.0]
    turned = read("\n".join([heading, *rows]), mapping.format("-z")).felt_m_s2
    assert turned[4].tolist() == [-13.0, 4.0, -8.0]
    # A turn keeps hands: two axes change their sign, not one or three.
    basis = np.array([[0.0, 0.0, -1.0], [1.0, 0.0, 0.0], [0.0, -1.0, 0.0]])
    assert np.linalg.det(basis) == pytest.approx(1.0)


def test_counts_per_unit_and_weight_taken_off(read):
    rows = "\n".join(f"{n},{2048 * (n % 3)}" for n in range(30))
    mapping = """
[time]
column = 1
per_unit = 100
[acceleration]
x = 2
unit = "g"
per_unit = 2048
up = "+x"
at_rest = "0 g"
range = "16 g"
"""
    found = read(rows, mapping)
    assert found.counts[5] == pytest.approx(0.05)
    assert found.felt_m_s2[1, 0] == pytest.approx(2.0 * G)
    assert found.felt_range_m_s2 == pytest.approx(16.0 * G)


def test_steps_in_place_of_a_column_of_time(read):
    rows = "\n".join(f"{900 + n}" + ",0" for n in range(30))
    found = read(rows, '[time]\nstep = "20 ms"\n[pressure]\ncolumn = 1\nunit = "hPa"\n')
    assert found.counts[10] == pytest.approx(0.2)


def guessed(tmp_path, heading, make):
    rows = [make(n) for n in range(60)]
    (tmp_path / "g.csv").write_text("\n".join([heading, *rows]) + "\n", encoding="utf-8")
    text = log_text(tmp_path / "g.csv")
    return text, guesses(text)


def test_a_guess_reads_headings_and_the_pad(tmp_path):
    heading = (
        "Time (ms),Baro Pressure [hPa],Alt_m,acc_x (g),acc_y (g),acc_z (g),gyro_x (deg/s),gyro_y (deg/s)"
    )
    text, found = guessed(
        tmp_path,
        heading,
        lambda n: f"{10 * n},{990 + n % 3},{n % 4},{0.01 * (n % 5)},-0.02,{-1 - 0.01 * (n % 3)},{n % 2},0",
    )
    told = tomllib.loads(mapping_text(text, found))
    assert told["time"] == {"column": "Time (ms)", "unit": "ms"}
    assert told["pressure"] == {"column": "Baro Pressure [hPa]", "unit": "hPa"}
    assert told["height"] == {"column": "Alt_m", "unit": "m"}
    assert told["acceleration"]["up"] == "-z"
    assert (told["acceleration"]["x"], told["acceleration"]["unit"]) == ("acc_x (g)", "g")
    assert told["turning"]["up"] == "?"
    assert told["separator"] == "comma"


def test_a_unit_that_no_heading_tells_is_a_question_and_not_a_guess(tmp_path):
    text, found = guessed(tmp_path, "t,pressure", lambda n: f"{n},{99000 + n % 7}")
    pressure = found[1]
    assert pressure.open == (LogQuestion.UNIT,)
    assert (pressure.low, pressure.high) == (99000.0, 99006.0)
    path = tmp_path / "g.toml"
    path.write_text(mapping_text(text, found), encoding="utf-8")
    with pytest.raises(LogError, match="answer it"):
        read_mapping(path)
    mended = tuple(
        answered(answered(one, LogQuestion.UNIT, "s" if one is found[0] else "Pa"), LogQuestion.UP, "")
        for one in found
    )
    path.write_text(mapping_text(text, mended), encoding="utf-8")
    assert read_mapping(path).pressure.unit == "Pa"


def test_a_log_without_a_column_of_time_asks_for_the_step(tmp_path):
    text, found = guessed(tmp_path, "pressure (hPa),other", lambda n: f"{990 + n % 7},1")
    assert 'step = "?"' in mapping_text(text, found)


def test_columns_of_a_part_alone(tmp_path):
    (tmp_path / "a.csv").write_text(table(",", 500), encoding="utf-8")
    assert len(columns_of(log_text(tmp_path / "a.csv"), (0,), most=30).lines) == 30


def test_a_guess_says_why_it_takes_an_axis_and_asks_where_it_cannot(tmp_path):
    heading = "t (s),acc_x (g),acc_y (g),acc_z (g),gyro_x (deg/s),gyro_y (deg/s),gyro_z (deg/s)"
    text, found = guessed(tmp_path, heading, lambda n: f"{n},0.01,-0.02,{1 + 0.01 * (n % 3)},0,0,{n % 2}")
    known, asked = [line for line in mapping_text(text, found).splitlines() if line.startswith("up = ")]
    assert known.startswith('up = "+z"  # felt 1 g')
    assert asked.startswith('up = "?"  # which of its axes')
