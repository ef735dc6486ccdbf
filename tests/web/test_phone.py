"""The day's page for a phone: who is let in, what it asks, and that it only reads unless told otherwise."""

import re
from dataclasses import replace
from html import unescape
from types import SimpleNamespace

import httpx
import pytest

from finial.core.errors import BuildSheetError, Fault, MissingData
from finial.findings.today import Today
from finial.report.checklist import Chapter, Tick
from finial.report.phone_page import fields
from finial.web.phone_app import PhoneDay, phone_app, reading_of
from finial.web.phone_guard import DIGITS, TRIES, Codes, is_near

HOST = "192.168.7.5:8765"
NEAR = ("192.168.7.20", 50000)
ASKED = fields(us_units=False, wind_known_to="1 m/s")
NOBODY = {"origin": "null"}
OURS = {"origin": f"http://{HOST}"}


class Shell:
    """What the shell was told."""

    def __init__(self) -> None:
        self.lines: list[str] = []

    def __call__(self, line: str) -> None:
        self.lines.append(line)

    @property
    def code(self) -> str:
        return re.findall(r"\d{8}", " ".join(self.lines))[-1]


@pytest.fixture
def shell() -> Shell:
    return Shell()


@pytest.fixture
def asked() -> list:
    return []


@pytest.fixture
def day(readiness, asked) -> PhoneDay:
    def answer(read) -> Today:
        asked.append(read)
        return Today(sheet=readiness, today=readiness, moved=())

    chapter = Chapter(title="On the pad", steps=(Tick(text="computer A: switched on", stops=True),))
    return PhoneDay(by_sheet=readiness, revision="abc", chapters=(chapter,), asked=ASKED, answer=answer)


@pytest.fixture
def phone_of(in_a_loop_of_its_own, shell):
    """A browser at an address, as a client whose requests run in a loop of their own."""
    codes = None

    def client(day: PhoneDay, address=NEAR, *, new_codes: bool = False):
        nonlocal codes
        if codes is None or new_codes:
            codes = Codes(shell)
        app = phone_app(day, hosts=frozenset((HOST,)), codes=codes)
        transport = httpx.ASGITransport(app=app, client=address)
        inside = httpx.AsyncClient(transport=transport, base_url=f"http://{HOST}")

        def ask(method: str, path: str, headers=OURS, **told):
            return in_a_loop_of_its_own(inside.request(method, path, headers=headers, **told))

        return ask

    return client


def let_in(ask, shell: Shell):
    found = ask("POST", "/code", data={"code": shell.code})
    assert found.status_code == 303
    return found


def test_without_a_code_nothing_is_shown_but_the_question_for_it(phone_of, day) -> None:
    ask = phone_of(day)
    for path in ("/", "/list", "/card"):
        found = ask("GET", path)
        assert (found.status_code, found.headers["location"]) == (303, "/code")
    assert ask("POST", "/ask", data={"mass": "9"}).status_code == 303
    assert 'name="code"' in ask("GET", "/code").text


def test_the_right_code_opens_it_once(phone_of, day, shell) -> None:
    first, second = phone_of(day), phone_of(day)
    code = shell.code
    assert len(code) == DIGITS
    cookie = let_in(first, shell).headers["set-cookie"].casefold()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert day.by_sheet.name in first("GET", "/").text
    assert second("POST", "/code", data={"code": code}).status_code == 403
    assert shell.code != code
    let_in(second, shell)


def test_wrong_codes_shut_it_for_the_right_one_too(phone_of, day, shell) -> None:
    ask = phone_of(day)
    for _ in range(TRIES):
        wrong = ask("POST", "/code", data={"code": "x"})
        assert wrong.status_code == 403
        assert "not the code" in wrong.text
    assert ask("POST", "/code", data={"code": shell.code}).status_code == 403
    assert "no further phone is let in" in shell.lines[-1]


def test_one_wrong_code_less_does_not(phone_of, day, shell) -> None:
    ask = phone_of(day)
    for _ in range(TRIES - 1):
        ask("POST", "/code", data={"code": "x"})
    let_in(ask, shell)


@pytest.mark.parametrize("address", [("8.8.8.8", 1), ("2001:4860:4860::8888", 1), ("not an address", 1)])
def test_far_addresses_are_refused_with_the_right_code(phone_of, day, shell, address) -> None:
    assert (
        phone_of(day, address)("POST", "/code", data={"code": shell.lines and shell.code}).status_code == 403
    )


@pytest.mark.parametrize(
    "headers",
    [
        {"host": "evil.example"},
        {"origin": "http://evil.example"},
        NOBODY,
        {"sec-fetch-site": "cross-site"},
    ],
)
def test_other_hosts_and_other_pages_are_refused(phone_of, day, shell, headers) -> None:
    ask = phone_of(day)
    let_in(ask, shell)
    assert ask("POST", "/ask", headers=headers, data={"wind": "4"}).status_code == 403


@pytest.mark.parametrize(
    ("address", "near"),
    [
        ("172.16.0.1", True),
        ("172.32.0.1", False),
        ("169.254.3.4", True),
        ("fd00::1", True),
        ("::ffff:192.168.0.2", True),
        ("::ffff:9.9.9.9", False),
        ("fe80::1%wlan0", True),
        ("100.64.0.1", False),
        ("0.0.0.0", False),
    ],
)
def test_near_is_what_no_wider_network_carries(address: str, near: bool) -> None:
    """RFC 1918, RFC 3927, RFC 4193, RFC 4291; shared address space of providers (RFC 6598) is not near."""
    assert is_near(address) is near


def test_it_only_reads_where_nothing_else_was_said(phone_of, day, shell, asked) -> None:
    ask = phone_of(day)
    let_in(ask, shell)
    assert 'value="write"' not in ask("GET", "/").text
    found = ask("POST", "/ask", data={"wind": "4", "do": "write"})
    assert found.status_code == 403
    assert "--write" in found.text
    assert asked == []


def test_with_write_what_was_read_goes_into_the_sheet_once_it_is_answered(
    phone_of, day, shell, asked
) -> None:
    written: list = []
    ask = phone_of(replace(day, write=written.append))
    let_in(ask, shell)
    assert 'value="write"' in ask("GET", "/").text
    assert "stands in the sheet now" not in ask("POST", "/ask", data={"wind": "4", "do": "ask"}).text
    assert written == []
    assert "stands in the sheet now" in ask("POST", "/ask", data={"wind": "4", "do": "write"}).text
    assert written == [{("launch", "wind"): "4 m/s +- 1 m/s"}] == asked[-1:]


def test_what_was_typed_is_asked_and_stays_in_the_form(phone_of, day, shell, asked) -> None:
    ask = phone_of(day)
    let_in(ask, shell)
    page = ask("POST", "/ask", data={"motor": "loaded", "mass": "9,26", "balance": "664 mm +- 1 mm"}).text
    assert asked == [
        {("weighing",): {"motor": "loaded", "mass": "9.26 kg +- 10 g", "balance": "664 mm +- 1 mm"}}
    ]
    assert 'value="664 mm +- 1 mm"' in page
    assert '<option value="loaded" selected>' in page
    assert day.by_sheet.name in page


def test_faults_of_what_was_typed_are_told_on_the_page(phone_of, day, shell) -> None:
    def refused(_read):
        raise BuildSheetError([Fault(file="it.toml", field="launch.wind", given='"<b>"', accepted="a speed")])

    ask = phone_of(replace(day, answer=refused))
    let_in(ask, shell)
    found = ask("POST", "/ask", data={"wind": "<b>"})
    assert found.status_code == 422
    assert "<b>&quot;" not in found.text
    assert 'launch.wind: "<b>"; accepted: a speed' in unescape(found.text)
    nothing = ask("POST", "/ask", data={"mass": " "})
    assert nothing.status_code == 422
    assert "nothing was read" in nothing.text


def test_a_long_form_and_another_kind_of_body_are_refused(phone_of, day, shell) -> None:
    ask = phone_of(day)
    let_in(ask, shell)
    assert ask("POST", "/ask", data={"wind": "4" * 9000}).status_code == 413
    assert ask("POST", "/ask", json={"wind": "4"}).status_code == 415


def test_list_and_card_stand_on_pages_of_their_own_and_nothing_is_fetched_from_elsewhere(
    phone_of, day, shell
) -> None:
    ask = phone_of(day)
    let_in(ask, shell)
    told = ask("GET", "/list")
    assert "computer A: switched on" in told.text
    assert told.text.count('aria-label="initials') == 2
    assert "Flight card" in ask("GET", "/card").text
    policy = told.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "frame-ancestors 'none'" in policy
    for page in (told.text, ask("GET", "/").text):
        assert re.findall(r'(?:src|href)="([^"]+)"', page)
        assert all(one.startswith(("/", "#")) for one in re.findall(r'(?:src|href|action)="([^"]+)"', page))
    for path in ("/kit.css", "/ticks.js"):
        assert ask("GET", path).status_code == 200


def test_a_bare_number_has_the_unit_beside_it_and_is_as_well_known_as_is_said_there() -> None:
    told = reading_of({"wind": "5", "wind_from": "200", "temperature": " 20 ", "tilt": "4"}, ASKED)
    assert told == {
        ("launch", "wind"): "5 m/s +- 1 m/s",
        ("launch", "wind_from"): "200 deg +- 10 deg",
        ("launch", "temperature"): "20 degC +- 2 degC",
        ("launch", "tilt"): "4 deg",
    }
    us = reading_of({"motor": "out", "mass": "20.4"}, fields(us_units=True, wind_known_to=""))
    assert us == {("weighing",): {"motor": "out", "mass": "20.4 lb +- 0.02 lb"}}


def test_two_scales_and_sideways_balance_are_told_together() -> None:
    told = reading_of(
        {
            **{
                "motor": "loaded",
                "fore_at": "200",
                "fore_reads": "3.9",
                "aft_at": "1000",
                "aft_reads": "5.36",
            },
            **{"across_first": "0.5", "across_second": "-1"},
        },
        ASKED,
    )
    assert told == {
        ("weighing",): {
            "motor": "loaded",
            "scales": [
                {"at": "200 mm", "reads": "3.9 kg +- 10 g"},
                {"at": "1000 mm", "reads": "5.36 kg +- 10 g"},
            ],
            "across": ["0.5 mm", "-1 mm"],
        }
    }


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({}, "nothing was read"),
        ({"mass": "9"}, "told whole"),
        ({"motor": "out"}, "told whole"),
        ({"motor": "out", "fore_at": "200", "fore_reads": "3"}, "two scales"),
    ],
)
def test_half_a_weighing_is_refused(typed, said) -> None:
    with pytest.raises(MissingData, match=said):
        reading_of(typed, ASKED)


def test_an_address_that_others_reach_from_afar_is_refused(readiness) -> None:
    from finial.core.errors import OutsideRange
    from finial.web.phone_serve import serve_phone

    with pytest.raises(OutsideRange, match="reached from far away"):
        serve_phone(
            SimpleNamespace(),  # pyright: ignore[reportArgumentType]
            address="0.0.0.0",
            port=0,
            may_write=False,
            tell=print,
            note=print,
        )
