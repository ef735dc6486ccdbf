# ruff: noqa: E501 - a table is read across
"""Damaged and hostile logs: each refused with file, line and words, never a traceback or a guess."""

import numpy as np
import pytest

from finial.atmosphere.day import standard_day
from finial.core.errors import LogError
from finial.files.flight_log.mapping import read_mapping
from finial.files.flight_log.read import read_log
from finial.logbook.reading import reading

DAY = standard_day(200.0, 288.15)
HEADING = "time (s),pressure (hPa),felt (g)"
TIME = '[time]\ncolumn = "time (s)"\n'
PRESSURE = '[pressure]\ncolumn = "pressure (hPa)"\nunit = "hPa"\n'
FELT = '[acceleration]\nx = "felt (g)"\nunit = "g"\nup = "+x"\n'
PLAIN = TIME + PRESSURE + FELT


def flight(step=0.05, start=0.0, pad_s=4.0, push_g=6.0):
    """Rows of a plain flight: pad, a second of thrust, coast, fall."""
    times = np.arange(0.0, 30.0, step)
    since = times - pad_s
    speed = np.where(since < 0.0, 0.0, np.where(since < 1.0, 50.0 * since, 50.0 - 9.81 * (since - 1.0)))
    heights = np.maximum(np.cumsum(speed) * step, 0.0)
    felt = np.where(since < 0.0, 1.0, np.where(since < 1.0, push_g, 0.0))
    noise = np.sin(991.0 * np.arange(len(times)))
    pressures = 990.0 - 0.115 * heights + 0.05 * noise
    return [
        f"{start + time:.3f},{pressure:.3f},{g:.4f}"
        for time, pressure, g in zip(times, pressures, felt + 0.01 * noise, strict=True)
    ]


ROWS = flight()


def text(rows, heading=HEADING):
    return "\n".join([heading, *rows]) + "\n"


def changed(row, column, cell, rows=ROWS):
    cells = rows[row].split(",")
    cells[column] = cell
    return [*rows[:row], ",".join(cells), *rows[row + 1 :]]


def column(number, make, rows=ROWS):
    """Every row with one cell made anew."""
    split = [row.split(",") for row in rows]
    return [",".join([*cells[:number], make(cells[number]), *cells[number + 1 :]]) for cells in split]


# name, content, mapping, line, words
HOSTILE = [
    ("empty", "", PLAIN, None, "nothing but blank lines"),
    ("words alone", "this is\nno log\nat all\n", PLAIN, 3, "no two rows of numbers"),
    ("a page", "<!DOCTYPE html>\n<html></html>\n", PLAIN, 1, "a page or a tree of values"),
    ("a tree of values", '{"time": [1, 2, 3]}\n', PLAIN, 1, "a page or a tree of values"),
    ("binary", text(ROWS[:50]) + "\x00\x01\x02\n" + text(ROWS[50:]), PLAIN, 52, "bytes that are not text"),
    ("too few rows", text(ROWS[:10]), PLAIN, 2, "at least 20 rows"),
    ("decimal commas", "a;b;c\n" + "1,5;2,5;3,5\n" * 50, PLAIN, None, "no column|two rows|one of the 3"),
    ("no such column", text(ROWS, "time (s),pressure (Pa),felt (g)"), PLAIN, 1, "did you mean pressure (Pa)?"),
    ("column number too large", text(ROWS), TIME + '[height]\ncolumn = 9\nunit = "m"\n', 1, "column 9"),
    ("ragged", text([row if n % 9 else row + ",7" for n, row in enumerate(ROWS)]), PLAIN, None, "two logs in one"),
    ("words in a column", text(column(1, lambda _: "high")), PLAIN, None, "no two rows|rows are like this one"),
    ("a row without a time", text(changed(30, 0, "")), PLAIN, 32, "a time in every row"),
    ("an empty column", text(column(1, lambda _: "")), PLAIN, 2, "a column without any number"),
    ("a dead sensor", text(column(1, lambda _: "990.0")), PLAIN, 2, "990 in every row"),
    ("a clock that stands", text(column(0, lambda _: "5.0")), PLAIN, None, "does not move|in every row"),
    ("a clock that dances", text(column(0, lambda cell: cell[::-1].strip("."))), PLAIN, None, "goes back"),
    ("milliseconds for seconds", text(column(0, lambda cell: f"{1e3 * float(cell):.0f}")), PLAIN, 2, "ms, not s?"),
    (
        "seconds for milliseconds",
        text(ROWS),
        PLAIN.replace('"time (s)"', '"time (s)"\nunit = "ms"'),
        2,
        "s, not ms?",
    ),
    ("hPa for Pa", text(ROWS), PLAIN.replace('unit = "hPa"', 'unit = "Pa"'), 2, "hPa, not Pa?"),
    ("another unit of push", text(ROWS), PLAIN.replace('unit = "g"', 'unit = "m/s2"'), None, "lift-off|on the pad"),
    ("upside down", text(ROWS), PLAIN.replace('"+x"', '"-x"'), 2, "g along the axis up, on the pad"),
    ("the weight taken off", text(column(2, lambda g: f"{float(g) - 1:.4f}")), PLAIN, 2, 'at_rest = "0 g"'),
    ("the pad alone", text(ROWS[:75]), PLAIN, 76, "no lift-off down to here"),
    ("woken up in flight", text(ROWS[82:]), PLAIN, 2, "woke up in flight"),
    (
        "a counter larger than it can be",
        text(ROWS),
        PLAIN.replace('"time (s)"', '"time (s)"\nwraps_at = 10'),
        203,
        "where the counter begins again",
    ),
]  # fmt: skip


@pytest.mark.parametrize(
    ("content", "mapping", "line", "words"),
    [pytest.param(*rest, id=name) for name, *rest in HOSTILE],
)
def test_a_hostile_log_is_refused_with_its_line(tmp_path, content, mapping, line, words):
    log, told = tmp_path / "log.csv", tmp_path / "log.toml"
    log.write_text(content, encoding="utf-8")
    told.write_text(mapping, encoding="utf-8")
    with pytest.raises(LogError) as caught:
        reading(read_log(log, read_mapping(told)), DAY)
    fault = caught.value.faults[0]
    assert fault.file == str(log)
    assert line is None or fault.line == line
    assert any(word in str(caught.value) for word in words.split("|"))
    assert "in the log" in str(caught.value)


def test_the_plain_flight_itself_is_read(tmp_path):
    (tmp_path / "log.csv").write_text(text(ROWS), encoding="utf-8")
    (tmp_path / "log.toml").write_text(PLAIN, encoding="utf-8")
    found = reading(read_log(tmp_path / "log.csv", read_mapping(tmp_path / "log.toml")), DAY)
    assert found.clock_at_lift_off_s == pytest.approx(4.0, abs=0.06)
    assert found.notes == ()


def test_a_log_that_is_not_there_or_a_folder_is_refused(tmp_path):
    (tmp_path / "log.toml").write_text(PLAIN, encoding="utf-8")
    told = read_mapping(tmp_path / "log.toml")
    for path, words in ((tmp_path / "none.csv", "no such file"), (tmp_path, "a folder")):
        with pytest.raises(LogError, match=words):
            read_log(path, told)


MAPPINGS = [
    ("", "time"),
    (TIME, "a [pressure], [height] or [acceleration] to read"),
    (TIME + PRESSURE + "[speed]\ncolumn = 3\n", "unknown key speed"),
    (TIME + PRESSURE.replace('hPa"\n', 'hPx"\n', 2).replace("(hPx", "(hPa"), "did you mean 'hPa'?"),
    (TIME + '[height]\ncolumn = 2\nunit = "?"\n', "the log did not tell the unit: answer it"),
    ('[time]\ncolumn = 1\nstep = "1 ms"\n' + PRESSURE, "one of column"),
    ("[time]\n" + PRESSURE, "one of column"),
    (TIME + FELT.replace("+x", "+y"), "an axis that has a column: y has none"),
    (TIME + FELT + 'range = "16"\n', 'such as "16 g"'),
    (TIME + FELT.replace("+x", "up"), '"+x"'),
    ("time = \n", "mapping.toml:1"),
]


@pytest.mark.parametrize(("content", "words"), MAPPINGS)
def test_a_mapping_that_cannot_be_is_refused(tmp_path, content, words):
    path = tmp_path / "mapping.toml"
    path.write_text(content, encoding="utf-8")
    with pytest.raises(LogError) as caught:
        read_mapping(path)
    assert words in str(caught.value)
    assert str(path) in str(caught.value)
