"""What fires what stands on the page with the stage of the electronics, said in words too."""

from dataclasses import replace

from finial.assemble.electronics.results import PathPower
from finial.core.estimates import exact
from finial.electronics.paths import FiringPath
from finial.electronics.wiring import Moment, Trigger
from finial.web.stages import staged


def test_the_paths_are_drawn_where_something_is_wired(readiness) -> None:
    path = FiringPath(
        canopy="main",
        charge="charge",
        igniter="igniter",
        computer="computer",
        battery="battery",
        switches=(),
        event=Moment(trigger=Trigger.APOGEE),
    )
    power = PathPower(path=path, current=exact(3.0), all_fire_a=1.0, voltage=exact(6.0), least_v=exact(5.0))
    wired = replace(readiness, electronics=replace(readiness.electronics, paths=(power,)))
    found = staged(wired)
    (stage,) = [one for one in found.told.stages if one.key == "electronics"]
    (picture,) = stage.pictures
    assert "battery to computer to igniter to charge to main" in picture.says
    assert "<svg" in found.picture(picture.name)
    bare = [one for one in staged(readiness).told.stages if one.key == "electronics"]
    assert [one.pictures for one in bare] == [()]
