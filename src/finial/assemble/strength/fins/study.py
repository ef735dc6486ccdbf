"""The long look at a set of fins: plate elements, vortex rings, stays."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from finial.aero.fins.on_body import FinAir
from finial.aero.plates.plate_lift import LARGEST_MACH
from finial.assemble.day import day_at_pad
from finial.assemble.strength.cases import LoadCase
from finial.assemble.strength.fins.build import FinBuild
from finial.assemble.strength.fins.plates import anchor_stiffness, anchored_stay, plate_of, root_of
from finial.assemble.strength.fins.quick import screened
from finial.assemble.strength.fins.records import (
    FinEnvelope,
    FinFlutterPicture,
    FinHeld,
    FinModePicture,
    FinStudy,
    FinSweep,
    StayProposal,
)
from finial.assemble.strength.fins.stay_study import FITTINGS_KEEP, StayLoads, stay_studies
from finial.assemble.strength.forces import fin_set_force, one_fin_force
from finial.assemble.strength.heat import air_temperature, wall_warmth
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.stays import anchor_radius, stay_run
from finial.atmosphere.day import air_over_pad
from finial.atmosphere.standard import AirState
from finial.core.doors import require_positive
from finial.core.estimates import Estimate, KnownBy, spread
from finial.files.sheet_body import PlateEntry
from finial.flight.trace import Trace
from finial.materials.glue import glue
from finial.materials.material import material
from finial.structure.fins.in_wind import (
    BentFin,
    FinGrid,
    FlexibleFin,
    SwingingFin,
    bent_in_wind,
    divergence_of,
    fin_grid,
    flexible_fin,
    swinging_fin,
)
from finial.structure.fins.modal_flutter import FlutterOnset, first_growth, growing_shape, speed_sweep
from finial.structure.fins.plate_answers import PlateModes
from finial.structure.fins.plate_model import PlateModel, plate_model, rows_at, with_springs
from finial.structure.fins.root import root_glue_stress
from finial.structure.fins.stay_design import Anchorage, StayWish, designed_stays
from finial.structure.fins.stays import Pattern, StayPair, pair_stiffness

SHOWN_MODES = 4
TRIED_SPEEDS = 45
HEIGHTS = 6
STAY_WIRE = "spring steel wire"
PROPOSED_BACKING = PlateEntry.model_validate({"thickness": "6 mm", "material": "birch plywood"})
"""Plate proposed behind the wall under each anchor; common practice."""
WIRE_RESERVE = 1.6
"""Strength over load that a proposed wire keeps [-]; a little over the usual 1.5."""
STRESS_SPREAD = 0.3
"""Scatter of the stress with the gust [-]; assumed."""
_CORNERS = (-1.0, 0.0, 1.0)


@dataclass(frozen=True, kw_only=True)
class FinScene:
    """One set of fins in the flight: what loads it, in what air, how fast it goes."""

    vehicle: LoadedVehicle
    fin: FinAir
    build: FinBuild
    case: LoadCase
    trace: Trace
    """The nominal flight."""
    top_speed: Estimate
    """Largest airspeed of the flights [m/s]."""
    wanted_ratio: float
    """Flutter speed over top speed that is wanted [-]."""

    @property
    def force_n(self) -> float:
        """Force on the most loaded fin in the gust [N]."""
        pressure_area = self.case.dynamic_pressure_pa * self.vehicle.skin.reference_area_m2
        whole = fin_set_force(self.fin.slope_per_rad, pressure_area, self.case.angle_rad)
        return one_fin_force(whole, self.fin.fins.count)

    @cached_property
    def air(self) -> AirState:
        """Air at the pad."""
        return air_over_pad(day_at_pad(self.vehicle), 0.0)

    def factor_at(self, sound_m_s: float) -> Callable[[float], float]:
        """Return air forces at a speed over those at rest, at a speed of sound [m/s]."""

        def factor(speed_m_s: float) -> float:
            return float(self.fin.mach_factor(min(speed_m_s / sound_m_s, LARGEST_MACH)))

        return factor

    @cached_property
    def models(self) -> dict[float, PlateModel]:
        """Plate at the soft end, in the middle and at the stiff end [-], over the same elements."""
        plates = {corner: plate_of(self.build, corner) for corner in _CORNERS}
        middle = plate_model(plates[0.0], hold=root_of(self.vehicle, self.build, plates[0.0]))
        ends = {
            corner: plate_model(plate, hold=root_of(self.vehicle, self.build, plate), like=middle)
            for corner, plate in plates.items()
            if corner != 0.0
        }
        return {0.0: middle, **ends}

    @cached_property
    def grid(self) -> FinGrid:
        """Lattice over those elements."""
        return fin_grid(self.models[0.0])

    def with_pairs(self, corner: float, pairs: Sequence[StayPair], pattern: Pattern) -> FlexibleFin:
        """Fin with its stays as springs; wires between fins hold nothing when all swing alike.

        Parameters
        ----------
        corner : float
            -1 or 1 for the soft or the stiff fin, 0 between [-].
        pairs : sequence of StayPair
            The stays.
        pattern : str
            How the fins swing together.
        """
        fins = self.fin.fins
        springs: list[tuple[tuple[float, float], float]] = []
        for pair in pairs:
            stiffness = pair_stiffness(pair, stay_run(fins, pair), fins=fins.count, pattern=pattern)
            if stiffness > 0:
                springs.append(((pair.along_m, pair.outward_m), stiffness))
        return flexible_fin(with_springs(self.models[corner], springs), grid=self.grid)


@dataclass(frozen=True, kw_only=True)
class _Look:
    """A fin as it is held, with what its pictures are drawn from."""

    held: FinHeld
    fin: FlexibleFin
    swinging: SwingingFin
    growth: FlutterOnset | None
    bent: BentFin | None


def fin_study(scene: FinScene) -> FinStudy:
    """Look long at one set of fins: about a second."""
    vehicle, build = scene.vehicle, scene.build
    fins = build.fins
    pairs = [anchored_stay(vehicle, fins, stay) for stay in build.stays]
    look = _look(scene, pairs)
    sound, density = float(scene.air.sound_speed_m_s), float(scene.air.density_kg_m3)
    shown = np.linspace(0.05, 1.0, 60) * _shown_speed(look.held, scene.top_speed, sound)
    sweep = speed_sweep(look.swinging.swinging, density, shown, mach_factor=scene.factor_at(sound))
    loads = StayLoads(
        bent=look.bent, pressure_pa=scene.case.dynamic_pressure_pa, warmth=_over_the_day(vehicle)
    )
    assert build.stuff is not None
    return FinStudy(
        name=fins.name,
        station_m=fins.station_m,
        hold=scene.models[0.0].hold,
        drawn_in=build.drawn_in.spec.name if build.drawn_in else "",
        thickness=build.thickness,
        material=build.stuff.name,
        top_speed=scene.top_speed,
        screen=screened(vehicle, build),
        strength=build.strength,
        pressed_pa=scene.force_n / look.fin.lattice.area_m2,
        held=look.held,
        bare=_look(scene, []).held if pairs else None,
        stays=stay_studies(vehicle, build, pairs, look.fin.model, loads),
        proposal=_proposal(scene, look.held),
        modes=_picture(look.fin.model, look.swinging.modes),
        growing=_growing(scene, look),
        sweep=FinSweep(
            speeds_m_s=sweep.speeds_m_s,
            frequencies_hz=sweep.frequencies_hz[:, :SHOWN_MODES],
            damping=sweep.damping[:, :SHOWN_MODES],
        ),
        envelope=_envelope(scene, look.swinging),
        outline_m=fins.outline_m,
        root_glue=_root_glue(scene, look.held),
    )


def _over_the_day(vehicle: LoadedVehicle) -> Estimate:
    """Temperature between the day's coldest air and the hottest wall [K]."""
    air, wall = air_temperature(vehicle), wall_warmth(vehicle)
    return Estimate(
        value=air.value,
        low=air.low,
        high=max(wall.high, air.high),
        known_by=max(air.known_by, wall.known_by),
        method="from the shade to the sun",
    )


def _root_glue(scene: FinScene, held: FinHeld) -> tuple[Estimate, Estimate] | None:
    """Stress in the glue of the root and what it holds, where the sheet names glue and depth."""
    fixing = scene.build.fixing
    if fixing is None or fixing.kind not in ("fillet", "slot") or math.isnan(held.root_moment_n_m):
        return None
    if fixing.glue is None or fixing.depth is None:
        return None
    stress = root_glue_stress(
        held.root_moment_n_m,
        scene.fin.planform.root_chord_m,
        scene.build.thickness.value,
        fixing.depth.value,
    )
    load = Estimate(
        value=stress,
        low=0.7 * stress,
        high=2.0 * stress,
        known_by=KnownBy.COMPUTED,
        method="couple of the glue on both sides of the root",
        source="Shigley, Mechanical Engineering Design, from memory",
    )
    return load, glue(fixing.glue).shear_pa


def _look(scene: FinScene, pairs: Sequence[StayPair]) -> _Look:
    fins = {corner: scene.with_pairs(corner, pairs, "gust") for corner in _CORNERS}
    swinging = {corner: swinging_fin(fin) for corner, fin in fins.items()}
    growths = {corner: _growth(scene, one) for corner, one in swinging.items()}
    alike = None
    if any(pair.to == "next fin" for pair in pairs):
        alike = _interval(
            scene,
            {
                corner: _growth(scene, swinging_fin(scene.with_pairs(corner, pairs, "all alike")))
                for corner in _CORNERS
            },
        )
    fin, modes, growth = fins[0.0], swinging[0.0].modes, growths[0.0]
    bent = _bent(scene, fin)
    stiff_centre = float(fin.lattice.bound_m[:, 0] @ fin.force_per_slope.sum(axis=1)) / float(
        fin.force_per_slope.sum()
    )
    held = FinHeld(
        frequencies_hz=modes.frequencies_rad_s[:SHOWN_MODES] / (2 * math.pi),
        twists=tuple(bool(twists) for twists in modes.twists[:SHOWN_MODES]),
        flutter=_interval(scene, growths),
        flutter_hz=growth.frequency_hz if growth else 0.0,
        flutter_all_alike=alike,
        divergence_m_s=_divergence_speed(scene, fin),
        lift_ratio=bent.lift_ratio if bent else math.nan,
        centre_shift_m=bent.centre_m[0] - stiff_centre if bent else math.nan,
        tip_shift_m=bent.tip_shift_m if bent else math.nan,
        tip_twist_rad=bent.tip_twist_rad if bent else math.nan,
        stress=_stress(scene, bent),
        stress_at_m=bent.stress_at_m if bent else (0.0, 0.0),
        root_moment_n_m=bent.root_moment_n_m if bent else math.nan,
    )
    return _Look(held=held, fin=fin, swinging=swinging[0.0], growth=growth, bent=bent)


def _stress(scene: FinScene, bent: BentFin | None) -> Estimate | None:
    """Stress under the largest load, with the gust's scatter and the thin end of the thickness [Pa]."""
    if bent is None:
        return None
    thin = (scene.build.thickness.value / scene.build.thickness.low) ** 2
    found = spread(
        bent.stress_pa,
        STRESS_SPREAD,
        known_by=KnownBy.COMPUTED,
        method="plate elements under the lattice's lift, gust across",
        source="Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, chapter 4",
    )
    return Estimate(
        value=found.value,
        low=found.low / thin,
        high=found.high * thin,
        known_by=found.known_by,
        method=found.method,
        source=found.source,
    )


def _growth(scene: FinScene, swinging: SwingingFin) -> FlutterOnset | None:
    sound = float(scene.air.sound_speed_m_s)
    return first_growth(
        swinging.swinging,
        float(scene.air.density_kg_m3),
        _speeds(sound),
        mach_factor=scene.factor_at(sound),
        tolerance=1e-4,
    )


def _speeds(sound_m_s: float) -> NDArray[np.float64]:
    return np.linspace(0.03, LARGEST_MACH, TRIED_SPEEDS) * sound_m_s


def _interval(scene: FinScene, growths: dict[float, FlutterOnset | None]) -> Estimate | None:
    """Flutter speed over the ends of stiffness; nothing below Mach 0.9 counts as Mach 0.9."""
    if growths[-1.0] is None:
        return None
    sound, stuff = float(scene.air.sound_speed_m_s), scene.build.stuff
    soft, middle, stiff = (
        found.speed_m_s if (found := growths[corner]) else LARGEST_MACH * sound for corner in _CORNERS
    )
    assert stuff is not None
    return Estimate(
        value=middle,
        low=min(soft, middle),
        high=max(stiff, middle),
        known_by=max(KnownBy.COMPUTED, stuff.modulus_pa.known_by),
        method="modes of plate elements, unsteady vortex rings, lag states",
        source="Katz and Plotkin, Low-Speed Aerodynamics; Roger, AGARD CP-228, from memory",
    )


def _bent(scene: FinScene, fin: FlexibleFin) -> BentFin | None:
    """Fin under the flight's largest load; ``None`` when it has passed divergence."""
    pressure = scene.case.dynamic_pressure_pa
    factor = scene.factor_at(float(scene.air.sound_speed_m_s))(scene.case.speed_m_s)
    require_positive(dynamic_pressure_pa=pressure)
    if pressure >= 0.999 * divergence_of(fin, mach_factor=factor):
        return None
    stiff = pressure * factor * fin.rigid_slope_per_rad * fin.lattice.area_m2
    return bent_in_wind(fin, pressure, scene.force_n / stiff, mach_factor=factor)


def _divergence_speed(scene: FinScene, fin: FlexibleFin) -> float:
    sound, density = float(scene.air.sound_speed_m_s), float(scene.air.density_kg_m3)
    limit, factor = divergence_of(fin), scene.factor_at(sound)
    for speed in _speeds(sound):
        if density * speed**2 / 2 * factor(float(speed)) >= limit:
            return float(speed)
    return math.inf


def _shown_speed(held: FinHeld, top: Estimate, sound: float) -> float:
    """Largest speed of the damping picture [m/s]: a little past flutter, and past the flight."""
    reach = held.flutter.value * 1.15 if held.flutter else 0.0
    return min(max(reach, 1.3 * top.high), LARGEST_MACH * sound)


def _envelope(scene: FinScene, swinging: SwingingFin) -> FinEnvelope:
    """Flutter speed and the fastest the flight is, from the pad to apogee."""
    trace, day = scene.trace, day_at_pad(scene.vehicle)
    climb = trace.positions_m[:, 2]
    apogee = max(float(climb.max()), 10.0)
    heights = np.linspace(0.0, apogee, HEIGHTS)
    flutter: list[float] = []
    flown: list[float] = []
    for height in heights:
        air = air_over_pad(day, float(height))
        sound = float(air.sound_speed_m_s)
        growth = first_growth(
            swinging.swinging,
            float(air.density_kg_m3),
            _speeds(sound),
            mach_factor=scene.factor_at(sound),
            tolerance=1e-3,
        )
        flutter.append(growth.speed_m_s if growth else math.inf)
        near = np.abs(climb - height) <= apogee / HEIGHTS
        flown.append(float(trace.airspeeds_m_s[near].max()) if near.any() else math.nan)
    return FinEnvelope(heights_agl_m=heights, flutter_m_s=np.array(flutter), flown_m_s=np.array(flown))


def _growing(scene: FinScene, look: _Look) -> FinFlutterPicture | None:
    """Put the motion that begins to grow together from all modes, not only those that are shown."""
    if look.growth is None:
        return None
    sound, model = float(scene.air.sound_speed_m_s), look.fin.model
    shares = growing_shape(
        look.swinging.swinging,
        look.growth.speed_m_s,
        float(scene.air.density_kg_m3),
        mach_factor=scene.factor_at(sound),
    )
    shifts = rows_at(model, _fine_corners(model)).deflection @ look.swinging.modes.shapes @ shares
    told = shifts / shifts[int(np.abs(shifts).argmax())]
    return FinFlutterPicture(
        speed_m_s=look.growth.speed_m_s,
        frequency_hz=look.growth.frequency_hz,
        # A quarter of a swing before, the phase is less by a right angle: Re(z / i) is Im z.
        deflections=np.stack([told.real, told.imag], axis=1),
    )


def _fine_corners(model: PlateModel) -> NDArray[np.float64]:
    # Finer than the elements, so that lines of equal deflection come out smooth.
    return np.ascontiguousarray(model.basis.mesh.refined(2).p.T) * model.scale_m


def _picture(model: PlateModel, modes: PlateModes) -> FinModePicture:
    mesh, corners = model.basis.mesh.refined(2), _fine_corners(model)
    shapes = modes.shapes[:, :SHOWN_MODES]
    shifts = rows_at(model, corners).deflection @ shapes
    largest = np.abs(shifts).argmax(axis=0)
    return FinModePicture(
        corners_m=corners,
        triangles=np.ascontiguousarray(mesh.t.T).astype(np.int64),
        deflections=shifts / shifts[largest, np.arange(shifts.shape[1])],
        frequencies_hz=modes.frequencies_rad_s[:SHOWN_MODES] / (2 * math.pi),
    )


def _proposal(scene: FinScene, held: FinHeld) -> StayProposal | None:
    """Stays that bring the fin to the wanted speed, where it is short of it."""
    fins = scene.fin.fins
    wanted = scene.wanted_ratio * scene.top_speed.high
    low = min((one.low for one in (held.flutter, held.flutter_all_alike) if one), default=math.inf)
    if low >= wanted or fins.count < 2:
        return None
    soft = scene.with_pairs(-1.0, [], "gust")
    sound = float(scene.air.sound_speed_m_s)
    wish = StayWish(
        flutter_m_s=1.05 * wanted,
        density_kg_m3=float(scene.air.density_kg_m3),
        speeds_m_s=np.linspace(0.05, 1.0, 24) * 1.04 * wanted,
        forces_n=_stiff_load(scene, soft),
        mach_factor=scene.factor_at(sound),
        allowed_pa=material(STAY_WIRE).ultimate_pa.low * FITTINGS_KEEP.low / WIRE_RESERVE,
    )
    design = designed_stays(soft, wish, _anchorage(scene), modulus_pa=material(STAY_WIRE).modulus_pa.value)
    after = _look(scene, [design.pair]).held
    reaches = after.flutter is None or after.flutter.low >= wanted
    return StayProposal(
        pair=design.pair,
        backing_m=PROPOSED_BACKING.thickness.value,
        backing_of=PROPOSED_BACKING.material,
        wanted_m_s=wanted,
        after=after,
        reaches=reaches,
    )


def _anchorage(scene: FinScene) -> Anchorage:
    """Skin half way to the next fin, as stiff as the wall is there with the plate proposed."""
    fins = scene.fin.fins
    turn = math.pi / max(fins.count, 2)
    middle = fins.station_m + float(fins.outline_m[:, 0].max()) / 2
    return Anchorage(
        root_radius_m=fins.root_radius_m,
        fins=fins.count,
        radius_m=anchor_radius(scene.vehicle, fins, middle, turn),
        turn_rad=turn,
        stiffness_n_per_m=anchor_stiffness(scene.vehicle, middle, PROPOSED_BACKING),
    )


def _stiff_load(scene: FinScene, fin: FlexibleFin) -> NDArray[np.float64]:
    """Load of the stiff fin at the lattice's points, a third over the central one [N]."""
    shares = fin.force_per_slope.sum(axis=1) / fin.force_per_slope.sum()
    return 1.3 * scene.force_n * shares
