"""Cards that several threads ask for at once, none having asked before; no card is needed."""

from concurrent.futures import ThreadPoolExecutor
from threading import Event

import numba
import numpy as np
import pytest

from finial.core.cards import card_count


class Driver:
    """As numba's driver: it calls itself awake before it is, and whoever comes meanwhile fails."""

    gpus = (0, 1)

    def __init__(self):
        self.called_awake, self.awake, self.second = False, False, Event()

    def is_available(self):
        if self.called_awake:
            self.second.set()
            if not self.awake:
                raise RuntimeError("CUDA is not initialised")
            return True
        self.called_awake = True
        self.second.wait(0.3)
        self.awake = True
        return True


def test_two_runs_that_wake_the_driver_at_once_both_find_their_cards(monkeypatch):
    monkeypatch.setattr(np, "row_stack", np.vstack, raising=False)
    monkeypatch.setattr(numba, "cuda", Driver(), raising=False)
    with ThreadPoolExecutor(2) as pool:
        found = [pool.submit(card_count) for _ in range(2)]
        assert [one.result() for one in found] == [2, 2]


def test_the_driver_of_this_test_fails_whoever_comes_while_it_wakes():
    driver = Driver()
    with ThreadPoolExecutor(2) as pool:
        asked = [pool.submit(driver.is_available) for _ in range(2)]
    with pytest.raises(RuntimeError, match="not initialised"):
        [one.result() for one in asked]
