"""Tables of plain text: columns line up, long cells wrap, nothing is lost."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.report.document import Table
from finial.report.layout import laid_out

CELL = st.text(alphabet="abc déx12", max_size=60).map(lambda text: " ".join(text.split()))


def test_numbers_stand_right_and_words_left():
    table = Table(title="", columns=("what", "mass"), rows=(("a", "1 g"), ("longer", "1000 g")), numbers=(1,))
    assert laid_out(table, 40) == [
        "  what      mass",
        "  ------  ------",
        "  a          1 g",
        "  longer  1000 g",
    ]


@settings(max_examples=30, deadline=None)
@given(rows=st.lists(st.tuples(CELL, CELL, CELL), min_size=1, max_size=4))
def test_every_word_survives_and_no_line_is_too_wide(rows):
    table = Table(title="", columns=("one", "two", "three"), rows=tuple(rows), numbers=(2,))
    lines = laid_out(table, 60)
    assert max(map(len, lines)) <= 60
    shown = "".join("".join(lines).split())
    for row in rows:
        for cell in row:
            for word in cell.split():
                if len(word) <= 8:
                    assert word in shown


def test_every_table_names_columns_that_it_has():
    """What every table of these tests is held to: `columns.py` looks at each as it is made."""
    table = {"title": "t", "columns": ("a", "b", "c"), "rows": ()}
    for columns in ((1,), (1, 2), ()):
        Table(**table, numbers=columns, pages_only=columns)
    for wrong in ((1, 1), (2, 1), (1, 3), (-1,)):
        for key in ("numbers", "pages_only"):
            with pytest.raises(AssertionError, match="table 't'"):
                Table(**table, **{key: wrong})
