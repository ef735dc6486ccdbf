"""Four odd vehicles with a full inside: teapot, arch, twin towers and statue, drawn in millimetres.

The sheets lie in ``odd/``; meshes, motor and what all four sheets share are written beside a copy.
"""

import shutil
from pathlib import Path

import numpy as np
import trimesh
from manifold3d import CrossSection, Manifold

HERE = Path(__file__).parent
SHAPES = ("teapot", "arch", "twin-towers", "statue")
_ROUND = 48


def written(folder: Path) -> dict[str, Path]:
    """Write every odd vehicle into a folder, and return where each sheet lies."""
    shared = (HERE / "odd" / "shared.toml").read_text(encoding="utf-8")
    found: dict[str, Path] = {}
    for shape in SHAPES:
        place = folder / shape
        place.mkdir(parents=True)
        for name, solid in _DRAWN[shape]().items():
            _save(solid, place / f"{name}.stl")
        for name in ("demo-h200.toml", "demo-h200.csv", "site.toml"):
            shutil.copy(HERE / "odd" / name, place / name)
        found[shape] = place / f"{shape}.toml"
        own = (HERE / "odd" / f"{shape}.toml").read_text(encoding="utf-8")
        found[shape].write_text(f"{own}\n{shared}", encoding="utf-8")
    return found


def _save(solid: Manifold, path: Path) -> None:
    mesh = solid.to_mesh()
    trimesh.Trimesh(np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts)).export(path)


def _box(x: tuple[float, float], y: tuple[float, float], z: tuple[float, float]) -> Manifold:
    size = [high - low for low, high in (x, y, z)]
    return Manifold.cube(size).translate([x[0], y[0], z[0]])


def _rod(
    radius: float, z: tuple[float, float], at: tuple[float, float] = (0.0, 0.0), top: float | None = None
) -> Manifold:
    """Upright cylinder or cone between two heights; a bore stands round its circle, not in it."""
    grown = radius / np.cos(np.pi / _ROUND)
    narrow = grown if top is None else top
    return Manifold.cylinder(z[1] - z[0], grown, narrow, _ROUND).translate([*at, z[0]])


def _turned(profile: list[tuple[float, float]]) -> Manifold:
    """Body of revolution from (radius, height), base first."""
    outline = [(0.0, profile[0][1]), *profile, (0.0, profile[-1][1])]
    return Manifold.revolve(CrossSection([outline]), _ROUND)


def _limb(start: tuple[float, float, float], end: tuple[float, float, float], radius: float) -> Manifold:
    """Cylinder with round ends between two points."""
    ends = [Manifold.sphere(radius, 24).translate(list(at)) for at in (start, end)]
    return Manifold.batch_hull(ends)


def _below(solid: Manifold, z: float) -> Manifold:
    return solid ^ _box((-900, 900), (-900, 900), (-900, z))


def _above(solid: Manifold, z: float) -> Manifold:
    return solid ^ _box((-900, 900), (-900, 900), (z, 2000))


def teapot() -> dict[str, Manifold]:
    belly = _turned([(95, 0), (140, 150), (130, 250), (90, 380), (70, 420)])
    spout = _below(_limb((100, 0, 160), (235, 0, 400), 27), 395) - _limb((190, 0, 320), (290, 0, 498), 15)
    ring = Manifold.revolve(CrossSection.circle(13, 24).translate([75, 0]), _ROUND).rotate([90, 0, 0])
    handle = ring.translate([-150, 0, 230])
    room = _rod(23, (-10, 200)) + _rod(45, (200, 430))
    body = (belly + spout + handle) - room
    lid = _turned([(70, 420), (62, 520), (40, 560), (18, 575), (18, 590), (32, 610), (24, 632), (4, 640)])
    return {"body": body, "lid": lid - _rod(40, (410, 510))}


def arch() -> dict[str, Manifold]:
    legs = [_box((side - 55, side + 55), (-55, 55), (0, 470)) for side in (-150, 150)]
    beam = _box((-205, 205), (-65, 65), (460, 620))
    rooms = _rod(45, (490, 630)) + _rod(33, (510, 630), (110, 0)) + _rod(33, (510, 630), (-110, 0))
    tubes = _rod(23, (-10, 204), (150, 0)) + _rod(23, (-10, 204), (-150, 0))
    lower = legs[0] + legs[1] + beam - rooms - tubes
    crown = _box((-150, 150), (-60, 60), (620, 660)) + Manifold.batch_hull(
        [_box((-150, 150), (-60, 60), (660, 661)), _box((-40, 40), (-20, 20), (719, 720))]
    )
    return {"portal": lower, "crown": crown - _rod(40, (610, 668))}


def twin_towers() -> dict[str, Manifold]:
    towers = [_rod(62, (0, 720), (x, 0)) + _rod(62, (720, 800), (x, 0), top=6) for x in (-95, 95)]
    whole = (
        towers[0] + towers[1] + _box((-95, 95), (-35, 35), (0, 50)) + _box((-95, 95), (-35, 35), (430, 500))
    )
    rooms = _rod(45, (205, 410), (-95, 0)) + _rod(45, (205, 410), (95, 0))
    tubes = _rod(23, (-10, 205), (-95, 0)) + _rod(23, (-10, 205), (95, 0))
    noses = _rod(40, (390, 600), (-95, 0)) + _rod(40, (390, 600), (95, 0))
    return {"bottoms": _below(whole, 400) - rooms - tubes, "tops": _above(whole, 400) - noses}


def statue() -> dict[str, Manifold]:
    robe = _turned([(88, 255), (80, 300), (66, 420), (72, 450), (84, 520), (60, 560), (24, 575), (24, 590)])
    head = Manifold.sphere(46, 32).translate([0, 0, 620])
    hat = _rod(47, (640, 652)) + _rod(30, (652, 690), top=22)
    torch = _limb((176, 0, 700), (176, 0, 725), 15)
    arm = _limb((60, 0, 520), (176, 0, 690), 25) + torch
    hanging = _limb((-75, 0, 525), (-86, 0, 450), 20)
    whole = _box((-85, 85), (-85, 85), (0, 260)) + robe + head + hat + arm + hanging
    lower = _below(whole, 420) - _rod(23, (-10, 205)) - _rod(45, (205, 430))
    along = np.array([176.0 - 60.0, 0.0, 690.0 - 520.0])
    lean = float(np.degrees(np.arctan2(along[0], along[2])))
    middle = np.array([60.0, 0.0, 520.0]) + 0.55 * along
    pocket = Manifold.cylinder(90, 13, 13, _ROUND, center=True).rotate([0, lean, 0]).translate(list(middle))
    upper = _above(whole, 420) - _rod(30, (410, 570)) - pocket
    return {"pedestal and robe": lower, "torso": upper}


_DRAWN = {"teapot": teapot, "arch": arch, "twin-towers": twin_towers, "statue": statue}
