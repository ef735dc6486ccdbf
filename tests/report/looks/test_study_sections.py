"""What the long looks say in words: each number in its place, each doubt told where it stands."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from finial.assemble.recovery.records import (
    ExitStudy,
    OrderStudy,
    OtherPins,
    PinStudy,
    PlannedShot,
    RecoveryStudy,
    Remedy,
    RemedyKind,
    ShotPurpose,
    VentStudy,
)
from finial.assemble.recovery.results import EarlyPull, PackDoubt, PackDoubtKind, PackStudy, PullKind
from finial.campaign.answers import CampaignAnswer, Failure, ResultScatter
from finial.campaign.asked import Asked
from finial.campaign.landing import landing_ellipse
from finial.campaign.quantiles import Odds, Quantile
from finial.campaign.rare import RareOdds
from finial.campaign.sensitivity import Decided, Sensitivity
from finial.core.estimates import Estimate, KnownBy, exact
from finial.flight.uncertain import Drawn, Uncertain
from finial.recovery.packs.packing import Fit
from finial.report.campaign_text import campaign_lines, campaign_sections
from finial.report.document import ReportSection
from finial.report.sections.recovery_cords import cord_section, zipper_section
from finial.report.sections.recovery_study import (
    canopies_section,
    charge_section,
    ground_test_section,
    packs_section,
    pins_section,
)
from finial.report.sections.strength_fins import fins_section, stays_section
from finial.report.shown import Shown
from finial.structure.fins.root import HoldKind, RootHold

METRIC, US = Shown(us_units=False), Shown(us_units=True)


def between(low: float, value: float, high: float) -> Estimate:
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.COMPUTED)


def table(section: ReportSection, title: str) -> list[dict[str, str]]:
    """Rows of the table whose title begins so, by column."""
    (found,) = (one for one in section.tables if one.title.startswith(title))
    assert all(len(row) == len(found.columns) for row in found.rows)
    assert all(0 <= column < len(found.columns) for column in found.numbers)
    return [dict(zip(found.columns, row, strict=True)) for row in found.rows]


def pack(**changed) -> PackStudy:
    usual = {
        "bay": "lantern bay",
        "contents_kg": 0.5,
        "density": exact(300.0),
        "fit": Fit.BY_HAND,
        "comes_out": True,
        "room_m": 0.15,
        "length_m": 0.2,
        "doubts": (),
    }
    return PackStudy(**{**usual, **changed})


def pins(**changed) -> PinStudy:
    usual = {
        "bay": "lantern bay",
        "joint": "lantern joint",
        "screw": "2-56 nylon",
        "count": 3,
        "holds": between(250.0, 330.0, 410.0),
        "pulls": (
            EarlyPull(kind=PullKind.DRAG, force=exact(40.0)),
            EarlyPull(kind=PullKind.TRAPPED_AIR, force=exact(5.0)),
        ),
        "sealed_n": 95.0,
        "others": (
            OtherPins(screw="M3 nylon", count=1, holds=exact(230.0), breaks=True),
            OtherPins(screw="6-32 nylon", count=2, holds=exact(530.0), breaks=False),
            OtherPins(screw="M2 nylon", count=4, holds=exact(380.0), breaks=None),
        ),
    }
    return PinStudy(**{**usual, **changed})


def recovery(invented, **changed) -> RecoveryStudy:
    order = OrderStudy(
        events=1,
        parts_bare=False,
        joints=(),
        rows=(),
        burnout_s=None,
        apogee_s=None,
        top_mach=0.4,
        backup_at_once=False,
        no_delay=False,
    )
    usual = {
        "canopies": (invented.canopy,),
        "packs": (pack(), pack(bay="tower bay", comes_out=False, fit=Fit.PRESSED)),
        "bursts": (invented.bay,),
        "pins": (pins(),),
        "vents": (),
        "order": order,
        "tethers": (invented.cord,),
    }
    return RecoveryStudy(**{**usual, **changed})


def test_a_canopy_is_told_with_both_opening_loads(invented, readiness) -> None:
    section = canopies_section(readiness.recovery, recovery(invented), METRIC)
    (coming,), (opening,) = table(section, "Coming down"), table(section, "Opening load")
    assert (coming["canopy"], coming["swings"]) == ("main", "6 to 11 deg")
    assert coming["falls at"].startswith("5 m/s")
    assert opening["by filling time"] == "500 N (400 to 650)"
    assert opening["coupled equation"] == "400 N (300 to 500)"


def test_a_pack_in_doubt_is_not_said_to_leave(invented) -> None:
    doubt = PackDoubt(kind=PackDoubtKind.NARROW_MOUTH, number=0.06)
    study = recovery(
        invented,
        packs=(pack(doubts=(doubt,)), pack(bay="tower bay", comes_out=False)),
        exits=(
            ExitStudy(
                bay="lantern bay",
                friction=exact(20.0),
                pull=between(2.0, 3.04, 4.0),
                push=None,
                behind_told=True,
            ),
        ),
    )
    section = packs_section(study, METRIC)
    rows = [dict(zip(section.tables[0].columns, row, strict=True)) for row in section.tables[0].rows]
    assert [row["can leave"] for row in rows] == ["yes", "in doubt"]
    assert rows[0]["length"] == "200 mm"
    assert rows[0]["by hand it needs"] == "150 mm"
    (moved,) = table(section, "What moves it out")
    assert moved["pull of the cord"] == "3.0 (2.0 to 4.0)"
    assert moved["push of the gas behind it"] == "none"
    assert section.notes[0].startswith("The mouth, 60 mm, is narrower than the pack")
    assert section.notes[-1].startswith("How the cord is led")
    assert packs_section(recovery(invented, packs=()), METRIC).notes == ()


def test_a_joint_opens_even_at_the_weak_end_or_not_there_or_never(invented) -> None:
    shot = invented.bay.shots[0]
    weak = replace(shot, charge="weak", opens=False)
    shut = replace(weak, charge="shut", speed=exact(0.0))
    section = charge_section(
        replace(invented.bay, shots=(shot, weak, shut), by_height=((1000.0, 90e3, 80e3, 11.0),)), METRIC
    )
    rows = table(section, "Followed in time")
    assert [row["opens"] for row in rows] == ["even at the weak end", "not at the weak end", "stays shut"]
    assert rows[0]["powder"] == "1.4 g"
    assert rows[0]["peak in the bay"] == "100 kPa (60 to 140)"
    (high,) = table(section, "The first charge at other heights")
    assert (high["height"], high["parts at"]) == ("1000 m", "11 m/s")
    facts = dict(section.facts)
    assert facts["the wall yields at"] == "not known"
    assert facts["largest force on the joint"] == "900 N"
    assert facts["the trade stops at"] == "1500 N"
    assert any("Black powder burns hands" in note for note in section.notes)


def test_the_ground_test_leaves_room_for_what_is_seen(invented) -> None:
    plan = tuple(
        PlannedShot(purpose=purpose, charge="lantern charge", powder_kg=0.001) for purpose in ShotPurpose
    )
    section = ground_test_section(replace(invented.bay, plan=plan), METRIC)
    rows = table(section, "To fill in")
    assert [row["shot"] for row in rows] == [
        "lantern charge as flown",
        "lantern charge as flown, again",
        "four fifths of it, to see what is to spare",
    ]
    assert all(set(list(row.values())[2:]) == {"____", "________"} for row in rows)
    assert [note[0] for note in section.notes[:7]] == list("1234567")


def test_what_pulls_at_the_pins_and_what_other_pins_would_do(invented) -> None:
    section = pins_section(recovery(invented), METRIC)
    pulls = table(section, "What pulls")
    assert [(row["what pulls"], row["with"]) for row in pulls] == [
        ("drag and inertia at burnout", "40 N"),
        ("trapped air", "5 N"),
        ("trapped air, were there no vent", "95 N"),
    ]
    assert pulls[0]["pins"] == "3 x 2-56 nylon"
    others = {row["pins"]: row for row in table(section, "Fewest pins")}
    told = "the charge breaks them with a quarter to spare"
    assert others["1 x M3 nylon"][told] == "yes"
    assert others["2 x 6-32 nylon"][told] == "not at its weak end"
    assert others["4 x M2 nylon"][told] == "no charge entered"


def test_a_joint_without_pins_holds_nothing_and_a_bay_without_vent_is_sealed(invented) -> None:
    bare = pins(screw="", count=0, holds=None, others=())
    vents = (
        VentStudy(
            bay="lantern bay",
            volume_m3=0.001,
            vent_m2=None,
            lag_pa=None,
            lag_m=None,
            rule_holes=((3, 0.004), (4, 0.0035)),
        ),
        VentStudy(bay="tower bay", volume_m3=0.002, vent_m2=2e-5, lag_pa=50.0, lag_m=4.5, rule_holes=()),
    )
    section = pins_section(recovery(invented, pins=(bare,), vents=vents), METRIC)
    assert (table(section, "What pulls")[0]["pins"], table(section, "What pulls")[0]["they hold"]) == (
        "none",
        "",
    )
    sealed, vented = table(section, "Vents")
    assert (sealed["vent"], sealed["lag in the climb"], sealed["in height"]) == ("none", "sealed", "")
    assert sealed["the rule's holes"] == "3 of 4.0 mm, 4 of 3.5 mm"
    assert vented["vent"].endswith("mm2")
    assert vented["lag in the climb"] == "50 Pa"
    assert vented["in height"].startswith("4.5")


def test_the_cord_is_told_by_its_case_on_time(invented) -> None:
    cases = tuple(replace(case, peak_n=100.0 * (3 + case.offset_s)) for case in invented.cord.cases)
    section = cord_section(replace(invented.cord, cases=cases), METRIC)
    facts = dict(section.facts)
    assert section.title == "Shock cord: pull over time"
    assert facts["peak followed in time"] == "300 N"
    assert facts["rated for"].startswith("20 times")
    assert facts["length"].startswith("3.0 times")
    assert facts["the sides meet again"] == "never within 5 s, in any case followed"


def test_strength_over_pull_is_one_more_than_the_margin(invented) -> None:
    def told(low: float | None, middle: float | None) -> str:
        case = replace(invented.cord.cases[1], margin_low=low, margin=middle)
        section = zipper_section(replace(invented.cord, cases=(case,)), METRIC)
        return table(section, "By event time")[0]["strength over pull"]

    assert told(0.5, 1.0) == "2.0 (low 1.5)"
    assert told(9.0, 12.0) == "13.0 (low 10.0)"
    assert told(9.01, 12.0) == "over 10"
    assert told(None, 1.0) == told(1.0, None) == "not known"


def test_events_are_told_early_late_and_on_time_in_their_wind(invented) -> None:
    section = zipper_section(invented.cord, US)
    by_time = table(section, "By event time")
    assert [row["event"] for row in by_time] == ["3 s early", "on time", "2 s late", "5 s late"]
    strong = table(section, "The same in the strongest wind")
    assert [row["strength over pull"] for row in strong][2] == "1.0 (low 1.0)"
    across = table(section, "By horizontal speed")
    assert across[0]["event"] == "0 ft/s across"
    assert by_time[0]["bent by"] == "57 deg"
    assert by_time[0]["edge"] == "upper edge"
    assert by_time[0]["peak pull"].endswith("lbf")
    facts = dict(section.facts)
    assert facts["known by"].startswith("the model alone")
    assert facts["the lip"].startswith("PETG")
    assert "a slit runs between layers" in facts["the lip"]
    without = dict(zipper_section(replace(invented.cord, lip=None), METRIC).facts)
    assert without["the lip"].startswith("not known: enter wall")
    assert without["starts to tear at, cord bent square"] == "not known"
    tested = replace(invented.cord, lip=replace(invented.cord.lip, tested=True, layers_across=False))
    assert dict(zipper_section(tested, METRIC).facts)["known by"] == "a pull test"
    assert "a slit cuts the layers" in dict(zipper_section(tested, METRIC).facts)["the lip"]


def test_remedies_keep_their_order_and_their_sizes(invented) -> None:
    remedies = (
        Remedy(kind=RemedyKind.LONGER_CORD, size=12.0, margin=0.25, peak_n=700.0),
        Remedy(kind=RemedyKind.SOFTER_CORD, size=0.3, margin=None, peak_n=650.4),
    )
    rows = table(zipper_section(replace(invented.cord, remedies=remedies), METRIC), "Remedies")
    assert rows[0]["remedy"].startswith("cord twice as long, 12")
    assert (rows[0]["strength over pull, low end"], rows[0]["peak pull"]) == ("1.25", "700 N")
    assert rows[1]["remedy"] == "softer cord of the same strength, 30 % at break"
    assert rows[1]["strength over pull, low end"] == "not known"


def test_a_fin_is_told_without_and_with_its_stays(invented) -> None:
    section = fins_section(invented.fin, METRIC)
    rows = {row[""]: row for row in table(section, "The fin in the wind")}
    assert rows["frequencies"]["without stays"] == "40 Hz bends, 96 Hz twists, 240 Hz bends"
    assert rows["flutter"]["with stays"] == "150 m/s (120 to 180) at 60 Hz"
    assert rows["divergence"]["with stays"] == "none below Mach 0.9"
    assert rows["all fins alike"]["with stays"] == "the same"
    assert rows["lift left at top speed"]["with stays"] == "past divergence"
    assert dict(section.facts)["flutter over height, least"] == "150 m/s"
    calm = replace(invented.fin.envelope, flutter_m_s=np.full(5, math.inf))
    assert dict(fins_section(replace(invented.fin, envelope=calm), METRIC).facts)[
        "flutter over height, least"
    ] == ("none below Mach 0.9")


def test_a_fin_short_of_divergence_tells_bending_and_reserve(invented) -> None:
    bent = replace(
        invented.fin.held,
        flutter=None,
        flutter_hz=0.0,
        flutter_all_alike=exact(140.0),
        divergence_m_s=210.0,
        lift_ratio=1.126,
        centre_shift_m=0.0021,
        tip_shift_m=0.0042,
        tip_twist_rad=0.01,
        stress=exact(1e7),
    )
    section = fins_section(replace(invented.fin, held=bent, bare=None), METRIC)
    rows = {row[""]: row["as it is"] for row in table(section, "The fin in the wind")}
    assert rows["flutter"] == "none below Mach 0.9"
    assert rows["all fins alike"] == "140 m/s"
    assert rows["divergence"] == "210 m/s"
    assert rows["lift left at top speed"] == "113 %"
    assert (rows["lift's centre moves aft"], rows["tip moves"]) == ("2.1 mm", "4.2 mm")
    assert rows["tip turns"] == "0.57 deg"
    assert rows["reserve in the gust"] == "3.00"


def test_a_root_says_how_it_is_held(invented) -> None:
    pieces = RootHold(kind=HoldKind.STIFF, pieces_m=((0.0, 0.1), (0.2, 0.3)))
    facts = dict(fins_section(replace(invented.fin, hold=pieces), METRIC).facts)
    whole = dict(fins_section(invented.fin, METRIC).facts)
    assert facts["root"] == f"2 {whole['root']}"


def test_stays_are_numbered_and_tell_where_they_go(invented) -> None:
    tight = replace(invented.fin.stays[0], slack_reserve=exact(2.0), stiffness_n_per_m=12_400.0)
    rows = table(
        stays_section(replace(invented.fin, stays=(invented.fin.stays[0], tight)), METRIC), "Each pair"
    )
    assert [row["stay"] for row in rows] == ["1", "2"]
    assert rows[0]["across the fin"] == "10 kN/m"
    assert rows[1]["across the fin"] == "12 kN/m"
    assert (rows[0]["slack"], rows[1]["slack"]) == ("not known", "2.00")
    assert rows[0][""] == "from 130 mm along, 100 mm outward to the next fin"
    assert rows[0]["tied point moves"] == "1.0 mm"


def odds(asked: Asked, count: int, low: float | None = None, high: float | None = None) -> Odds:
    return Odds(asked=asked, count=count, flights=1000, low=low, high=high)


def _cause(kind: Drawn, share: float, low: float, high: float, of: str = "") -> Sensitivity:
    return Sensitivity(draw=Uncertain(kind=kind, of=of), share=share, low=low, high=high, alone=share)


def campaign(**changed) -> CampaignAnswer:
    turn = np.linspace(0.0, 2 * math.pi, 41)[:-1]
    landings = np.stack([200.0 * np.sin(turn), 300.0 + 100.0 * np.cos(turn)], axis=1)
    usual = {
        "flights": 1000,
        "design": "plain",
        "seed": 7,
        "rounding": "processors",
        "scatters": (
            ResultScatter(
                key="apogee_m",
                name="apogee above ground",
                flights=1000,
                mean=812.0,
                quantiles=(
                    Quantile(share=0.05, value=700.0, low=690.0, high=705.0),
                    Quantile(share=0.5, value=810.0, low=None, high=None),
                    Quantile(share=0.95, value=900.0, low=890.0, high=915.0),
                ),
            ),
            ResultScatter(
                key="max_acceleration_m_s2",
                name="top acceleration",
                flights=1000,
                mean=98.0665,
                quantiles=(Quantile(share=0.5, value=49.03325, low=None, high=None),) * 3,
            ),
        ),
        "odds": (odds(Asked.OPEN_CANOPY, 970, 0.9575, 0.9797), odds(Asked.LOST, 0, 0.0, 0.0037)),
        "unasked": (Asked.OVER_CEILING,),
        "rare": (),
        "ellipse": landing_ellipse(landings),
        "failures": (Failure(what="turned over", flights=3, farthest_m=None, fastest_m_s=None),),
        "decided": {
            "apogee_m": Decided(
                causes=(
                    _cause(Drawn.AXIAL_FORCE, 0.5, 0.4, 0.6),
                    _cause(Drawn.IMPULSE, 0.005, 0.001, 0.009),
                    _cause(Drawn.RAIL_BEARING, 0.0049, 0.001, 0.009),
                ),
                missed=0.123,
            ),
            "drift_m": Decided(causes=(), missed=1.04),
        },
    }
    return CampaignAnswer(**{**usual, **changed})


def section(answer: CampaignAnswer, key: str) -> ReportSection:
    return next(one for one in campaign_sections(answer, METRIC) if one.key == key)


def test_the_headline_counts_what_nobody_wants() -> None:
    """970 of 1000 under an open canopy: thirty without one; of the lost, those that are lost."""
    head, *rest = (line.text for line in campaign_lines("Light", campaign(), us_units=False))
    text = " ".join(rest)
    assert head == "Light: 1000 flights, plain design, seed 7"
    assert "Of 1000 flights 30 come down without an open canopy." in text
    assert "Not known: goes over the ceiling." in text
    all_well = campaign(odds=(odds(Asked.OPEN_CANOPY, 1000), odds(Asked.LOST, 0)), unasked=())
    told = " ".join(line.text for line in campaign_lines("Light", all_well, us_units=False))
    assert "Of 1000 flights none end as feared." in told
    cards = campaign(rounding="cards of one make")
    assert next(iter(campaign_lines("L", cards, us_units=False))).text.endswith("flown on cards of one make")


def test_odds_stand_with_their_bounds_and_what_is_missing() -> None:
    facts = dict(section(campaign(), "odds").facts)
    assert facts["comes down under an open canopy"] == "97.0 %, 95.8 to 98.0 (970 of 1000 flights)"
    assert facts["goes over the ceiling"].startswith("not known: enter ceiling_agl")
    notes = section(campaign(), "odds").notes
    assert notes[0].startswith("Bounds are 95 %")
    assert len(notes) == 2
    spread = section(campaign(design="sobol"), "odds").notes
    assert spread[0].startswith("No bounds")
    lost = section(campaign(odds=(odds(Asked.LOST, 4),)), "odds").notes
    assert lost[-1].startswith("What 4 lost flights did")


def test_the_scatter_has_its_quantiles_and_their_bounds() -> None:
    apogee, felt = section(campaign(), "scatter").tables[0].rows
    assert apogee == ("apogee above ground", "700 m (690 to 705)", "810 m", "900 m (890 to 915)", "812 m")
    assert felt[1:] == ("5.0 g", "5.0 g", "5.0 g", "10.0 g"), "felt accelerations are told in g"


def test_the_ellipse_is_told_by_bearing_and_axes() -> None:
    facts = dict(section(campaign(), "landings").facts)
    # Centre 300 m north; the longer axis lies east and west.
    assert facts["middle"] in ("300 m from the pad at 000 deg", "300 m from the pad at 360 deg")
    assert "along 090 deg" in facts["half axes"]
    assert facts["really holds"] == "100.0 % of the flights, meant for 95 %"
    assert section(campaign(ellipse=None), "landings").facts[0][1].startswith("none: too few")


def test_what_decides_leaves_out_what_hardly_does() -> None:
    (shares,) = section(campaign(), "decides").tables
    assert shares.title == "apogee above ground"
    assert [row[0] for row in shares.rows] == ["drag", "impulse"]
    assert shares.rows[0][1:3] == ("50 %", "40 to 60 %")
    many = {
        "apogee_m": Decided(
            causes=tuple(_cause(Drawn.OTHER, 0.1, 0.01, 0.2, f"d{n}") for n in range(9)), missed=0.0
        )
    }
    assert len(section(campaign(decided=many), "decides").tables[0].rows) == 6


def test_what_the_fit_misses_is_said_of_each_result() -> None:
    said = section(campaign(), "decides").notes[1]
    assert said.endswith("apogee above ground 12 %; drift_m 100 %.")
    assert section(campaign(decided={}), "decides").notes == ("Too few flights to say.",)


def test_failures_say_how_far_and_how_hard() -> None:
    hard = Failure(what="no canopy", flights=2, farthest_m=450.0, fastest_m_s=60.0)
    rows = section(campaign(failures=(*campaign().failures, hard)), "failures").tables[0].rows
    assert rows == (("turned over", "3", "none landed", ""), ("no canopy", "2", "450 m", "60 m/s"))


@pytest.mark.parametrize(
    ("found", "told"),
    [
        (RareOdds(asked=Asked.LOST, share=2e-5, low=1e-5, high=4e-5, flights=9000), "1 in 50,000 (between"),
        (RareOdds(asked=Asked.LOST, share=0.012, low=0.01, high=0.02, flights=9000), "1.2 % (between 1.0 %"),
        (RareOdds(asked=Asked.LOST, share=0.0099, low=0.0, high=0.02, flights=9), "1 in 100 (between none"),
        (
            RareOdds(asked=Asked.LOST, share=None, low=0.0, high=3e-7, flights=9),
            "none came there: fewer than",
        ),
    ],
)
def test_rare_odds_are_one_in_so_many_below_a_hundredth(found: RareOdds, told: str) -> None:
    (one,) = section(campaign(rare=(found,)), "rare").facts
    assert one[0] == "are lost under way"
    assert one[1].startswith(told)


def test_columns_set_right_hold_numbers(invented, readiness) -> None:
    """So that digits line up; columns of words stand left."""
    stays = replace(invented.fin.stays[0], slack_reserve=exact(2.0))
    remedies = (Remedy(kind=RemedyKind.LONGER_CORD, size=12.0, margin=0.25, peak_n=700.0),)
    exits = (ExitStudy(bay="b", friction=exact(20.0), pull=exact(3.0), push=exact(2.0), behind_told=True),)
    study = recovery(
        invented,
        exits=exits,
        bursts=(replace(invented.bay, by_height=((1000.0, 90e3, 80e3, 11.0),)),),
        vents=(
            VentStudy(
                bay="b", volume_m3=0.002, vent_m2=2e-5, lag_pa=50.0, lag_m=4.5, rule_holes=((3, 0.004),)
            ),
        ),
    )
    sections = [
        canopies_section(readiness.recovery, study, METRIC),
        packs_section(study, METRIC),
        charge_section(study.bursts[0], METRIC),
        pins_section(study, METRIC),
        zipper_section(replace(invented.cord, remedies=remedies), METRIC),
        stays_section(replace(invented.fin, stays=(stays,)), METRIC),
        *campaign_sections(campaign(), METRIC),
    ]
    tables = [one for each in sections for one in each.tables if one.rows]
    assert len(tables) > 14
    begins = r"^[-+]?[\d.]|^(none|not known|over|sealed|$)"
    for one in tables:
        for index, column in enumerate(one.columns):
            cells = [row[index] for row in one.rows]
            told = (one.title, column, cells)
            if index in one.numbers:
                assert all(re.match(begins, cell) for cell in cells), told
            elif column not in (
                "event",
                "pins",
                "the rule's holes",
                "interval",
                "hardest landing",
                "bent by",
                "stay",
            ):
                assert not all(re.match(r"^[-+]?\d", cell) for cell in cells), told
        assert all(index < len(one.columns) for index in one.numbers)
