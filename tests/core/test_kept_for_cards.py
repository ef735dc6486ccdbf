"""What is kept for a card decorates a kernel; no card is needed, and none is asked for."""

from pathlib import Path

from finial.core.card_cache import kept_for_cards
from finial.core.compiled import Kernels


def test_kernels_of_a_card_are_decorated() -> None:
    here = Kernels(name="test-card-alone", home=Path(__file__).parent, files=("test_kept_for_cards.py",))
    assert callable(kept_for_cards(here))
