"""Meshes written by trimesh, an independent library, and by hand, read back in metres."""

import importlib.util
import struct
import zipfile
from itertools import product

import numpy as np
import pytest
import trimesh

from finial.core.errors import MeshError
from finial.files import step
from finial.files.meshes import read_mesh, read_objects

SIDES_MM = np.array([30.0, 50.0, 120.0])
CORNER_MM = np.array([5.0, -7.0, 11.0])


def box():
    shape = trimesh.creation.box(SIDES_MM)
    shape.apply_translation(CORNER_MM + SIDES_MM / 2)
    return shape


def signed_volume_m3(mesh):
    a, b, c = np.moveaxis(mesh.vertices_m[mesh.faces], 1, 0)
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6)


def assert_is_the_box(mesh, scale=1e-3):
    assert mesh.vertices_m.shape == (8, 3)
    assert mesh.faces.shape == (12, 3)
    np.testing.assert_allclose(mesh.vertices_m.min(axis=0), CORNER_MM * scale, rtol=1e-6)
    np.testing.assert_allclose(mesh.vertices_m.max(axis=0), (CORNER_MM + SIDES_MM) * scale, rtol=1e-6)
    assert signed_volume_m3(mesh) == pytest.approx(SIDES_MM.prod() * scale**3, rel=1e-6)
    assert not mesh.vertices_m.flags.writeable
    assert not mesh.faces.flags.writeable


@pytest.mark.parametrize(
    ("file_type", "name"),
    [("stl", "a.stl"), ("stl_ascii", "b.STL"), ("obj", "c.obj"), ("ply", "d.ply"), ("3mf", "e.3mf")],
)
def test_each_format_gives_the_same_box(tmp_path, file_type, name):
    path = tmp_path / name
    box().export(path, file_type=file_type)
    mesh = read_mesh(path, None if file_type == "3mf" else "mm")
    assert_is_the_box(mesh)
    assert mesh.format == path.suffix[1:].lower()
    assert mesh.objects == 1


@pytest.mark.parametrize(("unit", "metres"), [("cm", 0.01), ("in", 0.0254), ("mm", 0.001)])
def test_the_unit_scales_the_mesh(tmp_path, unit, metres):
    box().export(tmp_path / "a.stl")
    assert_is_the_box(read_mesh(tmp_path / "a.stl", unit), scale=metres)


def test_quads_of_an_obj_become_triangles_and_its_materials_are_not_opened(tmp_path):
    corners = "\n".join(f"v {x} {y} {z}" for x, y, z in product((0, 30), (0, 40), (0, 50)))
    quads = "f 1 2 4 3\nf 5 7 8 6\nf 1 5 6 2\nf 3 4 8 7\nf 1 3 7 5\nf 2 6 8 4"
    path = tmp_path / "box.obj"
    path.write_text(f"mtllib /etc/hostname\n{corners}\nusemtl red\n{quads}\n")
    mesh = read_mesh(path, "mm")
    assert mesh.faces.shape == (12, 3)
    assert signed_volume_m3(mesh) == pytest.approx(6e-5, rel=1e-6)


THREE_MF_MODEL = """<?xml version="1.0" encoding="UTF-8"?>
<model unit="inch" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">
 <resources><object id="1" type="model"><mesh><vertices>
  <vertex x="0" y="0" z="0"/><vertex x="2" y="0" z="0"/><vertex x="0" y="2" z="0"/><vertex x="0" y="0" z="2"/>
 </vertices><triangles>
  <triangle v1="0" v2="2" v3="1"/><triangle v1="0" v2="1" v3="3"/>
  <triangle v1="0" v2="3" v3="2"/><triangle v1="1" v2="2" v3="3"/>
 </triangles></mesh></object></resources>
 <build><item objectid="1"/><item objectid="1" transform="1 0 0 0 1 0 0 0 1 10 0 0"/></build>
</model>"""


def write_3mf(path, model=THREE_MF_MODEL):
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("3D/3dmodel.model", model)


def test_3mf_carries_its_unit_and_places_every_copy(tmp_path):
    # Units and transforms: 3MF core specification 1.3, sections 3.3 and 3.4 (from memory, not re-read).
    path = tmp_path / "two.3mf"
    write_3mf(path)
    mesh = read_mesh(path)
    assert mesh.faces.shape == (8, 3)
    np.testing.assert_allclose(mesh.vertices_m.max(axis=0), [12 * 0.0254, 2 * 0.0254, 2 * 0.0254], rtol=1e-9)
    assert signed_volume_m3(mesh) == pytest.approx(2 * 8 / 6 * 0.0254**3, rel=1e-9)


def test_3mf_with_colours_and_several_objects_keeps_every_triangle(tmp_path):
    """Core specification 1.3, section 5: a colour for an object, others for its triangles."""
    colours = (
        '<basematerials id="5"><base name="red" displaycolor="#FF0000"/>'
        '<base name="blue" displaycolor="#0000FFFF"/></basematerials>'
    )
    model = THREE_MF_MODEL.replace("<resources>", f"<resources>{colours}")
    model = model.replace('<object id="1" type="model">', '<object id="1" type="model" pid="5" pindex="0">')
    model = model.replace(
        '<triangle v1="0" v2="2" v3="1"/>', '<triangle v1="0" v2="2" v3="1" pid="5" p1="1"/>'
    )
    other = model[model.index("<object") : model.index("</object>") + 9].replace('id="1"', 'id="2"', 1)
    model = model.replace("</resources>", f"{other}</resources>")
    model = model.replace("</build>", '<item objectid="2" transform="1 0 0 0 1 0 0 0 1 0 10 0"/></build>')
    write_3mf(tmp_path / "a.3mf", model)
    mesh = read_mesh(tmp_path / "a.3mf")
    assert mesh.objects == 3
    assert signed_volume_m3(mesh) == pytest.approx(3 * 8 / 6 * 0.0254**3, rel=1e-9)


def test_objects_of_a_3mf_come_one_by_one_with_name_colour_and_place(tmp_path):
    """Core specification 1.3, section 5, and its materials extension; two colours on one object are none."""
    groups = (
        '<basematerials id="5"><base name="red" displaycolor="#FF0000"/>'
        '<base name="blue" displaycolor="#0000FFCC"/></basematerials>'
        '<m:colorgroup xmlns:m="http://schemas.microsoft.com/3dmanufacturing/material/2015/02" id="6">'
        '<m:color color="#00FF00"/></m:colorgroup>'
    )
    body = THREE_MF_MODEL[THREE_MF_MODEL.index("<mesh>") : THREE_MF_MODEL.index("</mesh>") + 7]
    odd = body.replace('<triangle v1="0" v2="2" v3="1"/>', '<triangle v1="0" v2="2" v3="1" pid="6" p1="0"/>')
    objects = (
        f'<object id="1" name="roof &amp; rail" pid="5" pindex="1">{body}</object>'
        f'<object id="2" name="wall" pid="6">{body}</object>'
        f'<object id="3" pid="5" pindex="0">{odd}</object>'
    )
    items = "".join(
        f'<item objectid="{number}" transform="1 0 0 0 1 0 0 0 1 0 {10 * number} 0"/>' for number in (1, 2, 3)
    )
    head = THREE_MF_MODEL[: THREE_MF_MODEL.index("<resources>")]
    write_3mf(
        tmp_path / "a.3mf", f"{head}<resources>{groups}{objects}</resources><build>{items}</build></model>"
    )
    every = read_objects(tmp_path / "a.3mf", most=3)
    assert [(one.name, one.colour) for one in every] == [
        ("roof & rail", "#0000FF"),
        ("wall", "#00FF00"),
        ("", ""),
    ]
    assert [one.raw.vertices_m[:, 1].min() / 0.0254 for one in every] == pytest.approx([10.0, 20.0, 30.0])
    whole = read_mesh(tmp_path / "a.3mf")
    assert sum(signed_volume_m3(one.raw) for one in every) == pytest.approx(
        signed_volume_m3(whole), rel=1e-12
    )


def test_more_objects_than_parts_are_refused_with_their_number(tmp_path):
    write_3mf(tmp_path / "a.3mf")
    assert len(read_objects(tmp_path / "a.3mf", most=2)) == 2
    with pytest.raises(MeshError, match="2 objects, of which at most 1 become a part each"):
        read_objects(tmp_path / "a.3mf", most=1)


def test_an_object_too_small_to_be_a_part_is_named(tmp_path):
    small = THREE_MF_MODEL.replace('"inch"', '"millimeter"').replace('id="1" type', 'id="1" name="pin" type')
    write_3mf(tmp_path / "a.3mf", small)
    with pytest.raises(MeshError, match=r"a\.3mf: object 'pin': its longest side is 2 mm"):
        read_objects(tmp_path / "a.3mf", most=3)


def test_3mf_with_a_unit_that_is_none_is_refused(tmp_path):
    write_3mf(tmp_path / "a.3mf", THREE_MF_MODEL.replace('"inch"', '"furlong"'))
    with pytest.raises(MeshError, match="'furlong' is none of the 3MF units"):
        read_mesh(tmp_path / "a.3mf")


def test_equal_corners_are_joined_also_minus_zero(tmp_path):
    facets = [((0, 0, 0), (30, 0, 0), (0, 40, 0)), ((-0.0, 0, 0), (0, 40, 0), (0, 0, 50))]
    content = b" " * 80 + struct.pack("<I", 2)
    for facet in facets:
        content += struct.pack("<12fH", 0, 0, 0, *np.ravel(facet), 0)
    (tmp_path / "a.stl").write_bytes(content)
    assert read_mesh(tmp_path / "a.stl", "mm").vertices_m.shape == (4, 3)


class StepText:
    """ISO 10303-21 text of a box of those sides in mm: six planes with four straight edges each."""

    def __init__(self, sides):
        self.lines = []
        self.at = {key: np.array(key) * sides for key in product((0, 1), repeat=3)}
        self.vertices = {key: self.put(f"VERTEX_POINT('',{self.point(at)})") for key, at in self.at.items()}
        self.edges = {pair: self.edge(*pair) for pair in product(self.at, repeat=2) if self.is_edge(*pair)}
        faces = ",".join(self.face(axis, side) for axis, side in product(range(3), (0, 1)))
        shell = self.put(f"CLOSED_SHELL('',({faces}))")
        self.describe(self.put(f"MANIFOLD_SOLID_BREP('',{shell})"))

    def put(self, text):
        self.lines.append(f"#{len(self.lines) + 1}={text};")
        return f"#{len(self.lines)}"

    def point(self, values):
        return self.put(f"CARTESIAN_POINT('',({','.join(str(float(v)) for v in values)}))")

    def direction(self, values):
        return self.put(f"DIRECTION('',({','.join(str(float(v)) for v in values)}))")

    def place(self, origin, axis, across):
        spot, up, side = self.point(origin), self.direction(axis), self.direction(across)
        return self.put(f"AXIS2_PLACEMENT_3D('',{spot},{up},{side})")

    def is_edge(self, a, b):
        return a < b and np.abs(np.subtract(a, b)).sum() == 1

    def edge(self, a, b):
        vector = self.put(f"VECTOR('',{self.direction(np.subtract(b, a))},1.)")
        line = self.put(f"LINE('',{self.point(self.at[a])},{vector})")
        return self.put(f"EDGE_CURVE('',{self.vertices[a]},{self.vertices[b]},{line},.T.)")

    def face(self, axis, side):
        u, v = (axis + 1) % 3, (axis + 2) % 3
        ring = [(0, 0), (1, 0), (1, 1), (0, 1)]
        loop = []
        for uv in ring if side else ring[::-1]:
            corner = [0, 0, 0]
            corner[axis], corner[u], corner[v] = side, *uv
            loop.append(tuple(corner))
        oriented = []
        for a, b in zip(loop, loop[1:] + loop[:1], strict=True):
            forward = (a, b) in self.edges
            edge = self.edges[(a, b) if forward else (b, a)]
            oriented.append(self.put(f"ORIENTED_EDGE('',*,*,{edge},.{'T' if forward else 'F'}.)"))
        unit = np.eye(3)
        plane = self.put(f"PLANE('',{self.place(self.at[loop[0]], (2 * side - 1) * unit[axis], unit[u])})")
        edge_loop = self.put(f"EDGE_LOOP('',({','.join(oriented)}))")
        bound = self.put(f"FACE_OUTER_BOUND('',{edge_loop},.T.)")
        return self.put(f"ADVANCED_FACE('',({bound}),{plane},.T.)")

    def context(self):
        millimetre = self.put("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))")
        radian = self.put("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))")
        steradian = self.put("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())")
        unsure = self.put(f"UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(1.E-05),{millimetre},'accuracy','')")
        return self.put(
            f"(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT(({unsure}))"
            f"GLOBAL_UNIT_ASSIGNED_CONTEXT(({millimetre},{radian},{steradian}))REPRESENTATION_CONTEXT('',''))"
        )

    def describe(self, solid):
        origin = self.place((0, 0, 0), (0, 0, 1), (1, 0, 0))
        shape = self.put(f"ADVANCED_BREP_SHAPE_REPRESENTATION('',({origin},{solid}),{self.context()})")
        application = self.put("APPLICATION_CONTEXT('automotive design')")
        item_context = self.put(f"PRODUCT_CONTEXT('',{application},'mechanical')")
        item = self.put(f"PRODUCT('box','box','',({item_context}))")
        formation = self.put(f"PRODUCT_DEFINITION_FORMATION('','',{item})")
        stage = self.put(f"PRODUCT_DEFINITION_CONTEXT('part definition',{application},'design')")
        definition = self.put(f"PRODUCT_DEFINITION('design','',{formation},{stage})")
        meaning = self.put(f"PRODUCT_DEFINITION_SHAPE('','',{definition})")
        self.put(f"SHAPE_DEFINITION_REPRESENTATION({meaning},{shape})")

    def __str__(self):
        name = "FILE_DESCRIPTION((''),'2;1');FILE_NAME('','',(''),(''),'','','')"
        header = f"HEADER;{name};FILE_SCHEMA(('AUTOMOTIVE_DESIGN'));ENDSEC;"
        return "\n".join(["ISO-10303-21;", header, "DATA;", *self.lines, "ENDSEC;", "END-ISO-10303-21;", ""])


@pytest.mark.skipif(
    importlib.util.find_spec("cascadio") is None, reason="the extra that reads STEP is not installed"
)
def test_step_is_read_in_metres_with_its_axes_kept(tmp_path):
    path = tmp_path / "box.step"
    path.write_text(str(StepText([30, 50, 120])))
    mesh = read_mesh(path)
    np.testing.assert_allclose(np.ptp(mesh.vertices_m, axis=0), [0.030, 0.050, 0.120], rtol=1e-6)
    assert mesh.vertices_m.shape == (8, 3)
    assert signed_volume_m3(mesh) == pytest.approx(30 * 50 * 120e-9, rel=1e-6)


def test_step_without_the_extra_says_what_to_install(tmp_path, monkeypatch):
    monkeypatch.setattr(step, "find_spec", lambda name: None)
    path = tmp_path / "box.step"
    path.write_text(str(StepText([30, 50, 120])))
    with pytest.raises(MeshError, match=r"finial\[step\]"):
        read_mesh(path)
