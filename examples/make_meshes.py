"""Write the example meshes: binary STL, millimetres, z up, base at z = 0.

Run ``python examples/make_meshes.py``; the files come out the same on every machine.

The shapes are invented. They are drawn the way CAD programs tend to export them: several
bodies that overlap in one file, a closed cavity as an inside-out body, here and there a face
that is turned the wrong way. Finial has to cope with all of that.
"""

import itertools
import math
from collections.abc import Iterable, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Triangles = NDArray[np.float64]
Profile = Sequence[tuple[float, float]]
"""Height [mm] and size across flats, or diameter [mm], from the bottom up."""

HERE = Path(__file__).parent
POINTS_ROUND = 48
"""Points on every ring; a multiple of 8, so that corners of squares and octagons are hit."""


def ring(sides: int, across: float, height: float) -> NDArray[np.float64]:
    """Points of one closed ring, flats facing +x; sides = 0 is a circle."""
    angles = np.arange(POINTS_ROUND) * 2 * math.pi / POINTS_ROUND
    radius = np.full(POINTS_ROUND, across / 2)
    if sides:
        sector = 2 * math.pi / sides
        radius /= np.cos((angles + sector / 2) % sector - sector / 2)
    points = np.column_stack(
        [radius * np.cos(angles), radius * np.sin(angles), np.full(POINTS_ROUND, height)]
    )
    return points.round(6)


def band(lower: NDArray[np.float64], upper: NDArray[np.float64]) -> Triangles:
    """Wall between two rings, seen from outside."""
    after_lower, after_upper = np.roll(lower, -1, axis=0), np.roll(upper, -1, axis=0)
    first = np.stack([lower, after_lower, after_upper], axis=1)
    second = np.stack([lower, after_upper, upper], axis=1)
    return np.concatenate([first, second])


def lid(edge: NDArray[np.float64]) -> Triangles:
    """Flat fan that closes a ring from above."""
    middle = np.broadcast_to([0.0, 0.0, edge[0, 2]], edge.shape)
    return np.stack([middle, edge, np.roll(edge, -1, axis=0)], axis=1)


def inside_out(triangles: Triangles) -> Triangles:
    """Turn every face round."""
    return triangles[:, ::-1]


def walls(sides: int, profile: Profile) -> Triangles:
    """All bands along a profile."""
    rings = [ring(sides, across, height) for height, across in profile]
    return np.concatenate([band(lower, upper) for lower, upper in itertools.pairwise(rings)])


def solid(sides: int, profile: Profile) -> Triangles:
    """Build a closed body along a profile, flat at both ends."""
    (bottom, bottom_across), (top, top_across) = profile[0], profile[-1]
    ends = [inside_out(lid(ring(sides, bottom_across, bottom))), lid(ring(sides, top_across, top))]
    return np.concatenate([walls(sides, profile), *ends])


def bored(sides: int, profile: Profile, bore: Profile, bore_sides: int = 0) -> Triangles:
    """Build a closed body with a hole along its whole length, round unless told otherwise."""
    ends = []
    for end, turn in ((0, True), (-1, False)):
        outer = ring(sides, profile[end][1], profile[end][0])
        inner = ring(bore_sides, bore[end][1], bore[end][0])
        ends.append(band(inner, outer) if turn else band(outer, inner))
    return np.concatenate([walls(sides, profile), inside_out(walls(bore_sides, bore)), *ends])


def cupped(sides: int, profile: Profile, bore: Profile) -> Triangles:
    """Build a closed body with a round hole from below that does not reach its top."""
    (bottom, bottom_across), (top, top_across) = profile[0], profile[-1]
    outer, inner = ring(sides, bottom_across, bottom), ring(0, bore[0][1], bore[0][0])
    roof = inside_out(lid(ring(0, bore[-1][1], bore[-1][0])))
    top_lid = lid(ring(sides, top_across, top))
    hole = inside_out(walls(0, bore))
    return np.concatenate([walls(sides, profile), hole, band(inner, outer), roof, top_lid])


def ellipsoid(base: float, height: float, across: float, steps: int = 14) -> Profile:
    """Profile of half an ellipsoid, nearly to its top."""
    angles = np.linspace(0.0, math.radians(88.0), steps)
    return [(base + height * math.sin(a), across * math.cos(a)) for a in angles]


def ball(top: float, across: float, steps: int = 13) -> Profile:
    """Profile of a ball, nearly from pole to pole, that ends at ``top``."""
    middle = top - across / 2 * math.sin(math.radians(85.0))
    angles = np.linspace(math.radians(-85.0), math.radians(85.0), steps)
    return [(middle + across / 2 * math.sin(a), across * math.cos(a)) for a in angles]


def one_face_turned(triangles: Triangles, face: int) -> Triangles:
    """Return the mesh with one face the wrong way round."""
    turned = triangles.copy()
    turned[face] = turned[face, ::-1]
    return turned


def write_stl(path: Path, bodies: Iterable[Triangles]) -> None:
    """Write a binary STL file: 80 bytes of title, a count, 50 bytes a face."""
    corners = np.concatenate(list(bodies)).astype("<f4")
    edges = np.diff(corners.astype(float), axis=1)
    normals = np.cross(edges[:, 0], edges[:, 1])
    normals /= np.maximum(np.linalg.norm(normals, axis=1, keepdims=True), 1e-30)
    record = np.zeros(len(corners), dtype=[("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("more", "<u2")])
    record["normal"], record["corners"] = normals, corners
    title = f"invented example, millimetres: {path.stem}".encode().ljust(80)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(title + np.uint32(len(record)).tobytes() + record.tobytes())


def skerry_light(folder: Path) -> None:
    """Octagonal lighthouse, 1.2 m: plinth, three tower sections, gallery with lantern, dome."""

    def tower(height: float) -> float:
        return 150.0 - 38.0 * (height - 45.0) / (905.0 - 45.0)

    # The thrust plate lies in a recess of the base.
    recess = [(0, 112), (8, 112), (8, 60)]
    plinth = bored(8, [(0, 166), (45, 166)], [*recess, (45, 60)])
    # A little wider than in the plinth: no two bodies of a file share a face.
    wider = [(0, 113), (9, 113), (9, 60.4), (45, 60.4), (50, 60)]
    lower = bored(8, [(0, tower(0)), (310, tower(310))], [*wider, (310, 60)])
    write_stl(folder / "tower-lower.stl", [one_face_turned(plinth, 7), lower])
    stepped_bore = [(310, 60), (420, 60), (420, 80), (620, 80)]
    write_stl(folder / "tower-middle.stl", [bored(8, [(310, tower(310)), (620, tower(620))], stepped_bore)])
    write_stl(
        folder / "tower-upper.stl", [bored(8, [(620, tower(620)), (905, tower(905))], [(620, 80), (905, 80)])]
    )
    gallery = solid(8, [(905, 114), (932, 160), (932, 168), (950, 168)])
    lantern = solid(8, [(940, 104), (1072, 104)])
    shoulder = bored(0, [(865, 79.5), (915, 79.5)], [(865, 76.2), (915, 76.2)])
    write_stl(folder / "lantern.stl", [gallery, lantern, shoulder])
    # A room for the ballast, open below until the dome is glued on.
    eave = bored(8, [(1072, 132), (1086, 126)], [(1072, 84), (1086, 84)])
    dome = cupped(0, [(1074, 118), *ellipsoid(1080, 82, 118)], [(1074, 84), (1119.5, 84)])
    stem = solid(0, [(1155, 12), (1185, 10)])
    write_stl(folder / "dome.stl", [eave, dome, stem, solid(0, ball(1200, 24))])


def phone_box(folder: Path) -> None:
    """Square telephone box, 0.62 m, flat roof: a roof that comes off and two hollow halves."""

    def shell(bottom: float, top: float) -> Triangles:
        ends = [(bottom, 220.0), (top, 220.0)]
        return bored(4, ends, [(bottom, 206.0), (top, 206.0)], bore_sides=4)

    def floor(bottom: float, top: float, hole: float) -> Triangles:
        return bored(4, [(bottom, 206.5), (top, 206.5)], [(bottom, hole), (top, hole)])

    plinth = bored(4, [(0, 232), (30, 232)], [(0, 60), (30, 60)])
    lower = [shell(0, 290), floor(0, 40, 60), floor(283, 290, 60)]
    write_stl(folder / "booth-lower.stl", [plinth, one_face_turned(lower[0], 20), *lower[1:]])
    write_stl(folder / "booth-upper.stl", [shell(290, 540), floor(533, 540, 134.6)])
    # The ballast lies in a hole from below; a sleeve holds the roof on the tube of the bay.
    hole = [(540, 110), (585, 110)]
    box = bored(4, [(540, 220), (585, 220)], hole)
    fascia = bored(4, [(548, 236), (600, 236)], [(548, 110), (600, 110)])
    roof = cupped(4, [(595, 226), (610, 226), (620, 206)], [(595, 110), (606, 110)])
    sleeve = bored(0, [(500, 134), (545, 134)], [(500, 127.6), (545, 127.6)])
    write_stl(folder / "roof.stl", [box, fascia, roof, sleeve])


def pagoda(folder: Path) -> None:
    """Square pagoda of five storeys, 1.05 m, each under an overhanging roof."""
    storeys: list[Triangles] = []
    base = 0.0
    for floor in range(5):
        across, eave = 150.0 - 10.0 * floor, 226.0 - 16.0 * floor
        top = base + 172.0
        body_profile = [(base, across), (top, across)]
        roof_profile = [(base + 118, across + 4), (base + 130, eave), (base + 136, eave), (top, across - 2)]
        if floor == 4:
            # A cup for the electronics, and a closed room for the ballast: the print is paused for it.
            body = cupped(4, body_profile, [(base, 90), (base + 64, 90)])
            room = inside_out(solid(0, [(base + 101, 84), (base + 163, 84)]))
            roof = bored(4, roof_profile, [(base + 118, 100), (top, 100)], bore_sides=4)
            storeys.append(np.concatenate([body, room, one_face_turned(roof, 11 + floor)]))
            break
        bore = 60.0 if floor < 2 else 90.0
        # The fourth storey takes the shoulder of the fifth.
        wide = [(base + 130, bore), (base + 130, 96.0), (top, 96.0)] if floor == 3 else [(top, bore)]
        body = bored(4, body_profile, [(base, bore), *wide])
        roof_bore = [(base + 118, bore), (top, bore)]
        if floor == 3:
            roof_bore = [(base + 118, bore + 0.4), (base + 131, bore + 0.4), (base + 131, 96.4), (top, 96.4)]
        roof = bored(4, roof_profile, roof_bore)
        storeys.append(np.concatenate([body, one_face_turned(roof, 11 + floor)]))
        base = top
    write_stl(folder / "storeys-1-2.stl", storeys[0:2])
    write_stl(folder / "storeys-3-4.stl", storeys[2:4])
    spire = [solid(8, [(855, 60), (880, 36)]), solid(0, [(870, 22), (1010, 10)]), solid(0, ball(1050, 28))]
    rings = [solid(0, [(z, 40), (z + 6, 40)]) for z in (905, 930, 955, 980)]
    shoulder = bored(0, [(650, 95.5), (692, 95.5)], [(650, 89.6), (692, 89.6)])
    mast = solid(0, [(1005, 10), (1030, 10)])
    write_stl(folder / "storey-5-spire.stl", [storeys[4], shoulder, *spire, *rings, mast])


def every_key(folder: Path) -> None:
    """Cap of a square signal post, 0.14 m; the rest of it is drawn from tiers."""
    write_stl(folder / "cap.stl", [solid(4, [(0, 120), (140, 30)])])


def main() -> None:
    """Write the meshes of every example."""
    skerry_light(HERE / "skerry-light" / "meshes")
    phone_box(HERE / "phone-box" / "meshes")
    pagoda(HERE / "pagoda" / "meshes")
    every_key(HERE / "every-key" / "meshes")
    for path in sorted(HERE.glob("*/meshes/*.stl")):
        print(f"{path.relative_to(HERE)}: {path.stat().st_size // 1000} kB")


if __name__ == "__main__":
    main()
