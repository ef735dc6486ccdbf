"""A thin deck that leans a little is as wide as it shows, and no width is left out between its faces."""

import itertools
import math

import numpy as np
import pytest
import trimesh

from finial.shape.mesh import Mesh
from finial.shape.repair import Repaired, repaired
from finial.shape.sections import slice_skin
from finial.shape.stations import Step, parted_faces

DECK_M, ROUND_M = 0.18, 0.1


def post_with_deck(lean_deg: float, thick_m: float = 0.003) -> Repaired:
    """A post of a metre, 100 mm across, through a deck of 180 mm that leans."""
    post = trimesh.creation.cylinder(ROUND_M / 2, 1.0, sections=64)
    deck = trimesh.creation.cylinder(DECK_M / 2, thick_m, sections=64)
    deck.apply_transform(trimesh.transformations.rotation_matrix(math.radians(lean_deg), (1, 0, 0)))
    whole = trimesh.boolean.union([post, deck], engine="manifold")
    points = np.column_stack([whole.vertices[:, 2] - 0.5, whole.vertices[:, 0], whole.vertices[:, 1]])
    return repaired(Mesh(vertices_m=points, faces=whole.faces))


def shown(lean_deg: float, thick_m: float) -> float:
    """Width of a strip of the deck, as a cut through its middle shows it beside the post, by hand [m]."""
    half = min(thick_m / 2 / math.sin(math.radians(lean_deg)), DECK_M / 2) if lean_deg else DECK_M / 2
    strip = np.linspace(-half, half, 20001)
    deck = 2 * np.sqrt(np.maximum((DECK_M / 2) ** 2 - strip**2, 0.0))
    post = 2 * np.sqrt(np.maximum((ROUND_M / 2) ** 2 - strip**2, 0.0))
    beside = math.pi * ROUND_M**2 / 4 - float(np.trapezoid(post, strip))
    return math.sqrt(4 / math.pi * (float(np.trapezoid(deck, strip)) + beside))


@pytest.mark.parametrize("lean_deg", [0.0, 0.5, 0.95, 1.0, 1.2, 1.45, 1.6])
def test_a_deck_is_as_wide_as_a_cut_through_its_middle(lean_deg: float) -> None:
    assert slice_skin([post_with_deck(lean_deg)]).width_m == pytest.approx(shown(lean_deg, 0.003), rel=0.015)


def test_the_width_moves_a_little_at_a_time() -> None:
    leans = np.arange(0.8, 1.75, 0.05)
    widths = [slice_skin([post_with_deck(lean)]).width_m for lean in leans]
    assert max(abs(b - a) for a, b in itertools.pairwise(widths)) < 0.02 * DECK_M


def test_faces_apart_or_that_look_the_same_way_stay() -> None:
    one, other = Step(fore_m=0.1, aft_m=0.104, looks=1), Step(fore_m=0.103, aft_m=0.107, looks=1)
    assert parted_faces([one, other]) == ((one, other), ())
    behind = Step(fore_m=0.105, aft_m=0.109, looks=-1)
    assert parted_faces([one, behind]) == ((one, behind), ())
    hollow = Step(fore_m=0.1, aft_m=0.104, looks=-1), Step(fore_m=0.103, aft_m=0.107, looks=1)
    assert parted_faces(hollow) == (hollow, ())
