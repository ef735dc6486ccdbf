"""Colour adds nothing that the words do not say."""

import io
import sys
from types import SimpleNamespace

import pytest
from told import report_text

from finial.report.flight_text import print_flight
from finial.report.terminal import coloured, is_terminal, terminal_width, write
from finial.report.text import print_readiness, report_lines


def test_coloured_text_reads_the_same(readiness):
    lines = report_lines(readiness)
    assert coloured(lines).plain == report_text(readiness)


def test_the_verdict_word_is_coloured_not_the_whole_line(readiness):
    spans = coloured(report_lines(readiness)).spans
    plain = report_text(readiness)
    words = {plain[span.start : span.end] for span in spans if "reverse" in str(span.style)}
    assert words == {"No-go", "NO-GO"}


def test_a_pipe_gets_plain_text(readiness, capsys):
    print_readiness(readiness)
    assert capsys.readouterr().out == report_text(readiness)


def test_brief_stops_after_the_findings_but_keeps_the_caution(readiness, capsys):
    print_readiness(readiness, brief=True)
    out = capsys.readouterr().out
    assert "1. Shape" not in out
    assert "change  Enter the cord under" in out
    assert "range safety officer" in out


def test_a_terminal_gets_colour_in_its_own_width(readiness, monkeypatch):
    class Screen(io.StringIO):
        def isatty(self):
            return True

    screen = Screen()
    monkeypatch.setattr(sys, "stdout", screen)
    monkeypatch.setenv("COLUMNS", "84")
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.delenv("NO_COLOR", raising=False)
    assert terminal_width() == 84
    write(report_lines(readiness, width=84))
    assert "\x1b[" in screen.getvalue()


def test_letters_the_terminal_lacks_do_not_stop_the_answer(readiness, monkeypatch):
    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding="ascii"))
    write(report_lines(readiness)[:1] + tuple(type(line)("Lóndon") for line in report_lines(readiness)[:1]))
    sys.stdout.flush()
    assert raw.getvalue().endswith(b"L?ndon\n")


def test_one_flight_tells_its_time_line(readiness, capsys):
    print_flight(readiness)
    out = capsys.readouterr().out
    assert [event.name for event in readiness.flight.trace.events if f"  {event.name} " not in out] == []
    assert "Drift and landing point" in out


@pytest.mark.parametrize(
    ("out", "looks"),
    [
        (None, False),
        (SimpleNamespace(isatty=lambda: False), False),
        (SimpleNamespace(isatty=lambda: True), True),
    ],
)
def test_someone_looks_where_a_terminal_is_open(monkeypatch, out, looks):
    monkeypatch.setattr("sys.stdout", out)
    assert is_terminal() is looks
