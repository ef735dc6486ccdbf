"""The front of what a search judged: nothing else is better in both, and only what goes is on it."""

from finial.sizing.found_front import front
from finial.sizing.judged import Aim, Judged


def design(mass_kg, apogee_m, *, is_go=True, odds=None):
    return Judged(mass_kg=mass_kg, missing=0.0, is_go=is_go, apogee_m=apogee_m, odds=odds)


KNOWN = {
    (1.0,): design(9.0, 500.0),
    (2.0,): design(8.0, 400.0),
    (3.0,): design(8.5, 390.0),  # beaten in both by the one before
    (4.0,): design(7.0, 900.0, is_go=False),
    (5.0,): design(8.0, 400.0),  # comes to the very same as the second
}


def points(rows):
    return [row.point[0] for row in rows]


def test_lightest_against_highest_the_best_of_what_is_sought_first():
    assert points(front(KNOWN, Aim.LIGHTEST)) == [2.0, 1.0]
    assert points(front(KNOWN, Aim.HIGHEST)) == [1.0, 2.0]
    assert front({(4.0,): KNOWN[4.0,]}, Aim.LIGHTEST) == ()


def test_with_odds_what_surer_costs_is_seen_and_what_was_not_flown_is_not_on_it():
    known = {
        (1.0,): design(9.0, 500.0, odds=0.99),
        (2.0,): design(8.0, 600.0, is_go=False, odds=0.90),
        (3.0,): design(8.5, 700.0, is_go=False, odds=0.89),
        (4.0,): design(7.0, 900.0, is_go=False),
    }
    assert points(front(known, Aim.LIGHTEST)) == [2.0, 1.0]
    assert points(front(known, Aim.HIGHEST)) == [3.0, 2.0, 1.0]
