"""What a record holds is not written over: its arrays are locked, and are its own."""

import dataclasses
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from finial.aero.drag.sources import Acting
from finial.aero.sections.outlines import ellipse, tapered_skin
from finial.assemble.air import tunnel_shape
from finial.campaign import design
from finial.files.wind_column import read_wind_column
from finial.flight import fly
from finial.mass.lumps import Lumps
from finial.shape.mesh import Mesh
from finial.shape.tiers import Tier, tiers_mesh
from finial.structure.loads.forces import LineForce

GIVEN = {name: np.arange(1.0, 4.0) for name in ("one", "two", "three", "four", "five")}


def lumps() -> Lumps:
    one, two, three, four, five = GIVEN.values()
    return Lumps(stations_m=one, masses_kg=two, rotary_kg_m2=three, offsets_m=four, cells_m=five)


def wind(folder: Path) -> object:
    path = folder / "wind.csv"
    path.write_text("10, 4, 270\n100, 8, 280\n", encoding="utf-8")
    return read_wind_column(path)


RECORDS: dict[str, Callable[[Path], object]] = {
    "mesh": lambda _: Mesh(vertices_m=np.eye(3), faces=np.array([[0, 1, 2]])),
    "tiers": lambda _: tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)]),
    "skin": lambda _: tapered_skin(lambda across: ellipse(across / 2, across / 2), [(0.0, 0.0), (0.3, 0.1)]),
    "lumps": lambda _: lumps(),
    "line force": lambda _: LineForce(
        stations_m=GIVEN["one"], aft_n_per_m=GIVEN["two"], cross_n_per_m=GIVEN["three"]
    ),
    "drag": lambda _: Acting(stations_m=GIVEN["one"], ahead=np.array([0.0, 0.5, 1.0])),
    "wind": wind,
    "trace": lambda _: fly._trace(np.zeros((4, 40)), (), "landed"),
    "tunnel": lambda _: tunnel_shape._joined([(np.eye(3), np.array([[0, 1, 2]]))]),
}


@pytest.mark.parametrize("make", RECORDS.values(), ids=RECORDS)
def test_arrays_of_a_record_are_locked(make: Callable[[Path], object], tmp_path: Path) -> None:
    record = make(tmp_path)
    assert dataclasses.is_dataclass(record)
    held = {one.name: getattr(record, one.name) for one in dataclasses.fields(record)}
    arrays = {name: value for name, value in held.items() if isinstance(value, np.ndarray)}
    assert arrays
    assert [name for name, array in arrays.items() if array.flags.writeable] == []
    assert all(given.flags.writeable for given in GIVEN.values()), "what was given stays the giver's"


def test_ranks_that_all_flights_share_are_locked() -> None:
    assert not design._strata(1, 8, 0).flags.writeable
