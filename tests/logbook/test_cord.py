"""Which of the events followed in time stand beside the log's, and the worse of both."""

from types import SimpleNamespace

import pytest

from finial.logbook.cord import cord_then


def tether(*cases):
    """Offsets, peaks and margins of the day's flight, and one of a windy day that must not count."""
    told = [
        SimpleNamespace(offset_s=at, wind="day", peak_n=peak, margin=margin) for at, peak, margin in cases
    ]
    windy = SimpleNamespace(offset_s=1.2, wind="windy", peak_n=9e9, margin=-9.0)
    return SimpleNamespace(cord="shock cord", cases=(*reversed(told), windy))


CASES = ((0.0, 100.0, 2.0), (1.0, 400.0, 0.5), (1.5, 300.0, -0.2), (2.0, 800.0, -0.4))


@pytest.mark.parametrize(
    ("late_s", "pull_n", "margin", "beyond"),
    [
        (1.2, 400.0, -0.2, False),
        (1.0, 400.0, 0.5, False),
        (0.4, 400.0, 0.5, False),
        (2.0, 800.0, -0.4, False),
        (2.7, 800.0, -0.4, True),
        (-1.0, 100.0, 2.0, True),
    ],
)
def test_the_worse_of_the_two_beside_it_counts(late_s, pull_n, margin, beyond):
    found = cord_then(tether(*CASES), late_s)
    assert (found.cord, found.late_s) == ("shock cord", late_s)
    assert (found.pull_n, found.margin, found.beyond) == (pull_n, margin, beyond)


def test_one_without_a_margin_leaves_it_unknown():
    assert cord_then(tether((0.0, 100.0, None), (1.0, 400.0, 0.5)), 0.5).margin is None
