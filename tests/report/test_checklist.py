"""Checklists come from the sheet: what it names is in them, in the order in which it is done."""

import io
from pathlib import Path
from types import SimpleNamespace

import pypdf
import pytest

from finial.files.sheet import read_sheet
from finial.range_safety.limits import code_limits
from finial.report.checklist import checklist
from finial.report.pdf import checklist_pdf_bytes

EXAMPLES = Path(__file__).parents[2] / "examples"
RULES = SimpleNamespace(limits=code_limits("NFPA 1127"), minimum_distance_m=61.0)


def sheet_of(name):
    return read_sheet(EXAMPLES / name / f"{name}.toml").sheet


def lines(sheet):
    return [step.text for chapter in checklist(sheet, RULES) for step in chapter.steps]


@pytest.mark.parametrize("name", ["skerry-light", "every-key", "pagoda", "phone-box", "buoy-tiers"])
def test_everything_that_is_packed_fired_or_armed_stands_in_it(name):
    sheet = sheet_of(name)
    told = " ".join(lines(sheet))
    recovery, electronics = sheet.recovery, sheet.electronics
    for group in (recovery.canopy, recovery.cord, recovery.charge, recovery.joint):
        for one in group:
            assert one.name in told
    for group in (electronics.battery, electronics.switch, electronics.computer, electronics.igniter):
        for one in group:
            assert one.name in told


def test_switches_are_off_before_a_charge_and_on_only_on_the_pad():
    # High Power Rocket Safety Code, August 2012: what fires is inhibited until it stands as it is launched.
    told = lines(sheet_of("skerry-light"))
    off = [at for at, text in enumerate(told) if text.endswith(", switch: switched off")]
    charges = [at for at, text in enumerate(told) if "0.62 g in" in text or "backup of" in text]
    closed = [at for at, text in enumerate(told) if ": closed," in text]
    armed = [at for at, text in enumerate(told) if text.endswith("it reports every igniter")]
    raised = next(at for at, text in enumerate(told) if text.startswith("Rail raised"))
    motor = next(at for at, text in enumerate(told) if text.startswith("Igniter into the motor"))
    assert max(off) < min(charges) < max(charges) < min(closed) < raised < min(armed) < max(armed) < motor


def test_shots_to_make_stand_in_it_with_room_for_what_came_of_them():
    sheet = sheet_of("skerry-light")
    bay = sheet.recovery.bay[0].name
    first, backup = sheet.recovery.charge
    shots = [text for text in lines(sheet) if "Parted: yes / no" in text]
    assert all(text.startswith(bay) for text in shots)
    # As it flies twice, four fifths once, and the backup once.
    powders = [text.partition(" g. Parted")[0].rpartition(" ")[2] for text in shots]
    first_g, backup_g = 1e3 * first.powder.value, 1e3 * backup.powder.value
    wanted = [first_g, first_g, 0.8 * first_g, backup_g]
    assert [float(one) for one in powders] == pytest.approx(wanted, abs=0.006)
    tested = checklist(sheet_of("every-key"), RULES)[0]
    assert "upper bay: shots in the sheet (upper charge, 0.7 g)" in tested.steps[0].text
    assert tested.title.startswith("On another day")


def test_holes_are_open_and_two_computers_agree_before_anyone_leaves_the_pad():
    told = lines(sheet_of("skerry-light"))
    holes = next(at for at, text in enumerate(told) if text.startswith("static ports: all 4 holes"))
    agree = next(at for at, text in enumerate(told) if text.startswith("All computers show one height"))
    armed = [at for at, text in enumerate(told) if text.endswith("it reports every igniter")]
    assert holes < min(armed) < max(armed) < agree
    assert not [text for text in lines(sheet_of("pagoda")) if text.startswith("All computers")]


def test_arming_goes_one_way_and_disarming_the_other():
    told = lines(sheet_of("every-key"))
    armed = [text for text in told if text.endswith("it reports every igniter")]
    assert [text.split(":")[0] for text in armed] == ["computer A", "computer B"]
    assert armed[1].index("switch A") < armed[1].index("pin B1")
    off = [text for text in told if text.startswith("computer") and text.endswith("screw out")]
    assert off == 2 * [
        "computer B: pin B2 pin in and pin B1 pin in, then switch A screw out",
        "computer A: switch A screw out",
    ]


def test_events_powder_and_numbers_of_the_code_are_those_of_sheet_and_code():
    told = " ".join(lines(sheet_of("every-key")))
    assert "upper charge: 0.7 g in upper bay; igniter B to computer A, set to 250 m falling" in told
    assert "set to 14 s after lift-off" in told
    assert "no more than 20 deg" in told
    assert "nobody moves for 60 s" in told
    assert "Nobody nearer than 61 m" in told


def test_what_was_not_read_in_the_code_is_asked_for_and_what_it_adds_stands_in_it():
    sheet = sheet_of("skerry-light")
    research, state = (
        " ".join(step.text for one in checklist(sheet, rules) for step in one.steps)
        for rules in (
            SimpleNamespace(limits=code_limits(code), minimum_distance_m=61.0)
            for code in ("Research Safety Code", "19 CCR 1036")
        )
    )
    assert "no more than 20 deg (not read in Research Safety Code: ask)" in research
    assert "nobody moves for 60 s (not read in Research Safety Code: ask)" in research
    assert "Clear sight" not in research
    assert "the state licensed" not in research
    assert "Somebody whom the state licensed supervises" in state
    assert "Clear sight above the pad for 1524 m at least" in state
    assert "no more than 20 deg Wind" in state


def test_a_meter_in_the_hand_reads_less_than_the_wind_at_ten_metres():
    """Log law over 0.03 m: ln(2 / 0.03) / ln(10 / 0.03) is 0.723; among houses nobody says."""
    sheet = sheet_of("skerry-light")
    told = " ".join(lines(sheet))
    assert "at 10 m (a meter held 2.0 m up shows 0.72 of it over level open)" in told
    city = sheet.model_copy(update={"launch": sheet.launch.model_copy(update={"terrain": "city"})})
    assert "mph at 10 m; finial day" in " ".join(lines(city)).replace("m/s at", "mph at")


def test_whatever_may_go_off_asks_for_two_people():
    for chapter in checklist(sheet_of("skerry-light"), RULES):
        for step in chapter.steps:
            if "armed by" in step.text or " g in " in step.text or "Unfired" in step.text:
                assert step.stops, step.text


def test_a_computer_without_a_switch_is_said_to_be_live():
    sheet = sheet_of("skerry-light")
    bare = sheet.electronics.computer[0].model_copy(update={"switch": None})
    electronics = sheet.electronics.model_copy(update={"computer": (bare,)})
    told = lines(sheet.model_copy(update={"electronics": electronics}))
    assert (
        "computer A: it has no switch in the sheet and is live once plugged in; it reports every igniter"
        in told
    )


def test_the_pages_read_back(readiness):
    chapters = checklist(sheet_of("skerry-light"), RULES)
    pdf = pypdf.PdfReader(io.BytesIO(checklist_pdf_bytes(readiness, chapters, revision="0123456789ab")))
    assert len(pdf.pages) <= 3
    said = " ".join(" ".join(page.extract_text() for page in pdf.pages).split())
    assert "0123456789ab" in said
    assert "not a permission to fly" in said
    for chapter in chapters:
        assert chapter.title in said


@pytest.mark.parametrize(
    ("kind", "rest", "off", "arms"),
    [
        ("pull pin", None, "pin in", "drawn"),
        ("pull pin", "closed", "pin in", "drawn"),
        ("pull pin", "open", "pin out", "pushed in, and it stays in"),
        ("magnetic switch", "closed", "magnet on", "magnet taken away"),
        ("magnetic switch", "open", "magnet taken away", "magnet on, and it stays on"),
        ("screw switch", None, "screw out", "screwed home"),
        ("slide switch", None, "switched off", "switched on"),
    ],
)
def test_the_hand_is_told_what_this_kind_of_switch_wants(kind, rest, off, arms):
    """A pin whose contacts open at rest arms by going in: the usual words would arm it among people."""
    sheet = sheet_of("skerry-light")
    switches = tuple(one.model_copy(update={"kind": kind, "rest": rest}) for one in sheet.electronics.switch)
    electronics = sheet.electronics.model_copy(update={"switch": switches})
    told = lines(sheet.model_copy(update={"electronics": electronics}))
    assert f"switch A, {kind}: {off}" in told
    assert f"computer A: switch A {arms}; it reports every igniter" in told
    assert told.count(f"computer A: switch A {off}") == 2  # after a misfire, and after landing


def test_switches_side_by_side_and_in_a_row_are_told_apart():
    told = lines(sheet_of("every-key"))
    assert (
        "computer B: switch A screwed home, then pin B1 drawn and pin B2 drawn (either arms it);"
        " it reports every igniter" in told
    )
    assert "computer B: pin B2 pin in and pin B1 pin in, then switch A screw out" in told


def test_the_delay_of_a_backup_is_read_off_its_computer():
    assert "lantern backup charge: its delay after lantern charge, read off its computer: ______ s" in lines(
        sheet_of("skerry-light")
    )


def test_leads_and_plugs_are_pulled_before_a_charge_hangs_on_them():
    told = lines(sheet_of("every-key"))
    ends = [at for at, text in enumerate(told) if "pulled by hand" in text or "pushed home" in text]
    assert [told[at] for at in ends] == [
        "igniter A: lead whole, every crimp and terminal pulled by hand",
        "igniter B: lead whole, every crimp and terminal pulled by hand",
        "igniter C: lead whole, gauge 24, 4 connectors, every crimp and terminal pulled by hand",
        "plug of battery A: pushed home and locked",
        "plug of the lower bay: pushed home and locked",
    ]
    assert max(ends) < min(at for at, text in enumerate(told) if " g in " in text)
