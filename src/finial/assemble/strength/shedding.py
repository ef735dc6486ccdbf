"""Ledges and legs that shed vortices as often as a fin or a wall near them swings."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from finial.aero.shedding import Shedder, ShedderKind, shedders, speed_in_step
from finial.assemble.air.sections import TunnelSwing
from finial.assemble.strength.build import WallCut, build_of, wall_cuts
from finial.assemble.strength.details import PRESSED
from finial.assemble.strength.fins.records import FinStudy
from finial.assemble.strength.records import InStep, Swinger
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.materials import sheet_material
from finial.core.estimates import Estimate, KnownBy, spread
from finial.materials.material import Material
from finial.shape.measures import stretch_of
from finial.structure.reserves import FailureMode, Reserve, reserve_factor
from finial.structure.walls.buckling import INFILL_STIFFNESS, infill_support
from finial.structure.walls.plates import Plate, panel_frequency

REACH = 20.0
"""Heights behind which vortices have decayed [-]; a judgement."""
FIN_MODES = 3
IN_STEP_PUSH = (1.25, 2.5, 5.0)
"""Least, usual and most pressure of vortices in step over the dynamic pressure [-]: their own 0.1 over twice
the damping of plates, 2 % of critical, give or take a factor of two; judgements."""
SWUNG_UP = (12.5, 25.0, 50.0)
"""Least, usual and most that 2 % of critical damping makes of a pressure in step [-]; a judgement."""
MODE_ERROR = 0.1
"""Frequencies of plates as glued, printed and held [-]; a judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShedScene:
    """What swings behind ledges and legs, what it bears, and how fast it flies."""

    vehicle: LoadedVehicle
    fins: Sequence[FinStudy]
    rows: Sequence[Reserve]
    """Reserves that were found; those of flat walls under the air tell what walls bear."""
    top_speed: Estimate
    """Largest airspeed of the flights [m/s]."""
    pressure_pa: float
    """Dynamic pressure that the walls' reserves are for [Pa]."""
    density_kg_m3: float
    swing: TunnelSwing | None = None
    """What the tunnel saw of the whole shape, where the sheet flies with it."""


def _sources(scene: ShedScene) -> tuple[Shedder, ...]:
    """Ledges and legs, and the whole shape where the tunnel saw it swing."""
    own = shedders(scene.vehicle.body)
    if scene.swing is None:
        return own
    skin = scene.vehicle.skin
    whole = Shedder(
        kind=ShedderKind.WHOLE,
        start_m=0.0,
        end_m=skin.length_m,
        height_m=skin.width_m,
        strouhal=scene.swing.strouhal,
    )
    return (*own, whole)


def _pushes(scene: ShedScene, source: Shedder) -> tuple[float, ...]:
    """Pressures of vortices in step over the dynamic pressure, least, usual and most [-].

    Of the whole shape: the amplitude of the force that the tunnel read, over what it shows from the side.
    """
    if source.kind is not ShedderKind.WHOLE or scene.swing is None:
        return IN_STEP_PUSH
    skin = scene.vehicle.skin
    side = stretch_of(skin, 0.0, skin.length_m).planform_m2
    pressure = 2.0**0.5 * scene.swing.force * skin.reference_area_m2 / side
    return tuple(pressure * up for up in SWUNG_UP)


def in_step(scene: ShedScene) -> tuple[InStep, ...]:
    """Pairs in step at a speed that is flown: of each that swings, the one with the least reserve."""
    sources = _sources(scene)
    worst: dict[tuple[Swinger, str], InStep] = {}
    pairs = [pair for pair in (*_fins(scene, sources), *_walls(scene, sources)) if pair is not None]
    for pair in sorted(pairs, key=lambda one: one.reserve.low if one.reserve else 0.0):
        worst.setdefault((pair.swinger, pair.name), pair)
    return tuple(worst.values())


def _fins(scene: ShedScene, sources: Sequence[Shedder]) -> Iterator[InStep | None]:
    for fin in scene.fins:
        start, end = fin.station_m, fin.station_m + float(fin.outline_m[:, 0].max())
        reserve = reserve_factor(fin.strength, fin.held.stress) if fin.held.stress else None
        bears = reserve.scaled(fin.pressed_pa) if reserve else None
        for source in sources:
            if not _reaches(source, start, end):
                continue
            for hertz in fin.held.frequencies_hz[:FIN_MODES]:
                frequency = spread(float(hertz), MODE_ERROR, known_by=KnownBy.COMPUTED)
                yield _pair(scene, (Swinger.FIN, fin.name), source, (frequency, bears))


def _walls(scene: ShedScene, sources: Sequence[Shedder]) -> Iterator[InStep | None]:
    vehicle = scene.vehicle
    bears = {
        row.subject: _borne(row.reserve, scene.pressure_pa)
        for row in scene.rows
        if row.mode is FailureMode.WALL_PRESSED and row.reserve is not None
    }
    for cut in wall_cuts(build_of(vehicle)):
        if cut.joint or cut.part.spec.print is None:
            continue
        name, stuff = cut.part.spec.name, sheet_material(vehicle.sheet, cut.part.spec.material)
        for source in sources:
            if _reaches(source, cut.station_m, cut.station_m):
                held = (_frequency(cut, stuff), bears.get(name))
                yield _pair(scene, (Swinger.WALL, name), source, held)


def _borne(reserve: Estimate, pressure_pa: float) -> Estimate:
    """Pressure that a wall bears [Pa]: its reserve is over what air at that pressure pushes or sucks."""
    low, value, high = sorted(
        share * one * pressure_pa
        for share, one in (
            (PRESSED.high, reserve.low),
            (PRESSED.value, reserve.value),
            (PRESSED.low, reserve.high),
        )
    )
    return Estimate(low=low, value=value, high=high, known_by=reserve.known_by)


def _reaches(source: Shedder, start_m: float, end_m: float) -> bool:
    """Whether something from one station to another lies in the wake."""
    return source.start_m < end_m and start_m <= source.end_m + REACH * source.height_m


def _frequency(cut: WallCut, stuff: Material) -> Estimate:
    """Lowest of a flat, from edges that only hold it to edges that clamp it [Hz]."""
    sandwich = cut.sandwich
    thickness = sandwich.bent_like_m if sandwich else cut.area.wall_m
    plate = Plate(thickness_m=thickness, modulus_pa=stuff.modulus_pa.value, poisson=stuff.poisson)
    weight = sandwich.area_m / thickness if sandwich else 1.0
    soft = 0.0
    if cut.infill > 0.0 and sandwich is None:
        soft = infill_support(plate.modulus_pa, cut.infill, cut.infill_depth_m, INFILL_STIFFNESS.low)
    sides, density = (cut.area.flat_width_m, cut.flat_length_m), stuff.density_kg_m3.value * weight
    low = panel_frequency(plate, sides, density, soft, edge="supported")
    high = panel_frequency(plate, sides, density, soft, edge="clamped")
    return Estimate(
        value=high,
        low=(1.0 - MODE_ERROR) * low,
        high=(1.0 + MODE_ERROR) * high,
        known_by=max(KnownBy.COMPUTED, stuff.modulus_pa.known_by),
        method="a flat between its corners and ledges",
    )


def _pair(
    scene: ShedScene, swings: tuple[Swinger, str], source: Shedder, held: tuple[Estimate, Estimate | None]
) -> InStep | None:
    """Reserve in step; nothing where that comes at no speed that is flown."""
    frequency, bears = held
    speed = speed_in_step(frequency, source.height_m, source.strouhal)
    top = scene.top_speed.high
    if speed.low > top:
        return None
    least, usual, most = (
        push * scene.density_kg_m3 / 2.0 * min(one, top) ** 2
        for push, one in zip(_pushes(scene, source), (speed.low, speed.value, speed.high), strict=True)
    )
    reserve = None
    if bears is not None:
        reserve = Estimate(
            low=bears.low / most,
            value=bears.value / usual,
            high=bears.high / least,
            known_by=KnownBy.ASSUMED,
            method="pressure that it bears over what vortices in step push",
        )
    return InStep(
        swinger=swings[0],
        name=swings[1],
        source=source.kind,
        source_m=source.start_m,
        height_m=source.height_m,
        frequency_hz=frequency,
        speed=speed,
        reserve=reserve,
    )
