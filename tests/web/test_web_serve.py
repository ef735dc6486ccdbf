"""Where the server listens, and how it stops."""

import ipaddress
import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import httpx
import pytest

from finial.web.serve import listen


def test_it_listens_on_this_machine_only() -> None:
    with listen(0) as listening:
        host, port = listening.getsockname()
        assert ipaddress.ip_address(host).is_loopback
        assert port > 0


def test_a_taken_port_is_refused() -> None:
    with listen(0) as listening, pytest.raises(OSError, match="in use"):
        listen(listening.getsockname()[1])


@pytest.mark.skipif(os.name != "posix", reason="Ctrl-C is sent as a signal, which only POSIX systems have")
def test_open_prints_the_address_and_stops_on_ctrl_c() -> None:
    sheet = Path(__file__).parents[2] / "examples" / "skerry-light" / "skerry-light.toml"
    command = [sys.executable, "-u", "-m", "finial", "open", str(sheet), "--no-browser", "--quiet"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as running:
        assert running.stdout is not None
        told = running.stdout.readline()
        address = re.search(r"http://127\.0\.0\.1:\d+/", told)
        assert address is not None, told
        page = httpx.get(address[0], timeout=20)
        running.send_signal(signal.SIGINT)
        rest, complaints = running.communicate(timeout=20)
    assert told.startswith("Skerry Light: ")
    assert page.status_code == 200
    assert '<div id="page">' in page.text
    assert rest == "Stopped.\n"
    assert complaints == ""
    assert running.returncode == 0
