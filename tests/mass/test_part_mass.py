import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.core.estimates import Estimate, KnownBy, exact
from finial.mass.printed import Hole, holed_part, printed_part, solid_part, weighed_part, with_mass
from finial.mass.properties import MassProperties
from finial.mass.solids import solid_of
from finial.printing.walls import PrintedWalls
from finial.shape.tiers import Tier, tiers_mesh

DENSITY = Estimate(value=1270.0, low=1250.0, high=1290.0, known_by=KnownBy.HANDBOOK, source="a table")


@pytest.fixture(scope="module")
def post():
    return solid_of(tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)]))


def test_a_solid_part_carries_the_spread_of_its_density(post):
    part = solid_part(post, DENSITY)
    assert (part.mass.low, part.mass.value, part.mass.high) == pytest.approx((12.5, 12.7, 12.9))
    assert part.mass.known_by == KnownBy.HANDBOOK
    assert part.properties.inertia_kg_m2[1, 1] == pytest.approx(12.7 / 12 * (1.0 + 0.01))


def test_a_printed_part_is_skin_and_infill_give_or_take_8_per_cent(post):
    part = printed_part(post, DENSITY, PrintedWalls(wall_m=0.001, infill=0.2))
    # Surface 0.42 m2, volume 0.01 m3: 0.42 l of wall and a fifth of 9.58 l.
    assert part.mass.value == pytest.approx(1270 * (0.42e-3 + 0.2 * 9.58e-3))
    assert part.mass.high / part.mass.value == pytest.approx(1.08)
    assert part.properties.mass_kg == pytest.approx(part.mass.value)
    assert part.properties.station_m == pytest.approx(0.5)


def test_a_hollow_print_has_more_inertia_for_its_mass_than_a_full_one(post):
    hollow = printed_part(post, DENSITY, PrintedWalls(wall_m=0.001, infill=0.0)).properties
    full = solid_part(post, DENSITY).properties
    assert hollow.inertia_kg_m2[0, 0] / hollow.mass_kg > 1.5 * full.inertia_kg_m2[0, 0] / full.mass_kg


def test_full_infill_and_walls_as_thick_as_the_part_are_both_solid(post):
    by_infill = printed_part(post, DENSITY, PrintedWalls(wall_m=0.001, infill=1.0))
    by_wall = printed_part(post, DENSITY, PrintedWalls(wall_m=0.05, infill=0.0))
    assert by_infill.mass.value == pytest.approx(12.7)
    assert by_wall.mass.value == pytest.approx(12.7)


@settings(max_examples=20, deadline=None)
@given(infill=st.floats(0, 1), more=st.floats(0, 1), wall=st.floats(1e-4, 0.02))
def test_more_infill_never_weighs_less(post, infill, more, wall):
    thin = printed_part(post, DENSITY, PrintedWalls(wall_m=wall, infill=min(infill, more)))
    dense = printed_part(post, DENSITY, PrintedWalls(wall_m=wall, infill=max(infill, more)))
    assert thin.mass.value <= dense.mass.value + 1e-12


def test_the_scale_wins_and_the_centre_stays(post):
    computed = printed_part(post, DENSITY, PrintedWalls(wall_m=0.001, infill=0.2))
    weighed = weighed_part(computed, exact(2.5, known_by=KnownBy.WEIGHED))
    assert (weighed.mass.value, weighed.mass.known_by) == (2.5, KnownBy.WEIGHED)
    assert weighed.properties.station_m == computed.properties.station_m
    share = 2.5 / computed.mass.value
    assert weighed.properties.inertia_kg_m2 == pytest.approx(share * computed.properties.inertia_kg_m2)


def test_with_mass_scales_inertia_in_proportion():
    body = MassProperties(mass_kg=2.0, centre_m=np.array([-1.0, 0, 0]), inertia_kg_m2=np.diag([1.0, 2, 3]))
    assert with_mass(body, 1.0).inertia_kg_m2.diagonal().tolist() == [0.5, 1.0, 1.5]


def test_a_hole_takes_its_inertia_with_it(post):
    """A square bar of 12 kg, 100 mm wide and 1 m long, less 6 kg drilled along its middle; on paper."""
    bored = Hole(stations_m=(0.0, 1.0), area_m2=0.005, girth_m=0.3)
    properties = holed_part(solid_part(post, exact(1200.0)), exact(1200.0), None, [bored]).properties
    assert properties.mass_kg == pytest.approx(6.0)
    about_axis = 12.0 * 2 * 0.1**2 / 12 - 6.0 * (0.005 / np.pi) / 2
    across = 12.0 * (1.0 + 0.1**2) / 12 - 6.0 * (1.0 / 12 + 0.005 / np.pi / 4)
    assert np.diag(properties.inertia_kg_m2) == pytest.approx([about_axis, across, across])
