"""The long look at a set of fins: plate elements, vortex rings, stays."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.aero.fins.on_body import FinAir
from finial.aero.plates.plate_lift import LARGEST_MACH
from finial.assemble.day import day_at_pad
from finial.assemble.strength.cases import LoadCase
from finial.assemble.strength.fins.plates import fin_stuff, plate_of, root_of
from finial.assemble.strength.fins.records import (
    FinEnvelope,
    FinHeld,
    FinModePicture,
    FinStudy,
    FinSweep,
    StayProposal,
)
from finial.assemble.strength.fins.stay_study import FITTINGS_KEEP, stay_studies
from finial.assemble.strength.forces import fin_set_force
from finial.assemble.vehicle.loading import Vehicle
from finial.assemble.vehicle.stays import anchor_radius, stay_of, stay_run
from finial.atmosphere.day import air_over_pad
from finial.core.estimates import Estimate, KnownBy
from finial.files.sheet_body import FinEntry
from finial.flight.trace import Trace
from finial.materials.glue import glue
from finial.materials.material import material
from finial.structure.bounds import need_positive
from finial.structure.fins.in_wind import (
    BentFin,
    FlexibleFin,
    bent_in_wind,
    divergence_of,
    flexible_fin,
    swinging_fin,
)
from finial.structure.fins.modal_flutter import FlutterOnset, first_growth, speed_sweep
from finial.structure.fins.outline import fin_plan
from finial.structure.fins.plate_answers import PlateModes
from finial.structure.fins.plate_model import PlateModel, plate_model, rows_at, with_springs
from finial.structure.fins.root import root_glue_stress
from finial.structure.fins.screen import flutter_screen
from finial.structure.fins.stay_design import Anchorage, StayWish, designed_stays
from finial.structure.fins.stays import Pattern, StayPair, pair_stiffness

SHOWN_MODES = 4
TRIED_SPEEDS = 45
HEIGHTS = 6
STAY_WIRE = "spring steel wire"
WIRE_RESERVE = 1.6
"""Strength over load that a proposed wire keeps [-]; a little over the usual 1.5."""
_TWISTS = 0.4


@dataclass(frozen=True, slots=True, kw_only=True)
class FinScene:
    """One set of fins in the flight: what loads it, in what air, how fast it goes."""

    vehicle: Vehicle
    fin: FinAir
    given: FinEntry
    case: LoadCase
    traces: tuple[Trace, ...]
    """Nominal flight first, then its corners."""
    wanted_ratio: float
    """Flutter speed over top speed that is wanted [-]."""

    @property
    def top_speed(self) -> Estimate:
        """Largest airspeed of the flights [m/s]."""
        tops = [float(trace.airspeeds_m_s.max()) for trace in self.traces]
        return Estimate(
            value=tops[0],
            low=min(tops),
            high=max(tops),
            known_by=KnownBy.COMPUTED,
            method="flight and its corners",
        )

    @property
    def force_n(self) -> float:
        """Force on the most loaded fin in the gust [N]."""
        pressure_area = self.case.dynamic_pressure_pa * self.vehicle.skin.reference_area_m2
        whole = fin_set_force(self.fin.slope_per_rad, pressure_area, self.case.angle_rad)
        return whole * 2 / max(self.fin.fins.count, 2)

    def factor_at(self, sound_m_s: float):
        """Return air forces at a speed [m/s] over those at rest, at a speed of sound.

        Parameters
        ----------
        sound_m_s : float
            Speed of sound [m/s].

        Returns
        -------
        factor : callable
            From a speed [m/s] to a factor [-]; beyond the largest Mach number known that of the largest.
        """

        def factor(speed_m_s: float) -> float:
            return float(self.fin.mach_factor(min(speed_m_s / sound_m_s, LARGEST_MACH)))

        return factor


def fin_study(scene: FinScene) -> FinStudy:
    """Look long at one set of fins: a few seconds."""
    vehicle, fins, given = scene.vehicle, scene.fin.fins, scene.given
    plate = plate_of(vehicle, fins, given)
    hold = root_of(vehicle, fins, given, plate)
    pairs = [stay_of(vehicle, fins, stay) for stay in given.stays]
    models = {corner: _model(scene, corner) for corner in (-1.0, 0.0, 1.0)}
    held = _held(scene, models, pairs)
    bare = _held(scene, models, []) if pairs else None
    nominal = _with_pairs(scene, models[0.0], pairs, "gust")
    fin = flexible_fin(nominal)
    swinging = swinging_fin(fin)
    air = air_over_pad(day_at_pad(vehicle), 0.0)
    sound, density = float(air.sound_speed_m_s), float(air.density_kg_m3)
    top = scene.top_speed
    shown = np.linspace(0.05, 1.0, 60) * _shown_speed(held, top, sound)
    sweep = speed_sweep(swinging.swinging, density, shown, mach_factor=scene.factor_at(sound))
    return FinStudy(
        name=fins.name,
        station_m=fins.station_m,
        hold=hold.name,
        top_speed=top,
        screen=flutter_screen(
            fin_plan(fins.outline_m),
            given.thickness.estimate(KnownBy.MEASURED),
            fin_stuff(vehicle, given).shear_modulus_pa,
            sound_m_s=sound,
            pressure_pa=float(air.pressure_pa),
        ),
        strength=fin_stuff(vehicle, given).yield_pa,
        held=held,
        bare=bare,
        stays=stay_studies(vehicle, (scene.fin, given), pairs, nominal, (_bent(scene, fin), scene.case)),
        proposal=_proposal(scene, models, held),
        modes=_picture(nominal, swinging.modes),
        sweep=FinSweep(
            speeds_m_s=sweep.speeds_m_s,
            frequencies_hz=sweep.frequencies_hz[:, :SHOWN_MODES],
            damping=sweep.damping[:, :SHOWN_MODES],
        ),
        envelope=_envelope(scene, fin),
        outline_m=fins.outline_m,
        root_glue=_root_glue(scene, held),
    )


def _root_glue(scene: FinScene, held: FinHeld) -> tuple[Estimate, Estimate] | None:
    """Stress in the glue of the root and what it holds, where the sheet names glue and depth."""
    fixing = scene.given.fixing
    if fixing is None or fixing.kind not in ("fillet", "slot") or math.isnan(held.root_moment_n_m):
        return None
    if fixing.glue is None or fixing.depth is None:
        return None
    stress = root_glue_stress(
        held.root_moment_n_m,
        scene.fin.planform.root_chord_m,
        scene.given.thickness.value,
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


def _model(scene: FinScene, corner: float) -> PlateModel:
    plate = plate_of(scene.vehicle, scene.fin.fins, scene.given, corner)
    return plate_model(plate, hold=root_of(scene.vehicle, scene.fin.fins, scene.given, plate))


def _with_pairs(scene: FinScene, model: PlateModel, pairs: list[StayPair], pattern: Pattern) -> PlateModel:
    """Plate with its stays as springs; wires between fins hold nothing when all swing alike."""
    springs: list[tuple[tuple[float, float], float]] = []
    for pair in pairs:
        line = stay_run(scene.fin.fins, pair)
        stiffness = pair_stiffness(pair, line, fins=scene.fin.fins.count, pattern=pattern)
        if stiffness > 0:
            springs.append(((pair.along_m, pair.outward_m), stiffness))
    return with_springs(model, springs)


def _held(scene: FinScene, models: dict[float, PlateModel], pairs: list[StayPair]) -> FinHeld:
    growths = {
        corner: _growth(scene, flexible_fin(_with_pairs(scene, model, pairs, "gust")))
        for corner, model in models.items()
    }
    alike = None
    if any(pair.to == "next fin" for pair in pairs):
        alike = _interval(
            scene,
            {
                corner: _growth(scene, flexible_fin(_with_pairs(scene, model, pairs, "all alike")))
                for corner, model in models.items()
            },
        )
    fin = flexible_fin(_with_pairs(scene, models[0.0], pairs, "gust"))
    modes = swinging_fin(fin).modes
    growth = growths[0.0]
    bent = _bent(scene, fin)
    stiff_centre = float(fin.lattice.bound_m[:, 0] @ fin.force_per_slope.sum(axis=1)) / float(
        fin.force_per_slope.sum()
    )
    return FinHeld(
        frequencies_hz=modes.frequencies_rad_s[:SHOWN_MODES] / (2 * math.pi),
        kinds=tuple("twists" if share >= _TWISTS else "bends" for share in modes.twist_shares[:SHOWN_MODES]),
        flutter=_interval(scene, growths),
        flutter_hz=growth.frequency_hz if growth else 0.0,
        flutter_all_alike=alike,
        divergence_m_s=_divergence_speed(scene, fin),
        lift_ratio=bent.lift_ratio if bent else math.nan,
        centre_shift_m=bent.centre_m[0] - stiff_centre if bent else math.nan,
        tip_shift_m=bent.tip_shift_m if bent else math.nan,
        tip_twist_rad=bent.tip_twist_rad if bent else math.nan,
        stress=_stress(bent),
        stress_at_m=bent.stress_at_m if bent else (0.0, 0.0),
        root_moment_n_m=bent.root_moment_n_m if bent else math.nan,
    )


def _stress(bent: BentFin | None) -> Estimate | None:
    if bent is None:
        return None
    return Estimate(
        value=bent.stress_pa,
        low=0.7 * bent.stress_pa,
        high=1.3 * bent.stress_pa,
        known_by=KnownBy.COMPUTED,
        method="plate elements under the lattice's lift, gust across",
        source="Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, chapter 4",
    )


def _growth(scene: FinScene, fin: FlexibleFin) -> FlutterOnset | None:
    air = air_over_pad(day_at_pad(scene.vehicle), 0.0)
    sound = float(air.sound_speed_m_s)
    return first_growth(
        swinging_fin(fin).swinging,
        float(air.density_kg_m3),
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
    sound = float(air_over_pad(day_at_pad(scene.vehicle), 0.0).sound_speed_m_s)
    soft, middle, stiff = (
        found.speed_m_s if (found := growths[corner]) else LARGEST_MACH * sound for corner in (-1.0, 0.0, 1.0)
    )
    return Estimate(
        value=middle,
        low=min(soft, middle),
        high=max(stiff, middle),
        known_by=max(KnownBy.COMPUTED, fin_stuff(scene.vehicle, scene.given).modulus_pa.known_by),
        method="modes of plate elements, unsteady vortex rings, lag states",
        source="Katz and Plotkin, Low-Speed Aerodynamics; Roger, AGARD CP-228, from memory",
    )


def _bent(scene: FinScene, fin: FlexibleFin) -> BentFin | None:
    """Fin under the flight's largest load; ``None`` when it has passed divergence."""
    pressure = scene.case.dynamic_pressure_pa
    sound = float(air_over_pad(day_at_pad(scene.vehicle), 0.0).sound_speed_m_s)
    factor = scene.factor_at(sound)(scene.case.speed_m_s)
    need_positive(dynamic_pressure_pa=pressure)
    if pressure >= 0.999 * divergence_of(fin, mach_factor=factor):
        return None
    stiff = pressure * factor * fin.rigid_slope_per_rad * fin.lattice.area_m2
    return bent_in_wind(fin, pressure, scene.force_n / stiff, mach_factor=factor)


def _divergence_speed(scene: FinScene, fin: FlexibleFin) -> float:
    air = air_over_pad(day_at_pad(scene.vehicle), 0.0)
    sound, density = float(air.sound_speed_m_s), float(air.density_kg_m3)
    limit = divergence_of(fin)
    factor = scene.factor_at(sound)
    for speed in _speeds(sound):
        if density * speed**2 / 2 * factor(float(speed)) >= limit:
            return float(speed)
    return math.inf


def _shown_speed(held: FinHeld, top: Estimate, sound: float) -> float:
    """Largest speed of the damping picture [m/s]: a little past flutter, and past the flight."""
    reach = held.flutter.value * 1.15 if held.flutter else 0.0
    return min(max(reach, 1.3 * top.high), LARGEST_MACH * sound)


def _envelope(scene: FinScene, fin: FlexibleFin) -> FinEnvelope:
    """Flutter speed and the fastest the flight is, from the pad to apogee."""
    trace = scene.traces[0]
    swinging = swinging_fin(fin).swinging
    climb = trace.positions_m[:, 2]
    apogee = max(float(climb.max()), 10.0)
    heights = np.linspace(0.0, apogee, HEIGHTS)
    flutter: list[float] = []
    flown: list[float] = []
    for height in heights:
        air = air_over_pad(day_at_pad(scene.vehicle), float(height))
        sound = float(air.sound_speed_m_s)
        growth = first_growth(
            swinging,
            float(air.density_kg_m3),
            _speeds(sound),
            mach_factor=scene.factor_at(sound),
            tolerance=1e-3,
        )
        flutter.append(growth.speed_m_s if growth else math.inf)
        near = np.abs(climb - height) <= apogee / HEIGHTS
        flown.append(float(trace.airspeeds_m_s[near].max()) if near.any() else math.nan)
    return FinEnvelope(heights_agl_m=heights, flutter_m_s=np.array(flutter), flown_m_s=np.array(flown))


def _picture(model: PlateModel, modes: PlateModes) -> FinModePicture:
    # Finer than the elements, so that lines of equal deflection come out smooth.
    mesh = model.basis.mesh.refined(2)
    corners = np.ascontiguousarray(mesh.p.T) * model.scale_m
    shapes = modes.shapes[:, :SHOWN_MODES]
    shifts = rows_at(model, corners).deflection @ shapes
    largest = np.abs(shifts).argmax(axis=0)
    return FinModePicture(
        corners_m=corners,
        triangles=np.ascontiguousarray(mesh.t.T).astype(np.int64),
        deflections=shifts / shifts[largest, np.arange(shifts.shape[1])],
        frequencies_hz=modes.frequencies_rad_s[:SHOWN_MODES] / (2 * math.pi),
    )


def _proposal(scene: FinScene, models: dict[float, PlateModel], held: FinHeld) -> StayProposal | None:
    """Stays that bring the fin to the wanted speed, where it is short of it."""
    fins = scene.fin.fins
    wanted = scene.wanted_ratio * scene.top_speed.high
    low = min((one.low for one in (held.flutter, held.flutter_all_alike) if one), default=math.inf)
    if low >= wanted or fins.count < 2:
        return None
    soft = flexible_fin(models[-1.0])
    air = air_over_pad(day_at_pad(scene.vehicle), 0.0)
    sound = float(air.sound_speed_m_s)
    wish = StayWish(
        flutter_m_s=1.03 * wanted,
        density_kg_m3=float(air.density_kg_m3),
        speeds_m_s=np.linspace(0.05, 1.0, 24) * 1.04 * wanted,
        forces_n=_stiff_load(scene, soft),
        mach_factor=scene.factor_at(sound),
        allowed_pa=material(STAY_WIRE).ultimate_pa.low * FITTINGS_KEEP.low / WIRE_RESERVE,
    )
    turn = math.pi / max(fins.count, 2)
    anchorage = Anchorage(
        root_radius_m=fins.root_radius_m, fins=fins.count, radius_m=_skin_near(scene, turn), turn_rad=turn
    )
    wire = material(STAY_WIRE).modulus_pa.value
    design = designed_stays(soft, wish, anchorage, modulus_pa=wire)
    after = _held(scene, models, [design.pair])
    reaches = after.flutter is None or after.flutter.low >= wanted
    return StayProposal(pair=design.pair, wanted_m_s=wanted, after=after, reaches=reaches)


def _skin_near(scene: FinScene, turn: float) -> float:
    fins = scene.fin.fins
    return anchor_radius(scene.vehicle, fins, fins.station_m + float(fins.outline_m[:, 0].max()) / 2, turn)


def _stiff_load(scene: FinScene, fin: FlexibleFin) -> NDArray[np.float64]:
    """Load of the stiff fin at the lattice's points, a third over the central one [N]."""
    shares = fin.force_per_slope.sum(axis=1) / fin.force_per_slope.sum()
    return 1.3 * scene.force_n * shares
