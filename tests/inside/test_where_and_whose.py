"""At which station, and of which part, a thing is told to leave its room."""

import numpy as np
import pytest

from finial.inside.cavity import Cavity, Printed, cavity_of
from finial.inside.room import wall_gap
from finial.inside.things import Kind, Thing
from finial.inside.walls import strays
from finial.shape.mesh import Mesh
from finial.shape.repair import repaired
from finial.shape.sections import slice_skin
from finial.shape.tiers import Tier, tiers_mesh


def post(across_m: float, length_m: float, tip_m: float) -> Mesh:
    tier = Tier(sides=4, across_m=across_m, across_top_m=across_m, height_m=length_m)
    return tiers_mesh([tier], tip_station_m=tip_m)


@pytest.fixture(scope="module")
def halves() -> Cavity:
    """Two halves of a post of half a metre, a bore of 60 mm through both."""
    fore, aft = post(0.1, 0.25, 0.0), post(0.1, 0.25, 0.25)
    bore = Thing(name="bore", kind=Kind.OTHER, middle_m=0.25, length_m=0.5, across_m=0.06)
    parts = [
        Printed(name=name, mended=repaired(mesh), outside=True, bores=(bore,))
        for name, mesh in (("fore", fore), ("aft", aft))
    ]
    return cavity_of(parts, slice_skin([fore, aft]))


@pytest.mark.parametrize(("share", "wall"), [(0.25, "fore"), (0.75, "aft")])
def test_the_wall_is_that_of_the_cut_nearest_to_the_end(halves: Cavity, share: float, wall: str) -> None:
    after = int(np.searchsorted(halves.stations_m, 0.25))
    fore, aft = halves.stations_m[after - 1], halves.stations_m[after]
    end = float(fore + share * (aft - fore))
    thing = Thing(name="tube", kind=Kind.OTHER, middle_m=end + 0.05, length_m=0.1, across_m=0.05)
    found = wall_gap(thing, halves)
    assert (found.wall, found.gap_m) == (wall, pytest.approx(0.005, abs=1e-4))


@pytest.mark.parametrize(
    ("tip_m", "length_m", "depth_m", "station_m"), [(-0.1, 0.3, 0.1, 0.0), (0.3, 0.4, 0.15, 0.5)]
)
def test_a_part_strays_at_the_end_that_it_stands_out_of(
    tip_m: float, length_m: float, depth_m: float, station_m: float
) -> None:
    """Ahead of the tip it may not stand at all, past the base by 50 mm."""
    outer, stick = post(0.1, 0.5, 0.0), post(0.02, length_m, tip_m)
    parts = [
        Printed(name="post", mended=repaired(outer), outside=True),
        Printed(name="stick", mended=repaired(stick), outside=False),
    ]
    (found,) = strays(cavity_of(parts, slice_skin([outer])))
    assert (found.first, found.second) == ("stick", "post")
    assert (found.depth_m, found.station_m) == pytest.approx((depth_m, station_m), abs=1e-6)
