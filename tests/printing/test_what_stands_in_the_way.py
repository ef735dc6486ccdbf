"""What is named where no cut makes a part fit the bed."""

from finial.printing.cuts import Barred, ToCut, Why, longest_gap


def root(fore_m: float, aft_m: float) -> Barred:
    return Barred(why=Why.FIN_ROOT, name="fins", fore_m=fore_m, aft_m=aft_m)


def test_the_longest_is_named_first() -> None:
    part = ToCut(span_m=(0.0, 0.9), longest_m=0.2, barred=(root(0.1, 0.25), root(0.3, 0.7)))
    assert [bar.fore_m for bar in longest_gap(part)] == [0.3, 0.1]


def test_what_begins_behind_a_part_or_ends_ahead_of_it_is_not_named() -> None:
    barred = (root(0.1, 0.28), root(0.3, 0.7), root(0.9, 1.0))
    assert [bar.fore_m for bar in longest_gap(ToCut(span_m=(0.28, 0.9), longest_m=0.2, barred=barred))] == [
        0.3
    ]
