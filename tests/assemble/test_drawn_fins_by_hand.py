"""Fins drawn in meshes, on paper: which part holds them, and how far they are filled."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from made_by_hand import FIN, quantity

from finial.assemble.mass import rows as mass
from finial.assemble.strength import buttons, heat
from finial.assemble.strength.fins import build
from finial.core.estimates import exact
from finial.files.sheet_body import FinEntry
from finial.materials.material import material
from finial.shape.fin_set import FinSet
from finial.shape.repair import repaired
from finial.shape.tiers import Tier, tiers_mesh


@pytest.fixture
def stuffs(monkeypatch):
    """Materials straight from the tables."""
    for module in (mass, buttons, heat, build):
        monkeypatch.setattr(module, "sheet_material", lambda sheet, name: material(name))
    monkeypatch.setattr(build, "wall_warmth", lambda vehicle: exact(293.15))


def fin_entry(**given):
    outline = [["0 mm", "0 mm"], ["40 mm", "100 mm"], ["140 mm", "100 mm"], ["200 mm", "0 mm"]]
    return FinEntry.model_validate({"name": "fins", "outline": outline, "station": "900 mm", "count": 4,
                                    "thickness": "4 mm +- 0.2 mm", "material": "polycarbonate",
                                    "edges": "square", **given})  # fmt: skip


def part(wall_m=0.0012, infill=0.2, stuff="PETG", *, across=0.02, name="part"):
    """A square post of 100 mm from the tip aft, as a printed part, 20 mm across."""
    printed = wall_m and SimpleNamespace(wall=quantity(wall_m), infill=quantity(infill))
    mesh = tiers_mesh([Tier(sides=4, across_m=across, across_top_m=across, height_m=0.1)])
    spec = SimpleNamespace(name=name, print=printed, material=stuff)
    return SimpleNamespace(spec=spec, mended=repaired(mesh), span_m=(0.0, 0.1))


def test_a_drawn_fin_is_filled_as_its_part_is(stuffs):
    """Walls of 1.2 mm on 6 mm leave a core of 0.6: stiffness goes with its cube, mass with itself."""
    thick = replace(FIN, thickness_m=0.006)
    vehicle = SimpleNamespace(sheet=None)
    found = build._of_mesh(vehicle, thick, part())
    assert build._core(part(), 0.006) == pytest.approx(0.6)
    assert found.solid_share == pytest.approx(1 - (1 - 0.04) * 0.216)
    assert found.density_share == pytest.approx(1 - 0.8 * 0.6)
    assert (found.thickness.low, found.thickness.high) == pytest.approx((0.0054, 0.0066))
    assert found.strength.value == pytest.approx(material("PETG").yield_pa.value * found.solid_share)
    thin = build._of_mesh(vehicle, replace(FIN, thickness_m=0.002), part())
    assert (build._core(part(), 0.002), thin.solid_share, thin.density_share) == (0.0, 1.0, 1.0)
    solid = build._of_mesh(vehicle, thick, part(None, stuff="6061-T6"))
    assert (build._core(part(None), 0.006), solid.solid_share, solid.density_share) == (0.0, 1.0, 1.0)


def test_a_fin_that_nobody_drew_or_that_has_no_thickness_is_of_no_known_stuff(stuffs):
    assert build._of_mesh(None, FIN, None).stuff is None
    none = build._of_mesh(None, replace(FIN, thickness_m=0.0), part())
    assert (none.stuff, none.thickness.value) == (None, 0.0)


STUB = FinSet(
    name="stub",
    outline_m=np.array([[0.0, 0.0], [0.02, 0.009], [0.08, 0.009], [0.1, 0.0]]),
    station_m=0.0,
    root_radius_m=0.0,
    count=1,
    first_at_rad=0.0,
    thickness_m=0.002,
)
"""Reaches 9 mm out: two thirds of that is 6 mm from the axis, inside a post of 20 mm."""


SWEPT = replace(STUB, outline_m=np.array([[0.0, 0.0], [0.02, 0.004], [0.08, 0.009], [0.1, 0.0]]))


@pytest.mark.parametrize(
    ("fins", "holds"),
    [
        (STUB, True),
        (replace(STUB, station_m=0.049), True),  # its outermost part at 99 mm
        (replace(STUB, station_m=0.051), False),
        (replace(STUB, station_m=-0.051), False),
        # Swept: what reaches farthest lies at its end, 110 mm aft.
        (replace(SWEPT, station_m=0.03), False),
        (replace(SWEPT, station_m=0.01), True),
        (
            replace(STUB, root_radius_m=0.0055),
            True,
        ),  # 11.5 mm out: 1.5 mm off the post, less than it is thick
        (replace(STUB, root_radius_m=0.0065), False),
        (replace(STUB, root_radius_m=0.0065, thickness_m=0.004), True),
        (replace(STUB, root_radius_m=0.0065, first_at_rad=math.pi), False),
    ],
)
def test_a_part_holds_a_fin_that_its_cut_shows_two_thirds_out(fins, holds):
    assert build._holds(part(), fins) is holds


def test_a_fin_is_of_the_one_stuff_that_holds_it():
    one, twin, other = part(), part(name="twin"), part(stuff="PLA")
    bought = part(None)
    assert build.part_of(SimpleNamespace(parts=[one]), STUB) is one
    assert build.part_of(SimpleNamespace(parts=[one, twin]), STUB) is one
    assert build.part_of(SimpleNamespace(parts=[one, other]), STUB) is None
    assert build.part_of(SimpleNamespace(parts=[one, bought]), STUB) is None
    assert build.part_of(SimpleNamespace(parts=[]), STUB) is None


def test_fins_of_the_sheet_come_first_then_those_of_the_meshes(stuffs, monkeypatch):
    monkeypatch.setattr(build, "_parts_of", lambda drawn: (part(),))
    vehicle = SimpleNamespace(sheet=SimpleNamespace(fin=(fin_entry(thickness_tip="2 mm"),)), parts=())
    air = [SimpleNamespace(fins=FIN), SimpleNamespace(fins=replace(FIN, name="drawn", thickness_m=0.006))]
    entered, drawn = build.fin_builds(vehicle, air)
    assert (entered.fins.name, drawn.fins.name) == ("fins", "drawn")
    assert (entered.tip_thickness.value, entered.drawn_in) == (0.002, None)
    assert (entered.solid_share, drawn.drawn_in.spec.name) == (1.0, "part")
    assert (entered.thickness.low, entered.thickness.high) == pytest.approx((0.0038, 0.0042))
