"""Numbers refused where they enter: the end of what is accepted, and the number beside it."""

import math
from collections.abc import Callable

import pytest

from finial.core.doors import require_fraction, require_not_negative, require_positive
from finial.core.errors import OutsideRange

LEAST, MOST = math.ulp(0.0), math.nextafter(math.inf, 0.0)
BELOW_ONE = math.nextafter(1.0, 0.0)


@pytest.mark.parametrize(
    ("door", "accepted", "refused"),
    [
        (require_positive, (LEAST, MOST), (0.0, -LEAST, math.inf, math.nan)),
        (require_not_negative, (0.0, LEAST, MOST), (-LEAST, math.inf, math.nan)),
        (require_fraction, (LEAST, BELOW_ONE), (0.0, 1.0, math.nan)),
    ],
)
def test_a_door_lets_in_what_it_says_up_to_its_ends(
    door: Callable[..., None], accepted: tuple[float, ...], refused: tuple[float, ...]
) -> None:
    for number in accepted:
        door(mass_kg=number)
    for number in refused:
        with pytest.raises(OutsideRange, match=f"^late_s = {number}: "):
            door(mass_kg=0.5, late_s=number)
