"""Forces of the air on the body: drag where it acts, cross forces along it, fins at their roots."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from finial.aero.drag.sources import Acting, DragBuildUp, acting_together
from finial.aero.fins.on_body import FinAir
from finial.assemble.air.sections import AirLoads
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.kept_parts import kept
from finial.structure.loads.forces import Force, LineForce, axial_forces_ahead, cross_air_force


@dataclass(frozen=True, kw_only=True)
class AirForces:
    """Air loads of one vehicle as forces on its body; where drag acts is found once for all cases."""

    vehicle: LoadedVehicle
    air: AirLoads

    def all_at(self, pressure_pa: float, angle_rad: float) -> list[Force]:
        """All air forces at a dynamic pressure [Pa] and an angle of attack [rad], motor burning."""
        return [*self.drag(pressure_pa), *self._across(pressure_pa, angle_rad)]

    def _across(self, pressure_pa: float, angle_rad: float) -> Iterator[Force]:
        """Tell forces across: of sections and fins, or the tunnel's where the sheet flies with that."""
        if self.air.along is not None:
            yield self._line(*self.air.along.slope_at(angle_rad), pressure_pa, angle_rad)
            return
        result = self.air.result
        yield self._line(result.load_stations_m, result.load_per_m, pressure_pa, angle_rad)
        area = self.vehicle.skin.reference_area_m2
        for fin in self.air.fins:
            cross = fin_set_force(fin.slope_per_rad, pressure_pa * area, angle_rad)
            fore, aft = _root_ends(fin)
            even = np.full(2, cross / (aft - fore))
            yield LineForce(stations_m=np.array([fore, aft]), aft_n_per_m=np.zeros(2), cross_n_per_m=even)

    def _line(
        self,
        stations_m: NDArray[np.float64],
        slope_per_rad_m: NDArray[np.float64],
        pressure_pa: float,
        angle_rad: float,
    ) -> LineForce:
        return cross_air_force(
            stations_m,
            slope_per_rad_m,
            dynamic_pressure_pa=pressure_pa,
            reference_area_m2=self.vehicle.skin.reference_area_m2,
            angle_rad=angle_rad,
        )

    def drag(self, pressure_pa: float, *, burning: bool = True) -> list[Force]:
        """Drag where its rows act: points for ledges and base, a line for skin and fins."""
        acts, coefficient = self._burning if burning else self._coasting
        whole = pressure_pa * self.air.drag.reference_area_m2 * coefficient
        return axial_forces_ahead(acts.stations_m, whole * acts.ahead)

    @cached_property
    def _burning(self) -> tuple[Acting, float]:
        return _together(self.air.drag, True)

    @cached_property
    def _coasting(self) -> tuple[Acting, float]:
        return _together(self.air.drag, False)

    def roll_couples(self, pressure_pa: float) -> tuple[tuple[float, float], ...]:
        """Couples about the axis that cant makes before the vehicle rolls: station [m], couple [N m]."""
        push = pressure_pa * self.vehicle.skin.reference_area_m2 * self.vehicle.skin.width_m
        return tuple((fin.centre_m, push * fin.cant_moment) for fin in self.air.fins if fin.cant_moment)


@kept(8)
def _together(drag: DragBuildUp, burning: bool) -> tuple[Acting, float]:
    rows = drag.sources(burning=burning)
    acts = acting_together([(row.acts, row.coefficient.value) for row in rows])
    return acts, sum(row.coefficient.value for row in rows)


def _root_ends(fin: FinAir) -> tuple[float, float]:
    return fin.fins.station_m, fin.fins.station_m + fin.planform.root_chord_m


def fin_set_force(slope_per_rad: NDArray[np.float64], pressure_area_n: float, angle_rad: float) -> float:
    r"""Force of a fin set across the wind, at the roll where it is largest.

    .. math::  N = q S \, \lambda_{max}(C_{N\alpha}) \, \alpha

    Parameters
    ----------
    slope_per_rad : ndarray, shape (2, 2)
        Normal force slope over the axes y and z, :math:`C_{N\alpha}` [1/rad].
    pressure_area_n : float
        Dynamic pressure times reference area, :math:`q S` [N].
    angle_rad : float
        Angle of attack, :math:`\alpha` [rad].

    Returns
    -------
    force_n : float
        Force [N].

    Notes
    -----
    Small angles, before fins stall. The symmetric part of the slope counts.

    References
    ----------
    .. [1] Largest value of a quadratic form is its largest eigenvalue: any text on linear algebra.

    Examples
    --------
    >>> round(fin_set_force(np.diag([8.0, 2.0]), 100.0, 0.1), 9)
    80.0
    """
    return pressure_area_n * float(np.linalg.eigvalsh((slope_per_rad + slope_per_rad.T) / 2)[-1]) * angle_rad


def one_fin_force(set_n: float, count: int) -> float:
    r"""Force on the most loaded fin of a set, of that on the set at the roll where it is largest.

    .. math::  F = \frac{N}{n} \; (n \le 2), \qquad F = \frac{2 N}{n} \; (n \ge 3)

    Parameters
    ----------
    set_n : float
        Force across the wind of the whole set, :math:`N` [N].
    count : int
        Fins, evenly spaced, :math:`n`.

    Returns
    -------
    force_n : float
        Force on one fin that stands square to the wind [N].

    Notes
    -----
    Holds for equal fins. One or two stand in one plane and share all of it; of three or more, each carries as
    the square of the cosine of its angle, and the mean of that is a half.

    References
    ----------
    .. [1] Sum of squared cosines over even steps: n / 2 for three or more.

    Examples
    --------
    >>> one_fin_force(100.0, 4), one_fin_force(100.0, 2)
    (50.0, 50.0)
    """
    return set_n / count if count < 3 else 2 * set_n / count
