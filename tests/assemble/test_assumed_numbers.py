"""What the joins assume or judge where neither source nor sheet tells it, typed again in the trade's units.

None of these numbers follows from another: whoever moves one moves verdicts, and says so in the changelog.
"""

import math

import pytest

from finial.assemble.air import sections, tunnel_table, wires
from finial.assemble.electronics import at_port, felt, sensing, study, tops, wiring
from finial.assemble.flights import gusty, outcome, results
from finial.assemble.inside import fittings, holding, meetings, nuts_in_print, rooms
from finial.assemble.mass import row
from finial.assemble.prints import barred, plan, settings
from finial.assemble.recovery import bays, bursts, charges, halves, lip, moments, order, pulls, scene, zipper
from finial.assemble.recovery import study as recovery_study
from finial.assemble.spread import case
from finial.assemble.start import found, photos, pieces
from finial.assemble.strength import build, buttons, cases, cuts, details, further_cases, heat, shedding
from finial.assemble.strength import pulls as strength_pulls
from finial.assemble.strength import study as strength_study
from finial.assemble.strength.fins import build as fin_build
from finial.assemble.strength.fins import plates, quick, stay_study
from finial.assemble.strength.fins import study as fin_study
from finial.assemble.vehicle import (
    bed,
    floating,
    hardware_pulls,
    materials,
    motors,
    move_pulls,
    nozzle,
    on_scales,
    stays,
    tweak,
)
from finial.assemble.vehicle import pulls as vehicle_pulls
from finial.core.estimates import Estimate

MM = 1e-3
KELVIN = 273.15


def ends(told: Estimate) -> tuple[float, float, float]:
    return told.low, told.value, told.high


@pytest.mark.parametrize(
    ("taken_m", "typed_mm"),
    [
        (felt.DROP_M, 200),
        (sensing.LEAST_ROOM_M, 2),
        (fittings.CLOSES_WITHIN_M, 15),
        (fittings.THROUGH_M, 2),
        (holding.NEAR_M, 50),
        (meetings.NEAR_M, 10),
        (nuts_in_print.COUNTERBORE_M, 25),
        (nuts_in_print.STEP_M, 2.5),
        (rooms.FILLET_BRIDGES_M, 1),
        (barred.ROOT_M, 5),
        (barred.TUBE_M, 8),
        (barred.PLATE_M, 4),
        (barred.BUTTON_M, 12),
        (barred.ROD_END_M, 10),
        (settings.USUAL_CLEARANCE_M, 0.3),
        (settings.LIP_M, 5),
        (halves.LEAST_REACH_M, 10),
        (lip.USUAL_CORD_WIDTH_M, 10),
        (order.LEAST_LAG_M, 100),
        (zipper.RING_WALL_M, 3),
        (zipper.RING_EDGE_M, 5),
        (found.SHELL_M, 4),
        (build.JOINT_CLEARANCE_M, 30),
        (details.ENDS_AT_A_PART_M, 5),
        (plates.USUAL_WALL_M, 1.6),
        (plates.USUAL_TAB_M, 15),
        (plates.USUAL_WASHER_M, 12),
        (bed.USUAL_LAYER_M, 0.2),
        (floating.REACH_M, 1),
        (move_pulls.STEP_M, 1),
        (nozzle.USUAL_NOZZLE_M, 0.4),
        (on_scales.BALANCE_M, 3),
        (vehicle_pulls.SEAM_M, 5),
        (vehicle_pulls.THICKEST_WALL_M, 20),
        (stays.ANCHOR_STANDS_OFF_M, 2),
        (gusty.STEP_M, 10_000),
        (case.GUST_STEP_M, 10_000),
        (vehicle_pulls.LONGEST_RAIL_M, 12_000),
        (vehicle_pulls.FARTHEST_PEOPLE_M, 1_000_000),
        (sensing.HIGHEST_READ_M, 10_000_000),
    ],
)
def test_lengths(taken_m: float, typed_mm: float) -> None:
    assert taken_m == pytest.approx(typed_mm * MM)


@pytest.mark.parametrize(
    ("taken", "per_cent"),
    [
        (at_port.DOUBT_SHARE, 50),
        (at_port.DOUBT_LEAST, 5),
        (sensing.GUST_OVER_MEAN, 150),
        (sensing.CLOSES_SHARE, 50),
        (fittings.PLATE_SHARE, 70),
        (nuts_in_print.MOSTLY_IN, 75),
        (row.MOTOR_MASS_SPREAD, 2),
        (settings.LINE_OVER_NOZZLE, 112.5),
        (bays.HOLD_OVER_PULL, 150),
        (bays.BREAK_OVER_HOLD, 125),
        (bays.LEAST_INSIDE, 200),
        (bays.MOST_SLENDER, 400),
        (bursts.LESS_SHARE, 80),
        (scene.LINES_OVER_DIAMETER, 115),
        (zipper.DROGUE_SHARE, 4),
        (zipper.LESS_PARTING, 70),
        (zipper.SLIDER_FILLS, 200),
        (photos.BOW_CLICKS, 200),
        (cases.GUST_SPREAD, 25),
        (cuts.SHEAR_OF_TENSION, 57.735027),
        (fin_build.MEASURED_SCATTER, 10),
        (quick.FIN_SHARE_SPREAD, 30),
        (stay_study.LOAD_SPREAD, 30),
        (stay_study.BOWING_SPREAD, 30),
        (fin_study.WIRE_RESERVE, 160),
        (fin_study.STRESS_SPREAD, 30),
        (further_cases.DENT_SHARE, 5),
        (further_cases.SCUFF, 40),
        (further_cases.ENDS_SHARE, 2),
        (shedding.REACH, 2000),
        (shedding.MODE_ERROR, 10),
        (hardware_pulls.USUAL_WASHER, 250),
        (materials.BAR_SCATTER, 10),
        (motors.WEAK_SHARE, 10),
        (move_pulls.FARTHEST_SHARE, 20),
        (nozzle.LAYER_OVER_NOZZLE, 80),
        (on_scales.SCALE_SHARE, 0.5),
        (vehicle_pulls.WIDEST_SPAN, 200),
        (vehicle_pulls.WIDEST_CANOPY, 200),
        (vehicle_pulls.FARTHEST_WIDTHS, 150),
        (vehicle_pulls.TIGHTEST, 50),
        (vehicle_pulls.FARTHEST_PORTS, 85),
        (tweak.MOST_TIMES, 300),
    ],
)
def test_shares(taken: float, per_cent: float) -> None:
    assert taken == pytest.approx(per_cent / 100)


@pytest.mark.parametrize(
    ("taken", "low", "usual", "high"),
    [
        (ends(sensing.LIFT_OFF_M), 10, 30, 60),
        (ends(wiring.LEAST_VOLTAGE), 3.3, 5, 6),
        ((tops.LEAST_FALL_M, tops.USUAL_FALL_M, tops.MOST_FALL_M), 1, 2, 5),
        (wires.WIRE_DRAG, 1.0, 1.1, 1.2),
        (moments.BODY_WAVE_M_S, 300, 800, 2000),
        (bursts.STROKE_DIAMETERS, 0.25, 0.5, 1),
        (ends(recovery_study.USUAL_PARTING), 4, 8, 14),
        (ends(details.PRESSED), 0.3, 0.65, 1.0),
        (ends(stay_study.FITTINGS_KEEP), 0.5, 0.65, 0.85),
        (ends(further_cases.JERK), 1, 1.5, 2),
        (ends(heat.CAR_RISE), 20, 30, 45),
        (ends(heat.CASE_WALL), 313, 333, 368),
        (shedding.IN_STEP_PUSH, 1.25, 2.5, 5),
        (shedding.SWUNG_UP, 12.5, 25, 50),
    ],
)
def test_numbers_with_both_their_ends(taken, low: float, usual: float, high: float) -> None:
    assert taken == pytest.approx((low, usual, high))


@pytest.mark.parametrize(
    ("taken", "typed"),
    [
        (felt.LONGEST_KNOCK_S, 0.1),
        (moments.LATE_S, 1.0),
        (zipper.ON_TIME_S, 1.0),
        (pulls.FOLLOWED_S, 5.0),
        (wiring.SECONDS_PER_HOUR, 3600.0),
        (wiring.NO_WIRING_OHM, 0.2),
        (charges.LOOSE_FRICTION_N, 30.0),
        (halves.LEAST_KG, 0.05),
        (scene.LINK_KG, 0.03),
        (scene.USUAL_CORD_KG_M, 0.02),
        (vehicle_pulls.MOST_BALLAST_KG, 5.0),
        (order.FAST_CLIMB_M_S, 50.0),
        (order.SLOW_M_S, 2.0),
        (order.FAST_MACH, 0.8),
        (sections.DRAG_MACH, 0.3),
        (zipper.LEAST_PARTING_M_S, 0.5),
        (recovery_study.LEAST_SPEED_M_S, 1.0),
        (settings.USUAL_SPEED_M_S, 0.06),
        (buttons.STRONGEST_SCREW_PA, 800e6),
        (bursts.TRIAL_PA, 1e5),
        (details.CASE_K, KELVIN + 199.85),
        (vehicle_pulls.WARM_DAY_K, KELVIN + 20.0),
        (outcome.MOST_RATIO, 100.0),
        (math.degrees(results.UNHELD_RAD), 90.0),
        (math.degrees(lip.SQUARE_RAD), 90.0),
        (math.degrees(zipper.TILT_RAD), 15.0),
        (math.degrees(further_cases.LANDING_TILT_RAD), 45.0),
        (math.degrees(strength_pulls.ANY_ANGLE_RAD), 45.0),
    ],
)
def test_times_masses_speeds_and_angles(taken: float, typed: float) -> None:
    assert taken == pytest.approx(typed)


@pytest.mark.parametrize(
    ("taken", "typed"),
    [
        (tunnel_table.LEAST_CELLS, 10),
        (study.SHOWN_CUTS, 12),
        (wiring.CONTACTS, 2),
        (plan.MOST_PIECES, 40),
        (bays.RULE_COUNTS, (1, 3, 4)),
        (bays.LEAST_PINS, 2),
        (bays.MOST_PINS, 8),
        (vehicle_pulls.MOST_PINS, 8),
        (hardware_pulls.MOST_SCREWS, 12),
        (pieces.MOST_FILES, 40),
        (strength_study.OWN_BARS, 5),
        (cuts.GLUE_SHARE, (0.5, 1.0)),
        (at_port.SPOILT, (-0.8, 0.4)),
        (settings.USUAL_DOWELS.count, 4),
        (bursts.HEIGHTS_M, (0.0, 1000.0, 2000.0, 4000.0, 6000.0)),
        (zipper.TRIED_S, (-3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0, 4.0, 5.0)),
        (zipper.SPEEDS_M_S, (0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0)),
        (zipper.OFFSETS_S, tuple(number / 2 for number in range(-6, 11))),
    ],
)
def test_counts_and_what_is_tried(taken, typed) -> None:
    assert taken == typed


def test_under_an_earlier_canopy_a_body_may_hang_sixty_degrees_to_either_side() -> None:
    assert sorted(math.degrees(one) for one in recovery_study.HANGS_RAD.values()) == pytest.approx(
        [-60, 0, 60]
    )
