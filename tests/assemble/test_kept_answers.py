"""Every number of the answers to eight odd vehicles with bad ends, as it was kept.

After a change that is meant: ``PYTHONPATH=src:tests python tests/assemble/test_kept_answers.py``.
"""

from collections.abc import Iterator
from functools import partial
from pathlib import Path

import pytest
from bad_ends import CHANGES, bad_end
from kept_answers import BY_MOMENT, BY_TETHER, Asked, Kept, hold, keep, kept_of, moved, told, without

from finial.assemble.air.tunnel_shape import leaks, shape_repeats, shortest_chord_m, tunnel_shape
from finial.assemble.looks.answer import answer
from finial.assemble.looks.glance import look_at
from finial.assemble.mass.bill import bill_of
from finial.assemble.prints.plan import print_plan
from finial.assemble.spread.case import flight_case
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.pulls import pulls_of
from finial.assemble.vehicle.templates import drill_templates, fin_templates
from finial.findings.check import readiness, silent

KEPT = Path(__file__).with_suffix(".json")
LONG = ("every-key", "phone-box", "arch", "skerry-light")
PRINTED = ("every-key", "buoy-tiers", "arch")


def quick(name: str) -> Kept:
    return without(kept_of(answer(bad_end(name))), BY_MOMENT)


def long(name: str) -> Kept:
    found = readiness(bad_end(name))
    return without(kept_of({"strength": found.strength_study, "recovery": found.recovery_study}), BY_TETHER)


def further(name: str) -> Kept:
    """Keep what else is asked of a vehicle: its bill, templates, glance, campaign, tunnel, and pulls."""
    vehicle = bad_end(name)
    return kept_of(
        {
            "bill": bill_of(vehicle),
            "templates": (fin_templates(vehicle), drill_templates(vehicle)),
            "glance": look_at(vehicle),
            "campaign": flight_case(vehicle),
            "tunnel": (
                tunnel_shape(vehicle),
                shape_repeats(vehicle),
                shortest_chord_m(vehicle),
                leaks(vehicle),
            ),
            "pulls": tuple(_pulled(vehicle)),
        }
    )


def printed(name: str) -> Kept:
    return kept_of(print_plan(bad_end(name), silent))


def _pulled(vehicle: LoadedVehicle) -> Iterator[object]:
    """Every pull, where it stops on its way, and what it then writes into the sheet."""
    for pull in pulls_of(vehicle):
        sizes = [pull.at(share) for share in (0.0, 0.3, 1.0)]
        changes = [{str(at): str(one) for at, one in pull.changes(size).items()} for size in sizes]
        yield pull, sizes, pull.on_a_step(pull.now), changes


ASKED: list[tuple[Asked, str]] = [
    *((quick, name) for name in CHANGES),
    *((long, name) for name in LONG),
    *((further, name) for name in CHANGES),
    *((printed, name) for name in PRINTED),
]


@pytest.mark.parametrize(("asked", "name"), ASKED, ids=lambda one: getattr(one, "__name__", one))
def test_the_answer_is_the_one_kept(asked: Asked, name: str) -> None:
    hold(KEPT, told(asked, name), asked(name))


def test_one_number_moved_by_a_fiftieth_is_seen_and_so_are_two_that_change_places() -> None:
    many = [1e-3, 2e6, *map(float, range(900))]
    kept = kept_of({"mass": {"rows": many}})
    assert moved(kept, kept) == []
    assert moved(kept, kept_of({"mass": {"rows": [1.02e-3, *many[1:]]}})) == ["mass.rows"]
    assert moved(kept, kept_of({"mass": {"rows": [2e6, 1e-3, *many[2:]]}})) == ["mass.rows"]
    assert moved(kept, kept_of({"mass": {"rows": many[:-1]}})) == ["mass.rows"]
    assert moved(kept_of({"mass": {"is_known": True}}), kept_of({"mass": {"is_known": False}})) == [
        "mass.is_known"
    ]


if __name__ == "__main__":
    keep(KEPT, {told(asked, name): partial(asked, name) for asked, name in ASKED})
