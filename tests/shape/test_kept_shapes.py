"""The shapes of eight odd vehicles and of twenty odd meshes as they were kept: sections, fins, lips, pieces.

After a change that is meant: ``PYTHONPATH=src:tests python tests/shape/test_kept_shapes.py``.
"""

from functools import partial
from pathlib import Path

import pytest
from bad_ends import CHANGES, beside, loaded
from kept_answers import Asked, Kept, hold, keep, kept_of, told

from finial.shape.sections import slice_skin

KEPT = Path(__file__).with_suffix(".json")
ODD = beside("odd_shapes", "properties")
FRESH = beside("fresh_shapes", "properties")
DRAWN = {**ODD.SHAPES, **FRESH.SHAPES}


def vehicle(name: str) -> Kept:
    """Keep what is found in its meshes when they are read: skin, fins drawn in them, what was mended."""
    found = loaded(name)
    return kept_of(
        {
            "skin": found.skin,
            "fins": found.mesh_fins,
            "mended": [part.mended for part in found.parts],
            "solid": [part.solid for part in found.parts],
        }
    )


def shape(name: str) -> Kept:
    return kept_of(slice_skin([ODD.mesh_of(DRAWN[name]())]))


ASKED: list[tuple[Asked, str]] = [
    *((vehicle, name) for name in CHANGES),
    *((shape, name) for name in DRAWN),
]


@pytest.mark.parametrize(("asked", "name"), ASKED, ids=lambda one: getattr(one, "__name__", one))
def test_the_shape_is_as_kept(asked: Asked, name: str) -> None:
    hold(KEPT, told(asked, name), asked(name))


if __name__ == "__main__":
    keep(KEPT, {told(asked, name): partial(asked, name) for asked, name in ASKED})
