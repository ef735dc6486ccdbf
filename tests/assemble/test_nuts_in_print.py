"""Nuts of rods beside print: a square post of 100 mm, 1 m long, drawn solid but for a hole along it."""

from types import SimpleNamespace

import pytest

from finial.assemble.inside.fasteners import rods_with_nuts
from finial.assemble.inside.nuts_in_print import COUNTERBORE_M, buried_nuts
from finial.files.sheet_body import RodEntry
from finial.inside.cavity import Printed, cavity_of
from finial.inside.things import Kind, Thing
from finial.shape.repair import repaired
from finial.shape.sections import slice_skin
from finial.shape.tiers import Tier, tiers_mesh

POST = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])


def buried(fore: str, aft: str, *, bore_mm: float = 0.0, circle: str = "60 mm", mesh=POST) -> list[float]:
    across_m = max(bore_mm, 1.0) / 1e3
    hole = Thing(name="hole", kind=Kind.OTHER, middle_m=0.5, length_m=1.0, across_m=across_m)
    part = Printed(name="post", mended=repaired(mesh), outside=True, bores=(hole,) if bore_mm else ())
    rod = RodEntry.model_validate(
        {"thread": "M6", "material": "steel", "count": 2, "on_circle": circle, "stations": [fore, aft]}
    )
    sheet = SimpleNamespace(rod=(rod,))
    found = buried_nuts(sheet, rods_with_nuts((rod,)), cavity_of([part], slice_skin([mesh])))
    assert all((one.part, one.rods) == ("post", "2 rods M6 steel") for one in found)
    return [one.station_m for one in found]


def test_a_nut_in_a_counterbore_is_reached_and_one_deep_in_the_print_is_not() -> None:
    """25 mm below the end is as deep as a counterbore that nobody draws: common practice."""
    assert pytest.approx(0.025) == COUNTERBORE_M
    assert buried("24 mm", "976 mm") == []
    assert buried("28 mm", "976 mm") == [0.028]
    assert buried("24 mm", "900 mm") == [0.9]
    assert buried("60 mm", "900 mm") == [0.06, 0.9]


def test_a_nut_that_reaches_into_a_hole_is_reached() -> None:
    """Rods 30 mm off the axis, nuts 11.5 mm across: a hole of 60 mm halves them, one of 52 mm touches."""
    assert buried("100 mm", "900 mm", bore_mm=60.0) == []
    assert buried("100 mm", "900 mm", bore_mm=52.0) == [0.1, 0.9]


def test_a_nut_under_a_shoulder_is_reached_from_outside() -> None:
    """A post of 60 mm on a plinth of 100 mm: rods in the plinth's corners end 10 or 40 mm under its top."""
    stack = tiers_mesh(
        [
            Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=0.3),
            Tier(sides=4, across_m=0.06, across_top_m=0.06, height_m=0.7),
        ]
    )
    assert buried("710 mm", "990 mm", mesh=stack, circle="80 mm") == []
    assert buried("740 mm", "990 mm", mesh=stack, circle="80 mm") == [0.74]
