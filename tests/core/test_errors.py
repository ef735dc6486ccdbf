"""The error tree and the words of a fault."""

import pytest

from finial.core import errors
from finial.core.errors import BuildSheetError, Fault, FinialError, UnitError

FAULT = Fault(
    file="a.toml", line=7, field="part[1].name", given="nothing", accepted="text", likely_slip="typo"
)


def test_a_fault_says_where_what_and_what_to_write():
    assert str(FAULT).splitlines() == [
        "a.toml:7: part[1].name",
        "    given:    nothing",
        "    accepted: text",
        "    likely:   typo",
    ]


def test_a_fault_without_line_or_slip_leaves_them_out():
    plain = Fault(file="a.toml", field="whole file", given="no such file", accepted="a file")
    assert str(plain).splitlines()[0] == "a.toml: whole file"
    assert "likely" not in str(plain)


@pytest.mark.parametrize(("count", "title"), [(1, "1 fault in"), (3, "3 faults in")])
def test_all_faults_are_in_the_message(count, title):
    error = BuildSheetError([FAULT] * count)
    assert str(error).startswith(title)
    assert str(error).count("a.toml:7") == count
    assert len(error.faults) == count


def test_every_error_has_the_one_base_and_stands_in_its_tree():
    ours = [
        kind
        for kind in vars(errors).values()
        if isinstance(kind, type) and issubclass(kind, Exception) and kind.__module__ == errors.__name__
    ]
    assert len(ours) > 5
    assert all(issubclass(kind, FinialError) for kind in ours)
    assert all(kind.__name__ in str(errors.__doc__) for kind in ours)


def test_a_unit_error_keeps_its_three_parts():
    error = UnitError(given='"1"', accepted="a mass", likely_slip="write g")
    assert str(error) == '"1": a mass is wanted (write g)'
