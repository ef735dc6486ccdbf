"""Shapes nobody should fly: an answer with a wide band, or a refusal that names the place."""

import numpy as np
import pytest
import trimesh

from finial.aero.band.band import PressureBand, pressure_band
from finial.aero.body import body_air
from finial.aero.fins.on_body import fin_air
from finial.aero.steps.fronts import LOST_CLOSED
from finial.aero.table.build import TableInputs, air_table
from finial.core.errors import MeshError, OutsideRange
from finial.shape.fin_set import FinSet
from finial.shape.mesh import Mesh
from finial.shape.sections import slice_skin
from finial.shape.skin import Skin

ANGLES = np.radians([0.0, 10.0, 20.0])
ROLLS = np.radians(np.arange(0.0, 360.0, 45.0))


def box(length: float, width: float, height: float, at: tuple[float, float, float]) -> trimesh.Trimesh:
    made = trimesh.creation.box((length, width, height))
    made.apply_translation(at)
    return made


def skin_of(*pieces: trimesh.Trimesh) -> Skin:
    whole = trimesh.util.concatenate(list(pieces))
    vertices = whole.vertices - [whole.vertices[:, 0].max(), 0.0, 0.0]
    return slice_skin([Mesh(vertices_m=vertices, faces=whole.faces)])


def answered(skin: Skin) -> PressureBand:
    body = body_air(skin)
    table = air_table(body, (), TableInputs(damping_centre_m=0.5 * body.length_m))
    for name in ("along", "across", "along_moment", "roll_moment", "axial_power_off", "pitch_damping"):
        assert np.isfinite(getattr(table, name)).all(), name
    band = pressure_band(body, (), ANGLES, ROLLS)
    assert np.isfinite(band.forward_m).all()
    assert np.isfinite(band.aft_m).all()
    return band


def test_a_needle_on_a_block_hardly_lifts() -> None:
    skin = skin_of(box(0.3, 0.001, 0.001, (0.15, 0, 0)), box(0.5, 0.1, 0.1, (-0.25, 0, 0)))
    band = answered(skin)
    # A block four widths long has 2.38; the bubble behind its flat face takes a fifth in the central guess.
    assert band.bare_slope.value == pytest.approx((1.0 - LOST_CLOSED[1]) * 2.38, rel=0.02)
    assert band.bare_slope.low < 2.38 < band.bare_slope.high
    assert band.bare_forward_m.min() > 0.2


def test_a_blade_of_a_body_lifts_in_one_plane_only() -> None:
    band = answered(skin_of(box(0.6, 0.2, 0.0005, (0, 0, 0))))
    broad, edge = (band.bare_central_m[0, k] for k in (2, 0))
    assert np.isfinite([broad, edge]).all()


def test_bodies_apart_along_the_axis_are_answered_with_what_was_left_out() -> None:
    skin = skin_of(box(0.2, 0.1, 0.1, (0.0, 0, 0)), box(0.5, 0.1, 0.1, (-0.45, 0, 0)))
    assert any("station" in note for note in skin.notes)
    answered(skin)


def test_bodies_apart_across_the_axis_add_up_to_two() -> None:
    """Far apart each carries its own 2.38 per base area (Newman 1977), and so do both together.

    Less a fifth, which the bubbles behind their flat faces take in the central guess.
    """
    skin = skin_of(box(0.5, 0.05, 0.05, (0, -1.0, 0)), box(0.5, 0.05, 0.05, (0, 1.0, 0)))
    assert answered(skin).bare_slope.value == pytest.approx((1.0 - LOST_CLOSED[1]) * 2.377, rel=0.01)


def test_an_arch_has_two_outlines_below_its_top_and_one_above() -> None:
    skin = skin_of(
        box(0.1, 0.3, 0.1, (0, 0, 0)),
        box(0.5, 0.05, 0.1, (-0.3, 0.12, 0)),
        box(0.5, 0.05, 0.1, (-0.3, -0.12, 0)),
    )
    counts = {len(section.loops) for section in skin.sections}
    assert counts == {1, 2}
    answered(skin)


def test_a_tower_on_its_side_is_short_and_wide_and_answered() -> None:
    skin = skin_of(box(0.1, 1.0, 0.1, (0, 0, 0)))
    assert skin.length_m / skin.width_m < 0.5
    answered(skin)


def test_a_flat_sheet_is_refused() -> None:
    sheet = Mesh(vertices_m=[[0, 0, 0], [-1, 0, 0], [-1, 1, 0], [0, 1, 0]], faces=[[0, 1, 2], [0, 2, 3]])
    with pytest.raises(MeshError, match="flat"):
        slice_skin([sheet])


def test_fins_that_cannot_be_are_refused_or_do_nothing() -> None:
    body = body_air(skin_of(box(1.0, 0.1, 0.1, (0, 0, 0))))

    def fins(outline: list[list[float]], **changed: float) -> FinSet:
        usual = {"station_m": 0.8, "root_radius_m": 0.05, "count": 4, "first_at_rad": 0.0, "thickness_m": 0.0}
        return FinSet(name="odd", outline_m=np.array(outline), **{**usual, **changed})  # type: ignore[arg-type]

    for outline in (
        [[0.0, 0.0], [0.1, 0.0], [0.2, 0.0]],
        [[0.0, 0.0], [0.1, 0.1]],
        [[0.0, 0.0], [0.1, np.nan], [0.2, 0.0]],
    ):
        with pytest.raises(OutsideRange, match="outline"):
            fin_air(body, [fins(outline)])
    whole = [[0.0, 0.0], [0.05, 0.1], [0.2, 0.1], [0.2, 0.0]]
    buried = fin_air(body, [fins(whole, root_radius_m=-0.06)])
    assert np.allclose(buried[0].slope_per_rad, 0.0, atol=1e-9)
    thin = fin_air(body, [fins(whole)])[0]
    assert np.linalg.eigvalsh(thin.slope_per_rad)[0] > 1.0
