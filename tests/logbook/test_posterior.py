"""A drawn posterior against what is known exactly: normal, bent, cut off at an end; and of a log."""

from dataclasses import replace

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.flight.fly import fly
from finial.logbook.fit import Problem, fitted
from finial.logbook.posterior import Posterior, drawn
from finial.logbook.refit import refit
from finial.logbook.rehearsal import Sensors, rehearsed
from finial.logbook.unknowns import changed_inputs
from finial.report.refit_text import refit_section
from finial.report.shown import Shown

FREE = (np.full(3, -np.inf), np.full(3, np.inf))


def problem(residuals, ends=FREE, count=3):
    return Problem(residuals=residuals, before=np.zeros(count), sigmas=np.full(count, 2.0), ends=ends)


def plane(values):
    """Twelve readings of a linear thing in three numbers, each to one: a normal posterior."""
    design = np.array([[np.cos(k), np.sin(2.0 * k), 1.0] for k in range(12)])
    return design @ (values - np.array([0.3, -0.2, 0.1])) + np.sin(7.0 * np.arange(12))


def test_a_normal_posterior_is_the_textbooks():
    asked = problem(plane)
    found = fitted(asked)
    told = drawn(asked, found, members=400)
    assert told.is_enough
    for index in range(3):
        low, middle, high = told.between(index)
        assert middle == pytest.approx(found.values[index], abs=0.15 * found.sigmas[index])
        assert (high - low) / 2.0 == pytest.approx(1.645 * found.sigmas[index], rel=0.12)


def test_a_bent_posterior_follows_the_bend_as_the_integral_does():
    """One number seen through its exponential: the fit takes it for even, the integral knows better."""

    def curved(values):
        return np.full(1, (np.exp(values[0]) - 1.5) / 0.4)

    asked = problem(curved, (np.full(1, -np.inf), np.full(1, np.inf)), count=1)
    low, middle, high = drawn(asked, fitted(asked), members=400).between(0)
    grid = np.linspace(-8.0, 4.0, 40_001)
    density = np.exp(-0.5 * (((np.exp(grid) - 1.5) / 0.4) ** 2 + (grid / 2.0) ** 2))
    share = np.cumsum(density) / density.sum()
    exact = np.interp([0.05, 0.5, 0.95], share, grid)
    assert [middle, high] == pytest.approx(exact[1:], abs=0.06)
    assert low == pytest.approx(exact[0], abs=0.25)
    assert middle - low > 1.2 * (high - middle)


def test_an_end_cuts_the_posterior_off():
    asked = problem(lambda values: values, (np.zeros(1), np.full(1, np.inf)), count=1)
    low, _, high = drawn(asked, fitted(asked), members=400).between(0)
    sigma = (1.0 + 0.25) ** -0.5
    assert low == 0.0
    # Half of the members lie on the end: the high end is that of the uncut bell.
    assert high == pytest.approx(1.645 * sigma, rel=0.12)


def test_the_same_seed_draws_the_same():
    asked = problem(plane)
    found = fitted(asked)
    one, same, other = (drawn(asked, found, members=20, seed=seed) for seed in (1, 1, 2))
    assert np.array_equal(one.values, same.values)
    assert not np.array_equal(one.values, other.values)


def test_too_few_that_come_to_rest_are_not_enough():
    assert not Posterior(values=np.zeros((17, 1)), tried=20).is_enough
    assert Posterior(values=np.zeros((18, 1)), tried=20).is_enough
    with pytest.raises(OutsideRange):
        drawn(problem(plane), fitted(problem(plane)), members=5)


def test_the_posterior_of_a_log_is_drawn_beside_the_fit(told, foreseen):
    case = foreseen.case
    truth = {"drag": 1.14, "delay main": 2.3}
    trace = fly(changed_inputs(case.inputs, truth, case.spread.wind_speed_m_s))
    log = told(rehearsed(trace, foreseen.day, Sensors(kick_m_s2=250.0), 11).csv())
    found = refit((log,), case.inputs, case.spread, draws=True)
    assert found.settled > 0.9
    for one in found.learnt:
        if one.unknown.key in truth:
            assert one.drawn.low < truth[one.unknown.key] < one.drawn.high
            assert one.drawn.half_width == pytest.approx(1.645 * one.sigma, rel=0.4)
    section = refit_section(found, Shown(us_units=False))
    assert section.tables[0].columns[-1] == "ensemble"
    assert "ensemble of refits" in section.notes[-1]
    shaken = refit_section(
        replace(found, settled=0.5, learnt=tuple(replace(one, drawn=None) for one in found.learnt)),
        Shown(us_units=False),
    )
    assert "only 50 %" in shaken.notes[-1]
