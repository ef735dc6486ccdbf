"""What a new project is called and holds before anything is computed of it."""

import inspect
from pathlib import Path
from types import SimpleNamespace

import finial
from finial.face.start import Begin, piece_names


def test_pieces_of_one_name_are_told_apart_by_their_number() -> None:
    names = ("hull", "hull", "hull (old)", "hull", "fin/left", "///", "hull")
    found = piece_names([SimpleNamespace(name=name) for name in names])
    assert found == ["hull", "hull (2)", "hull (old)", "hull (4)", "fin left", "part", "hull (5)"]
    assert len(set(found)) == len(found)


def test_a_new_project_is_metric_and_of_no_told_material() -> None:
    begin = Begin(folder=Path("boat"), unit=None)
    assert (begin.us_units, begin.title, begin.material, begin.motors) == (False, "", "", None)


def test_a_thousand_flights_are_flown_unless_told_otherwise() -> None:
    told = inspect.signature(finial.Vehicle.campaign).parameters
    assert (told["flights"].default, told["seed"].default) == (1000, 1)
