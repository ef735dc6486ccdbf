"""The flight written a second time, in plain Python and SciPy, to check and time the compiled core.

Nothing here comes from the core but its input records: the burn, the air, the table look-up, the
loads, the constraint on the aft button (one linear system for accelerations and forces) and the
events (SciPy's own) are written anew, from the equations of the methods page.
"""

import math
from bisect import bisect_right
from dataclasses import dataclass, field

import numpy as np
from scipy.integrate import solve_ivp

from finial.core.frames import rotation_from_quaternion

EARTH_RADIUS_M = 6_356_766.0
GAS, HEAT_RATIO = 287.05287, 1.4
HOLD, RAIL, TIP_OFF, FREE, CANOPY = range(5)


def _cross(a, b):
    return np.array([a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]])


def _matrix(vector):
    """Matrix of the cross product vector x (.)."""
    x, y, z = vector
    return np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])


@dataclass
class PlainFlight:
    """One flight's constants, and its right-hand side for each phase."""

    inputs: object
    evaluations: int = 0
    filling: list = field(default_factory=list)
    """(canopy, time out, time open) of every canopy that is out."""

    def __post_init__(self):
        given = self.inputs
        delay = given.thrust.ignition_delay_s
        self.thrust_times = given.thrust.times_s + delay
        self.mass_times = given.mass.times_s + delay
        self.burn_end = float(self.thrust_times[-1])
        last = int(np.flatnonzero(given.thrust.thrusts_n > 0.0)[-1])
        self.power_ends = float(self.thrust_times[min(last + 1, self.thrust_times.size - 1)])
        rail = given.rail
        sine, cosine = math.sin(rail.tilt_rad), math.cos(rail.tilt_rad)
        toward = np.array([math.sin(rail.bearing_rad), math.cos(rail.bearing_rad), 0.0])
        self.along = sine * toward + cosine * np.array([0.0, 0.0, 1.0])
        buttons = cosine * toward - sine * np.array([0.0, 0.0, 1.0])
        beside = _cross(self.along, buttons)
        c, s = math.cos(rail.roll_rad), math.sin(rail.roll_rad)
        self.turn = np.column_stack([self.along, c * buttons - s * beside, s * buttons + c * beside])
        stand = given.thrust.nozzle_station_m if rail.stand_m is None else rail.stand_m
        self.foot = np.array([stand, 0.0, 0.0])
        table = given.air_table
        names = ("along", "across", "along_moment", "across_moment", "roll_moment")
        self.stack = [getattr(table, name) for name in (*names, "axial_power_on", "axial_power_off")]
        self.nodes = np.stack(self.stack, axis=-1)
        pitch, nothing = table.pitch_damping, np.zeros_like(table.pitch_damping)
        yaw = pitch if table.yaw_damping is None else table.yaw_damping
        both = nothing if table.yaw_by_pitch is None else table.yaw_by_pitch
        self.damping = (pitch, yaw, both, table.roll_damping)
        self.grids = [grid.tolist() for grid in (table.alpha_rad, table.roll_rad, table.mach)]
        lean = given.thrust.tilt_rad
        side, over = math.sin(lean[0]), math.sin(lean[1])
        self.push = np.array([math.sqrt(1.0 - side * side - over * over), side, over])
        self.nozzle = np.array([-given.thrust.nozzle_station_m, *given.thrust.offset_m])

    def burn(self, time):
        """Thrust, mass, centre, inertia and the last three's rates."""
        mass, times = self.inputs.mass, self.mass_times
        inside = self.thrust_times[0] <= time <= self.burn_end
        thrust = np.interp(time, self.thrust_times, self.inputs.thrust.thrusts_n) if inside else 0.0
        if not times[0] <= time < times[-1]:
            row = 0 if time < times[0] else -1
            fixed = (mass.masses_kg[row], mass.centres_m[row], mass.inertias_kg_m2[row])
            return (thrust, *fixed, 0.0, np.zeros(3), np.zeros((3, 3)))
        row = bisect_right(times.tolist(), time) - 1
        span = times[row + 1] - times[row]
        share = (time - times[row]) / span
        values, rates = [], []
        for column in (mass.masses_kg, mass.centres_m, mass.inertias_kg_m2):
            rise = column[row + 1] - column[row]
            values.append(column[row] + share * rise)
            rates.append(rise / span)
        return (thrust, *values, *rates)

    def air(self, height):
        """Density, speed of sound, wind vector."""
        day, gravity = self.inputs.air, 9.80665
        above_sea = height + day.ground_asl_m
        here = EARTH_RADIUS_M * above_sea / (EARTH_RADIUS_M + above_sea)
        pad = EARTH_RADIUS_M * day.ground_asl_m / (EARTH_RADIUS_M + day.ground_asl_m)
        below = min(here, 11_000.0)
        temperature = day.temperature_k - day.lapse_k_m * (below - pad)
        pressure = day.pressure_pa * (temperature / day.temperature_k) ** (gravity / GAS / day.lapse_k_m)
        if here > below:
            pressure *= math.exp(-gravity * (here - below) / GAS / temperature)
        winds = (day.wind_east_m_s, day.wind_north_m_s, day.wind_up_m_s)
        wind = [0.0 if part is None else np.interp(height, day.wind_heights_m, part) for part in winds]
        return pressure / (GAS * temperature), math.sqrt(HEAT_RATIO * GAS * temperature), np.array(wind)

    def coefficients(self, *place):
        """All seven coefficients and the four damping derivatives, trilinear."""
        values, last = self.nodes, None
        for grid, at in zip(self.grids, place, strict=True):
            if len(grid) == 1:
                values, last = values[0], (0, 0.0)
                continue
            row = min(max(bisect_right(grid, at) - 1, 0), len(grid) - 2)
            share = min(max((at - grid[row]) / (grid[row + 1] - grid[row]), 0.0), 1.0)
            values, last = values[row] * (1.0 - share) + values[row + 1] * share, (row, share)
        row, share = last
        damping = [
            column[row] + (share * (column[row + 1] - column[row]) if share else 0.0)
            for column in self.damping
        ]
        return values, damping

    def loads(self, time, state, turn, burn):
        """Force and moment about the balance point, body axes, without gravity."""
        density, sound, wind = self.air(state[2])
        flow = turn.T @ (state[3:6] - wind)
        speed = float(np.linalg.norm(flow))
        alpha = math.atan2(math.hypot(flow[1], flow[2]), flow[0])
        roll = math.atan2(-flow[2], -flow[1]) % (2.0 * math.pi)
        values, (pitch, yaw, both, spin) = self.coefficients(alpha, roll, speed / sound)
        table = self.inputs.air_table
        pressure_area = 0.5 * density * speed * speed * table.reference_area_m2
        towards = np.array([0.0, math.cos(roll), math.sin(roll)])
        beside = np.array([0.0, -math.sin(roll), math.cos(roll)])
        sine, width = math.sin(alpha), table.width_m
        axial = values[5] if self.thrust_times[0] <= time < self.power_ends else values[6]
        force = pressure_area * (sine * (values[0] * towards + values[1] * beside) - [axial, 0.0, 0.0])
        # Station s lies at x = -s: the moment about the tip is (-x axis) x first moment of the forces.
        first = pressure_area * width * sine * (values[2] * towards + values[3] * beside)
        moment = _cross(np.array([-1.0, 0.0, 0.0]), first)
        moment[0] += pressure_area * width * values[4]
        ahead = 0.5 * density * max(flow[0], 0.0) ** 2 * table.reference_area_m2
        moment += _cross(np.array([0.0, *table.drag_line_m]), np.array([force[0], 0.0, 0.0]))
        moment += _cross(np.array([-1.0, 0.0, 0.0]), ahead * width * np.array([0.0, *table.side_moment]))
        force = force + ahead * np.array([0.0, *table.side_force])
        moment -= _cross(burn[2], force)
        if speed > 0.0:
            damps = np.array([[spin, 0.0, 0.0], [0.0, pitch, both], [0.0, both, yaw]])
            damping = damps @ state[10:13] * width / (2.0 * speed)
            moment += pressure_area * width * damping
        push = burn[0] * self.push
        return force + push, moment + _cross(self.nozzle - burn[2], push)

    def rates(self, time, state, phase):
        """Rates of the 13 numbers of the state."""
        self.evaluations += 1
        burn = self.burn(time)
        down = np.array([0.0, 0.0, -self.inputs.gravity_m_s2])
        if phase == CANOPY:
            return self.canopy_rates(time, state, burn, down)
        turn = rotation_from_quaternion(state[6:10] / np.linalg.norm(state[6:10]))
        force, moment = self.loads(time, state, turn, burn)
        _, mass, centre, inertia, mass_rate, centre_rate, inertia_rate = burn
        answer = np.zeros(13)
        answer[0:3] = turn @ centre_rate
        if phase <= RAIL:
            answer[0:3] += state[3:6]
            answer[3:6] = self.rail_acceleration(state, turn, force + mass * (turn.T @ down), moment, burn)
            return answer
        rate = state[10:13]
        exit_arm = self.nozzle - centre
        torque = moment - _cross(rate, inertia @ rate) - inertia_rate @ rate
        torque += mass_rate * _cross(exit_arm, _cross(rate, exit_arm))
        pull = force + mass * (turn.T @ down)
        if phase == TIP_OFF:
            acceleration, turning = self.on_one_button(pull, torque, rate, turn, burn)
        else:
            acceleration, turning = pull / mass, np.linalg.solve(inertia, torque)
        answer[0:3] += state[3:6]
        answer[3:6] = turn @ (acceleration + _cross(rate, centre_rate))
        w, vector = state[6], state[7:10]
        answer[6] = -0.5 * vector @ rate
        answer[7:10] = 0.5 * (w * rate + _cross(vector, rate))
        answer[10:13] = turning
        return answer

    def rail_acceleration(self, state, turn, pull, moment, burn):
        """Acceleration along the rail, less the friction of both buttons."""
        rail, centre = self.inputs.rail, burn[2]
        stations = (rail.fore_button_m, rail.aft_button_m)
        fore, aft = (np.array([-station, 0.0, 0.0]) - centre for station in stations)
        # Sideways balance of forces and moments for (fore y, fore z, aft y, aft z).
        system = np.zeros((4, 4))
        for column, (arm, axis) in enumerate(((fore, 1), (fore, 2), (aft, 1), (aft, 2))):
            unit = np.eye(3)[axis]
            system[0:2, column] = unit[1:3]
            system[2:4, column] = _cross(np.array([arm[0], 0.0, 0.0]), unit)[1:3]
        forces = np.linalg.solve(system, -np.array([pull[1], pull[2], moment[1], moment[2]]))
        resistance = rail.friction * (np.hypot(*forces[0:2]) + np.hypot(*forces[2:4]))
        sign = -1.0 if state[3:6] @ self.along < 0.0 else 1.0
        return self.along * (pull[0] - sign * resistance) / burn[1]

    def on_one_button(self, pull, torque, rate, turn, burn):
        """Accelerations with the aft button held on its line: one system with the rail's two forces."""
        _, mass, centre, inertia = burn[:4]
        arm = np.array([-self.inputs.rail.aft_button_m, 0.0, 0.0]) - centre
        sides = (turn.T @ self.turn[:, 1:3]).T
        system, right = np.zeros((8, 8)), np.zeros(8)
        system[0:3, 0:3], system[3:6, 3:6] = mass * np.eye(3), inertia
        system[0:3, 6:8], system[3:6, 6:8] = -sides.T, -(_matrix(arm) @ sides.T)
        system[6:8, 0:3], system[6:8, 3:6] = sides, -sides @ _matrix(arm)
        right[0:3], right[3:6] = pull, torque
        right[6:8] = -sides @ _cross(rate, _cross(rate, arm))
        answer = np.linalg.solve(system, right)
        return answer[0:3], answer[3:6]

    def canopy_rates(self, time, state, burn, down):
        """Point mass under everything that is out."""
        density, _, wind = self.air(state[2])
        flow = state[3:6] - wind
        area = self.inputs.tumbling_drag_area_m2
        for canopy, out, full in self.filling:
            if canopy.fills:
                area += canopy.drag_area_m2 * min(max((time - out) / (full - out), 0.0), 1.0) ** 2
        answer = np.zeros(13)
        answer[0:3] = state[3:6]
        answer[3:6] = down - 0.5 * density * np.linalg.norm(flow) * area / burn[1] * flow
        return answer

    def on_stand(self, time):
        """State of the vehicle standing at the foot of the rail."""
        place = self.turn @ (self.burn(time)[2] + self.foot)
        return np.concatenate([place, np.zeros(3), _quaternion(self.turn), np.zeros(3)])

    def travel(self, time, state, station):
        """Distance of a button along the rail from its foot."""
        turn = rotation_from_quaternion(state[6:10] / np.linalg.norm(state[6:10]))
        place = state[0:3] + turn @ (np.array([-station, 0.0, 0.0]) - self.burn(time)[2])
        return float(place @ self.along)


@dataclass(frozen=True)
class PlainResult:
    """Events by name (time, state), and how many times the right-hand side was called."""

    events: dict
    evaluations: int


def fly_plainly(inputs, *, rtol=1e-9, method="DOP853", rates=None):
    """Fly the same physics by SciPy, phase by phase and from knot to knot of the burn."""
    flight = PlainFlight(inputs)
    function = flight.rates if rates is None else rates(flight)
    events = {}
    time = _let_go(flight)
    state = flight.on_stand(time)
    events["lift-off"] = (time, state)
    settings = {"rtol": rtol, "atol": rtol, "method": method}
    length = inputs.rail.length_m
    for phase, station, name in (
        (RAIL, inputs.rail.fore_button_m, "fore button leaves"),
        (TIP_OFF, inputs.rail.aft_button_m, "rail exit"),
    ):
        ends = _ending(lambda t, y, at=station: flight.travel(t, y, at) - length, 1.0)
        time, state = _leg(flight, function, (time, math.inf, state), phase, ends, settings)
        events[name] = (time, state)
    ends = _ending(lambda t, y: y[5], -1.0)
    time, state = _leg(flight, function, (time, math.inf, state), FREE, ends, settings)
    events["apogee"] = (time, state)
    _descend(flight, function, events, settings)
    return PlainResult(events=events, evaluations=flight.evaluations)


def _descend(flight, function, events, settings):
    """From apogee to the ground, through canopies on apogee and altitude (enough for the comparison)."""
    time, state = events["apogee"]
    phase = FREE
    due = sorted(
        (canopy for canopy in flight.inputs.canopies if canopy.works),
        key=lambda canopy: (canopy.trigger != "apogee", -canopy.threshold),
    )
    ground = _ending(lambda t, y: y[2], -1.0)
    for canopy in due:
        if canopy.trigger == "altitude":
            ends = _ending(lambda t, y, at=canopy.threshold: y[2] - at, -1.0)
            time, state = _leg(flight, function, (time, math.inf, state), phase, ends, settings)
        time, state = _leg(flight, function, (time, time + canopy.delay_s, state), phase, None, settings)
        events[f"{canopy.name} out"] = (time, state)
        speed = float(np.linalg.norm(state[3:6] - flight.air(state[2])[2]))
        distance, gravity = canopy.fill_constant * canopy.diameter_m, flight.inputs.gravity_m_s2
        fall = (math.sqrt(speed * speed + 2.0 * gravity * distance) - speed) / gravity
        filling = fall if phase == FREE else distance / speed
        flight.filling.append((canopy, time, time + filling))
        phase = CANOPY
        time, state = _leg(flight, function, (time, time + filling, state), phase, None, settings)
        events[f"{canopy.name} open"] = (time, state)
    time, state = _leg(flight, function, (time, math.inf, state), phase, ground, settings)
    events["ground"] = (time, state)


def _leg(flight, function, span, phase, ends, settings):
    """Integrate one phase, starting anew at every knot of the burn."""
    time, until, state = span
    knots = [*np.unique(np.concatenate([flight.thrust_times, flight.mass_times])), until]
    for knot in knots:
        stop = min(knot, until)
        if stop <= time:
            continue
        stop = min(stop, time + 2000.0)
        solution = solve_ivp(function, (time, stop), state, args=(phase,), events=ends, **settings)
        time, state = float(solution.t[-1]), solution.y[:, -1]
        state[6:10] /= np.linalg.norm(state[6:10])
        if ends is not None and solution.status == 1:
            return time, state
        if time >= until:
            return time, state
    raise RuntimeError("the plain flight never came to its event")


def _ending(function, direction):
    def event(time, state, phase):
        return function(time, state)

    event.terminal, event.direction = True, direction
    return event


def _let_go(flight):
    """Time at which the acceleration along the rail turns positive, by bisection."""

    def lifts(time):
        return flight.rates(time, flight.on_stand(time), RAIL)[3:6] @ flight.along > 0.0

    times = np.linspace(0.0, flight.burn_end, 2001)
    after = float(next(time for time in times if lifts(time)))
    before = max(after - flight.burn_end / 2000.0, 0.0)
    for _ in range(60):
        middle = 0.5 * (before + after)
        before, after = (before, middle) if lifts(middle) else (middle, after)
    return after


def _quaternion(turn):
    """Quaternion of a rotation whose trace is not near -1, or else by its largest eigenvector."""
    lines = np.array(
        [
            [turn[0, 0] - turn[1, 1] - turn[2, 2], 0, 0, 0],
            [turn[0, 1] + turn[1, 0], turn[1, 1] - turn[0, 0] - turn[2, 2], 0, 0],
            [turn[0, 2] + turn[2, 0], turn[1, 2] + turn[2, 1], turn[2, 2] - turn[0, 0] - turn[1, 1], 0],
            [turn[2, 1] - turn[1, 2], turn[0, 2] - turn[2, 0], turn[1, 0] - turn[0, 1], np.trace(turn)],
        ]
    )
    vector = np.linalg.eigh(lines / 3.0)[1][:, -1]
    return vector[[3, 0, 1, 2]]
