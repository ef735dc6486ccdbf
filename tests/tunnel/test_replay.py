"""Streams of a card beside one another, by a driver that writes down what it is told."""

from types import SimpleNamespace

from finial.tunnel.gpu import replay
from finial.tunnel.gpu.replay import Queue


class Told:
    """Driver that keeps its calls and numbers what it makes."""

    def __init__(self):
        self.calls, self.made = [], 0

    def _make(self, kind):
        self.made += 1
        self.calls.append((kind, self.made))
        return 0, self.made

    def cuStreamCreate(self, _flags):
        return self._make("stream")

    def cuEventCreate(self, _flags):
        return self._make("event")

    def cuEventRecord(self, event, stream):
        self.calls.append(("record", event, stream))
        return (0,)

    def cuStreamWaitEvent(self, stream, event, _flags):
        self.calls.append(("wait", stream, event))
        return (0,)


def test_what_goes_beside_waits_for_what_was_before_and_what_follows_waits_for_both(monkeypatch):
    driver = Told()
    monkeypatch.setattr(replay, "_driver", lambda _cuda: driver)
    monkeypatch.setattr("finial.tunnel.gpu.replay.weakref.finalize", lambda *_: None)
    monkeypatch.setattr(Queue, "_told", lambda _self, answer: answer[1] if len(answer) > 1 else None)
    queue = Queue(SimpleNamespace(external_stream=lambda handle: f"stream {handle}"))
    seen = []
    for _ in range(2):
        queue.side_by_side(0, lambda: seen.append(queue.stream), lambda: seen.append(queue.stream))
    assert seen == ["stream 2", "stream 1"] * 2
    once = [("record", 3, 1), ("wait", 2, 3), ("record", 4, 2), ("wait", 1, 4)]
    assert [call for call in driver.calls if call[0] in ("record", "wait")] == once * 2
    assert [call[0] for call in driver.calls].count("stream") == 2


def test_without_a_driver_one_follows_the_other():
    queue = Queue(SimpleNamespace(stream=lambda: "only"))
    seen = []
    queue.side_by_side(1, lambda: seen.append("first"), lambda: seen.append("second"))
    assert (seen, queue.stream) == (["first", "second"], "only")
