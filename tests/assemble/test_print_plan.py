"""The print plan of an example: pieces read back, put together again, and what refuses to be cut."""

from dataclasses import replace

import numpy as np
import pytest

from finial.assemble.prints.plan import KnownLoads, print_plan
from finial.assemble.prints.strength import as_printed
from finial.assemble.prints.turning import best_ways, ways_up
from finial.assemble.strength.cuts import ROOM, cuts_through, layer_strength
from finial.core.errors import BuildSheetError
from finial.core.estimates import KnownBy
from finial.core.units import Quantity
from finial.files.sheet_body import CutEntry, PrintedEntry
from finial.files.stl import read_stl, stl_bytes
from finial.printing.cuts import Demand, Why
from finial.printing.sound import VOLUME_SHARE
from finial.report.print_files import piece_file, plan_files
from finial.shape.mesh import Mesh
from finial.shape.united import mesh_of, solid_of_mesh, united

NEAR_M = 0.05e-3
"""A set that is put together again lies this near to what was drawn [m]."""


def with_bed(vehicle, *sides_m: float):
    sides = tuple(Quantity(value=side, text=f"{1e3 * side:.0f} mm") for side in sides_m)
    bed = vehicle.sheet.print.model_copy(update={"bed": sides})
    return replace(vehicle, sheet=vehicle.sheet.model_copy(update={"print": bed}))


@pytest.fixture(scope="module")
def plan(lighthouse):
    return print_plan(with_bed(lighthouse, 0.25, 0.25, 0.28), lambda _note: None)


def in_place(piece):
    """A piece as its file holds it, back in the vehicle, by the place the plan tells."""
    vertices, faces, _ = read_stl(stl_bytes(piece.sound.vertices_mm, piece.sound.faces))
    on_bed = 1e-3 * vertices + np.array(piece.corner_m)
    return solid_of_mesh(Mesh(vertices_m=on_bed @ piece.lying.matrix, faces=faces))


def test_every_file_read_back_is_one_closed_body_that_fits_the_bed(plan) -> None:
    """Read by trimesh, a library of others."""
    import io

    import trimesh

    files = plan_files(plan)
    assert [piece.number for piece in plan.pieces] == list(range(1, 9))
    for piece in plan.pieces:
        mesh = trimesh.load_mesh(io.BytesIO(files[piece_file(piece)]), file_type="stl")
        mesh.merge_vertices()
        assert mesh.is_watertight, piece_file(piece)
        assert mesh.body_count == 1
        assert mesh.volume == pytest.approx(piece.sound.volume_mm3, rel=VOLUME_SHARE)
        assert (mesh.extents <= np.array([250.0, 250.0, 280.0]) + 1e-3).all()
        assert mesh.bounds[0] == pytest.approx([0.0, 0.0, 0.0], abs=1e-3)


def test_the_3mf_holds_every_piece_in_millimetres_and_none_in_another(plan) -> None:
    import io

    import trimesh

    from finial.report.print_files import ALL_PIECES

    scene = trimesh.load_scene(io.BytesIO(plan_files(plan)[ALL_PIECES]), file_type="3mf")
    assert scene.units == "millimeter"
    assert len(scene.geometry) == len(plan.pieces)
    assert sum(one.volume for one in scene.geometry.values()) == pytest.approx(
        sum(piece.sound.volume_mm3 for piece in plan.pieces), rel=VOLUME_SHARE
    )
    boxes = [one.bounds for one in scene.dump()]
    for n, one in enumerate(boxes):
        for other in boxes[:n]:
            assert (one[0][:2] >= other[1][:2]).any() or (one[1][:2] <= other[0][:2]).any()


def test_the_printed_set_put_together_is_what_was_drawn(plan, lighthouse) -> None:
    """Everywhere on the skin but where rods and tabs go in, and nothing stands out of it."""
    import manifold3d

    for part in lighthouse.parts:
        mine = [in_place(piece) for piece in plan.pieces if piece.part == part.spec.name]
        again = manifold3d.Manifold.batch_boolean(mine, manifold3d.OpType.Add)
        drawn = united(part.mended)
        assert (again - drawn).volume() < 1e-6 * drawn.volume(), part.spec.name
        points = on_surface(mesh_of(drawn), 240)
        points = points[~(near_rods(points) | in_slots(points))]
        assert len(points) > 100
        assert gaps(points, mesh_of(again).triangles_m).max() < NEAR_M, part.spec.name


def on_surface(mesh: Mesh, count: int) -> np.ndarray:
    """Points spread over a surface by its area."""
    rng = np.random.default_rng(1)
    corners = mesh.triangles_m
    areas = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
    chosen = corners[rng.choice(len(corners), count, p=areas / areas.sum())]
    weights = rng.dirichlet((1.0, 1.0, 1.0), count)
    return (chosen * weights[:, :, None]).sum(axis=1)


def near_rods(points: np.ndarray) -> np.ndarray:
    """Round the four M8 rods on their circle of 95 mm, as the sheet has them."""
    places = 0.0475 * np.array([[1, 0], [0, 1], [-1, 0], [0, -1]])
    return (np.linalg.norm(points[:, None, 1:] - places, axis=2) < 4.5e-3).any(axis=1)


def in_slots(points: np.ndarray) -> np.ndarray:
    """In the slots of the four fins, 45 degrees round: 6.5 mm thick, from 940 to 1190 mm."""
    along = (-points[:, 0] > 0.938) & (-points[:, 0] < 1.192)
    turned = np.array([[1, 1], [-1, 1]]) / np.sqrt(2)
    return along & (np.abs(points[:, 1:] @ turned.T) < 4e-3).any(axis=1)


def gaps(points: np.ndarray, triangles: np.ndarray) -> np.ndarray:
    """Distance of each point from the nearest of many triangles: its plane or its edges."""
    a, b, c = (triangles[:, n] for n in range(3))
    normal = np.cross(b - a, c - a)
    size = np.linalg.norm(normal, axis=1)
    a, b, c, normal = (one[size > 0] for one in (a, b, c, normal))
    normal = normal / size[size > 0, None]
    found = []
    for point in points:
        off = ((point - a) * normal).sum(axis=1)
        foot = point - off[:, None] * normal
        sides = [(np.cross(q - p, foot - p) * normal).sum(axis=1) >= 0.0 for p, q in ((a, b), (b, c), (c, a))]
        flat = np.where(np.logical_and.reduce(sides), np.abs(off), np.inf).min()
        edges = min(_from_edge(point, p, q) for p, q in ((a, b), (b, c), (c, a)))
        found.append(min(flat, edges))
    return np.array(found)


def _from_edge(point: np.ndarray, start: np.ndarray, end: np.ndarray) -> float:
    along = end - start
    share = ((point - start) * along).sum(axis=1) / np.maximum((along**2).sum(axis=1), 1e-30)
    foot = start + np.clip(share, 0.0, 1.0)[:, None] * along
    return float(np.linalg.norm(point - foot, axis=1).min())


def test_volumes_add_up_to_the_part_less_its_holes(plan, lighthouse) -> None:
    """The dome has no hole but the number sunk into it: drawn less strokes 0.6 mm deep."""
    from finial.printing.numbers import DEPTH_M, Marking, digits

    (dome,) = [piece for piece in plan.pieces if piece.part == "dome"]
    drawn = united(lighthouse.parts[0].mended).volume()
    sunk = digits(1, 0.010).area * DEPTH_M
    assert dome.mark is Marking.DIGITS
    assert 1e-9 * dome.sound.volume_mm3 == pytest.approx(drawn - sunk, rel=2e-6)


def test_no_seam_goes_through_root_plate_or_joint(plan) -> None:
    stations = [joint.station_m for joint in plan.joints]
    assert len(stations) == 3
    # The motor's tube goes from 790 to 1192 mm: what is longer than the bed there is cut amid it, and told.
    assert [[bar.why for bar in joint.through] for joint in plan.joints] == [[], [], [Why.MOTOR_TUBE]]
    # Fins from 940 to 1190 mm, 5 mm kept on either side; the lower tower begins at 890 mm.
    assert 0.890 < stations[-1] <= 0.935


def test_a_ledge_hides_the_seam_and_loads_move_it(lighthouse) -> None:
    bedded = with_bed(lighthouse, 0.25, 0.25, 0.28)
    free = {joint.part: joint for joint in print_plan(bedded, lambda _note: None).joints}
    assert free["middle tower"].at_ledge
    hard = Demand(
        stations_m=np.array([0.0, 0.42, 0.44, 0.46, 1.2]), shares=np.array([0.0, 0.0, 1.0, 0.0, 0.0])
    )
    moved = {
        joint.part: joint for joint in print_plan(bedded, lambda _note: None, KnownLoads(demand=hard)).joints
    }
    assert abs(moved["upper tower"].station_m - 0.44) > 0.015
    assert moved["upper tower"].demand < 0.3
    assert free["upper tower"].demand is None


def test_where_rods_cross_a_seam_they_clamp_it_unless_it_is_glued(plan) -> None:
    kinds = {joint.part: joint.kind.value for joint in plan.joints}
    assert kinds == {"upper tower": "dowels", "middle tower": "dowels", "lower tower and plinth": "rods"}


def test_a_bed_too_low_for_a_fins_root_is_refused_with_the_root(lighthouse) -> None:
    with pytest.raises(BuildSheetError, match=r"lower tower and plinth: no cut .* fin root of 'fins'"):
        print_plan(with_bed(lighthouse, 0.25, 0.25, 0.2), lambda _note: None)


def test_a_bed_too_small_across_is_refused_with_both_sizes(lighthouse) -> None:
    with pytest.raises(BuildSheetError, match=r"166 x 166 mm across, a bed of 50 x 50 x 280 mm"):
        print_plan(with_bed(lighthouse, 0.05, 0.05, 0.28), lambda _note: None)


def test_a_narrow_bed_takes_the_parts_in_halves_and_quarters(lighthouse) -> None:
    narrow = print_plan(with_bed(lighthouse, 0.12, 0.12, 0.285), lambda _note: None)
    assert all(piece.lying.fits for piece in narrow.pieces)
    along = [joint for joint in narrow.joints if joint.roll_rad is not None]
    assert along
    # Fins stand at 45 degrees and rods at 0: a cut through the axis keeps 3.25 + 5 mm and 8 mm from them.
    for joint in along:
        if joint.part == "lower tower and plinth":
            for roll_deg in (45.0, 135.0):
                normal = np.radians(roll_deg) - joint.roll_rad
                assert abs(0.07 * np.cos(normal)) > 8.25e-3


def test_no_bed_no_plan(lighthouse) -> None:
    bare = replace(lighthouse, sheet=lighthouse.sheet.model_copy(update={"print": None}))
    with pytest.raises(BuildSheetError, match="the bed of your printer"):
        print_plan(bare, lambda _note: None)


def changed_sheet(vehicle, **tables):
    return replace(vehicle, sheet=vehicle.sheet.model_copy(update=tables))


def with_cuts(vehicle, name: str, *cuts):
    parts = tuple(
        replace(part, spec=part.spec.model_copy(update={"cuts": cuts})) if part.spec.name == name else part
        for part in vehicle.parts
    )
    return replace(changed_sheet(vehicle, part=tuple(part.spec for part in parts)), parts=parts)


def seam(station_m: float, held_by: str = "glue"):
    return CutEntry(station=Quantity(value=station_m, text=f"{1e3 * station_m:.0f} mm"), held_by=held_by)


def test_cuts_of_the_sheet_are_made_whatever_they_go_through_and_that_is_told(lighthouse) -> None:
    own = with_cuts(with_bed(lighthouse, 0.25, 0.25, 0.28), "lower tower and plinth", seam(1.0))
    (joint,) = [one for one in print_plan(own, lambda _note: None).joints if one.part.startswith("lower")]
    assert joint.station_m == 1.0
    assert [bar.why for bar in joint.through] == [Why.FIN_ROOT, Why.MOTOR_TUBE]


def test_own_cuts_that_leave_a_piece_too_long_are_refused(lighthouse) -> None:
    own = with_cuts(with_bed(lighthouse, 0.25, 0.25, 0.2), "middle tower", seam(0.6))
    with pytest.raises(BuildSheetError, match="a piece from 600 to 890 mm by its own cuts"):
        print_plan(own, lambda _note: None)


def test_a_seam_is_a_joint_that_the_strength_look_sees(lighthouse) -> None:
    """Glue keeps half to all of the layers beside it, as between parts; rods must reach it."""
    plain = cuts_through(lighthouse, ROOM)
    glued = cuts_through(with_cuts(lighthouse, "middle tower", seam(0.7)), ROOM)
    assert len(glued.stack.specs) == len(plain.stack.specs) + 1
    (spec,) = [one for one in glued.stack.specs if abs(one.station_m - 0.7) < 1e-9]
    layers = layer_strength(lighthouse, lighthouse.parts[3], ROOM)
    assert spec.walls.tension_strength.low == pytest.approx(0.5 * layers.low)
    assert spec.walls.tension_strength.high == pytest.approx(layers.high)
    dry = cuts_through(with_cuts(lighthouse, "middle tower", seam(0.7, "rods")), ROOM)
    (clamped,) = [one for one in dry.stack.specs if abs(one.station_m - 0.7) < 1e-9]
    assert clamped.walls.tension_strength is None
    assert clamped.rods is not None
    # The rods begin at 300 mm; the dome ends at 128 mm.
    loose = cuts_through(with_cuts(lighthouse, "dome", seam(0.1, "rods")), ROOM)
    assert (0.1, "dome") in loose.unheld


def test_the_plan_as_printed_has_its_cuts_in_the_sheet_and_no_more(plan, lighthouse) -> None:
    printed = as_printed(with_bed(lighthouse, 0.25, 0.25, 0.28), plan)
    told = {part.name: [cut.held_by for cut in part.cuts] for part in printed.sheet.part if part.cuts}
    assert told == {
        "upper tower": ["dowels"],
        "middle tower": ["dowels"],
        "lower tower and plinth": ["rods"],
    }
    assert printed.parts[0] is lighthouse.parts[0]


def test_pieces_already_made_teach_the_others(plan, lighthouse) -> None:
    """By hand: one piece a tenth heavier than the formula says, taking half as long again."""
    from finial.files.sheet_body import MadeEntry

    first, other = plan.pieces[2], plan.pieces[3]
    weighed = plan.pieces[2].plastic_m3 * 1270.0
    bare = [piece.plastic_m3 * 1270.0 for piece in (first, other)]
    nobody = tuple(part.model_copy(update={"weighed": None}) for part in lighthouse.sheet.part)
    made = MadeEntry(
        part="upper tower",
        piece=1,
        weighed=Quantity(value=1.1 * weighed, text="made"),
        took=Quantity(value=36_000.0, text="10 h"),
    )
    bedded = with_bed(lighthouse, 0.25, 0.25, 0.28)
    entry = bedded.sheet.print.model_copy(update={"made": (made,)})
    parts = tuple(replace(part, spec=spec) for part, spec in zip(lighthouse.parts, nobody, strict=True))
    taught = print_plan(
        replace(changed_sheet(bedded, part=nobody, print=entry), parts=parts), lambda _note: None
    )
    assert (taught.learned.weighed, taught.learned.timed) == (1, 1)
    assert taught.learned.mass.value == pytest.approx(1.1, rel=1e-6)
    assert taught.pieces[2].is_made
    assert taught.pieces[2].effort.mass.known_by is KnownBy.WEIGHED
    assert taught.pieces[2].effort.time.value == 36_000.0
    assert taught.pieces[3].effort.mass.value == pytest.approx(1.1 * bare[1], rel=1e-6)
    assert taught.pieces[3].effort.mass.low == pytest.approx(1.1 * bare[1] * 0.95, rel=1e-6)


def test_layers_that_nobody_says_lie_where_the_loads_want_them(lighthouse) -> None:
    part = lighthouse.parts[3]
    open_print = PrintedEntry.model_validate({"wall": "1.6 mm", "infill": "8 %"})
    free = replace(part, spec=part.spec.model_copy(update={"print": open_print}))
    bed = ("+z", (0.4, 0.4, 0.4))
    standing = best_ways(free, part.mended.mesh, bed, weak=False)
    lying_down = best_ways(free, part.mended.mesh, bed, weak=True)
    assert abs(lying_down[0][0]) == 0.0
    assert best_ways(part, part.mended.mesh, bed, weak=True) == ways_up(part, "+z")
    assert abs(standing[0][0]) == 1.0


def test_what_a_sample_held_goes_before_the_layers(lighthouse) -> None:
    """9 kN over the whole seam, by the area of the walls there."""
    held = seam(0.7).model_copy(
        update={"holds": Quantity(value=9000.0, tolerance=900.0, text="9 kN +- 0.9 kN")}
    )
    cuts = cuts_through(with_cuts(lighthouse, "middle tower", held), ROOM)
    (spec,) = [one for one in cuts.stack.specs if abs(one.station_m - 0.7) < 1e-9]
    area = spec.walls.area.area_m2
    assert spec.walls.tension_strength.value * area == pytest.approx(9000.0)
    assert spec.walls.tension_strength.low * area == pytest.approx(8100.0)


def test_a_part_in_another_unit_is_refused_at_once(lighthouse) -> None:
    """A bed of 6 mm under a tower of 310 mm: somebody wrote mm for another unit."""
    with pytest.raises(BuildSheetError, match="unit is wrong"):
        print_plan(with_bed(lighthouse, 0.25, 0.25, 0.006), lambda _note: None)


def test_walls_under_two_lines_are_told(lighthouse) -> None:
    """Lines of a 0.4 mm nozzle are 0.45 mm wide: 0.9 mm are two of them, 0.8 mm are not."""
    for wall_m, thin in ((0.8e-3, ("dome",)), (0.95e-3, ())):
        dome = lighthouse.parts[0]
        entry = dome.spec.print.model_copy(update={"wall": Quantity(value=wall_m, text="thin")})
        part = replace(dome, spec=dome.spec.model_copy(update={"print": entry}))
        sheet = with_bed(lighthouse, 0.3, 0.3, 0.34).sheet
        alone = replace(
            lighthouse,
            parts=(part, *lighthouse.parts[1:]),
            sheet=sheet.model_copy(update={"part": (part.spec, *sheet.part[1:])}),
        )
        assert print_plan(alone, lambda _note: None).thin == thin


def test_a_cut_amid_a_motor_tube_is_made_and_told(lighthouse) -> None:
    """The motor's tube stands in the lower tower; its root of fins leaves the seam ahead of it."""
    from finial.report.print_text import plan_section

    own = with_cuts(with_bed(lighthouse, 0.25, 0.25, 0.28), "lower tower and plinth", seam(0.93))
    plan = print_plan(own, lambda _note: None)
    (joint,) = [one for one in plan.joints if one.part.startswith("lower")]
    assert [bar.why for bar in joint.through] == [Why.MOTOR_TUBE]
    (note,) = [note for note in plan_section(plan).notes if "amid its length" in note]
    assert "lower tower and plinth at 930 mm goes through the motor tube" in note


def test_refusals_are_told_in_the_builders_units(lighthouse) -> None:
    """166 mm are 6.54 in, 50 mm 1.97 in."""
    bedded = with_bed(lighthouse, 0.05, 0.05, 0.28)
    entry = bedded.sheet.vehicle.model_copy(update={"show_units": "us"})
    inches = replace(bedded, sheet=bedded.sheet.model_copy(update={"vehicle": entry}))
    with pytest.raises(BuildSheetError, match=r"6.5\d x 6.5\d in across, a bed of 1.97 x 1.97 x 11.02 in"):
        print_plan(inches, lambda _note: None)
