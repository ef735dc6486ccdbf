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
    told = lines(sheet_of("skerry-light"))
    off = [at for at, text in enumerate(told) if "off, its pin in" in text]
    charges = [at for at, text in enumerate(told) if "0.62 g in" in text or "backup of" in text]
    closed = [at for at, text in enumerate(told) if ": closed," in text]
    armed = [at for at, text in enumerate(told) if "armed by" in text]
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
    armed = [at for at, text in enumerate(told) if "armed by" in text]
    assert holes < min(armed) < max(armed) < agree
    assert not [text for text in lines(sheet_of("pagoda")) if text.startswith("All computers")]


def test_arming_goes_one_way_and_disarming_the_other():
    told = lines(sheet_of("every-key"))
    armed = [text for text in told if "armed by" in text]
    assert [text.split(":")[0] for text in armed] == ["computer A", "computer B"]
    assert "armed by switch A, then pin B1 or pin B2" in armed[1]
    off = [text for text in told if text.endswith(" off")]
    assert off == 2 * ["computer B: pin B2 and pin B1, then switch A off", "computer A: switch A off"]


def test_events_powder_and_numbers_of_the_code_are_those_of_sheet_and_code():
    told = " ".join(lines(sheet_of("every-key")))
    assert "upper charge: 0.7 g in upper bay; igniter B to computer A, set to 250 m falling" in told
    assert "set to 14 s after lift-off" in told
    assert "no more than 20 deg" in told
    assert "nobody moves for 60 s" in told
    assert "Nobody nearer than 61 m" in told


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
