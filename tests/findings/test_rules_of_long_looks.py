"""What only the closer looks know, from both sides of each limit, and what stands in for a look not made.

Limits marked as common practice in the rules have no source; the numbers here are typed again by hand.
"""

from pathlib import Path
from types import SimpleNamespace
from unittest.mock import patch

import pytest
from unsaid import nothing_inside

from finial.assemble.air.results import StudyState, TunnelBeside
from finial.assemble.inside.results import BuriedNut
from finial.assemble.recovery.records import ExitStudy, PieceMeeting, Remedy, RemedyKind
from finial.assemble.strength.fins.records import StayProposal
from finial.assemble.strength.records import InStep
from finial.assemble.vehicle.nozzle import LayersOfPart
from finial.core.dimensions import Dimension
from finial.core.errors import Fault, OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact
from finial.files.motor_folder import MotorFile, read_motors
from finial.findings.ends import NOT_BEFORE, end_findings
from finial.findings.finding import Amount, Finding, Subject, Verdict
from finial.findings.limits import Limits
from finial.findings.long_looks import looked_long, looked_quickly
from finial.findings.motor_choice import motor_rows
from finial.findings.rule import Rule
from finial.findings.rules.air_rules import air_findings
from finial.findings.rules.fit_rules import shape_and_things
from finial.findings.rules.inside_rules import inside_findings
from finial.findings.rules.printing_rules import layer_findings
from finial.findings.rules.recovery_study_rules import study_findings
from finial.findings.rules.strength_study_rules import strength_study_findings
from finial.structure.fins.stays import StayPair

GO, CAUTION, NOT_KNOWN, NO_GO = Verdict.GO, Verdict.CAUTION, Verdict.NOT_KNOWN, Verdict.NO_GO
MOTORS = Path(__file__).parents[2] / "examples" / "skerry-light" / "motors"
LIMITS = Limits(own={"cord_reserve": 2.0, "reserve": 1.5})


def between(low: float, high: float) -> Estimate:
    return Estimate(value=(low + high) / 2, low=low, high=high, known_by=KnownBy.ASSUMED)


# ------------------------------------------------------------------ recovery


def of_recovery(*, exits=(), bursts=(), tethers=()) -> dict[tuple[str, str], Finding]:
    study = SimpleNamespace(exits=exits, bursts=bursts, tethers=tethers, late_s=1.0)
    found = study_findings(study, LIMITS)
    return {(one.key, one.subject.case or one.subject.name): one for one in found}


def pack(*, pull: Estimate | None, push: Estimate | None = None, behind_told: bool = False) -> ExitStudy:
    return ExitStudy(bay="main bay", friction=exact(20.0), pull=pull, push=push, behind_told=behind_told)


@pytest.mark.parametrize(
    ("pull", "push", "behind_told", "verdict"),
    [
        (between(1.01, 3.0), None, False, GO),
        (between(0.99, 3.0), None, False, NOT_KNOWN),
        (between(0.5, 0.99), None, False, NO_GO),
        # The surer way counts, and a charge that nobody said lies behind the pack is at best a caution.
        (between(0.5, 0.99), between(1.01, 2.0), True, GO),
        (between(0.5, 0.99), between(1.01, 2.0), False, CAUTION),
        (between(0.5, 0.99), between(0.6, 0.9), False, NO_GO),
    ],
)
def test_a_pack_leaves_its_bay(pull, push, behind_told: bool, verdict: Verdict) -> None:
    (found,) = of_recovery(exits=[pack(pull=pull, push=push, behind_told=behind_told)]).values()
    assert (found.key, found.verdict) == ("pack-exit", verdict)
    assert found.facts["held"].value == exact(20.0)
    assert {fix.key for fix in found.fixes} == (
        set() if verdict is GO else {"push-out", *(["say-behind"] if push and not behind_told else [])}
    )


def burst(*, peak_n: float = 500.0, opens: bool = True, fastest: float = 6.0) -> SimpleNamespace:
    shots = (
        SimpleNamespace(charge="first", opens=opens, speed=between(0.0, fastest)),
        SimpleNamespace(charge="", opens=False, speed=between(0.0, 0.0)),
    )
    return SimpleNamespace(bay="main bay", shots=shots, joint_peak_n=peak_n, joint_cap_n=600.0)


@pytest.mark.parametrize(
    ("opens", "fastest", "verdict"), [(True, 6.0, GO), (False, 6.0, NOT_KNOWN), (False, 0.0, NO_GO)]
)
def test_each_charge_alone_parts_its_joint(opens: bool, fastest: float, verdict: Verdict) -> None:
    found = of_recovery(bursts=[burst(opens=opens, fastest=fastest)])
    assert {at for at in found if at[0] == "charge-parts-joint"} == {("charge-parts-joint", "first")}
    opened = found["charge-parts-joint", "first"]
    assert opened.verdict is verdict
    assert [fix.key for fix in opened.fixes] == ([] if verdict is GO else ["more-push"])


@pytest.mark.parametrize(("peak_n", "verdict"), [(599.0, GO), (601.0, CAUTION), (1200.0, CAUTION)])
def test_a_charge_is_no_stronger_than_the_trade_goes(peak_n: float, verdict: Verdict) -> None:
    joint = of_recovery(bursts=[burst(peak_n=peak_n)])["joint-force", "main bay"]
    assert joint.verdict is verdict
    if verdict is CAUTION:
        # 600 of 1200 N is half.
        assert joint.fixes[0].facts["share"] == int(100 * 600.0 / peak_n)


def pulled(offset_s: float, peak_n: float, margin: float = 1.0, low: float = 0.5) -> SimpleNamespace:
    return SimpleNamespace(offset_s=offset_s, peak_n=peak_n, margin=margin, margin_low=low)


def tether(**changed) -> SimpleNamespace:
    """A cord of 2000 N, half of it allowed; its late pull of 4000 N counts for the lip alone."""
    on_time = changed.pop("on_time", pulled(0.0, 700.0))
    late = changed.pop("late", pulled(5.0, 4000.0))
    plain = {
        "cord": "main cord",
        "canopy": "main",
        "strength": between(2000.0, 2600.0),
        "cases": (on_time, pulled(1.0, changed.pop("at_one_second", 900.0)), late),
        "spread": (pulled(0.0, 800.0),),
        "meeting": None,
        "lip": SimpleNamespace(tested=True),
        "remedies": (),
    }
    return SimpleNamespace(**(plain | changed))


@pytest.mark.parametrize(
    ("at_one_second", "central", "verdict"),
    [(999.0, 700.0, GO), (1001.0, 700.0, NOT_KNOWN), (1500.0, 1001.0, NOT_KNOWN)],
)
def test_a_cord_holds_what_pulls_at_it_no_later_than_the_sheet_says(
    at_one_second: float, central: float, verdict: Verdict
) -> None:
    one = tether(at_one_second=at_one_second, on_time=pulled(0.0, central))
    cord = of_recovery(tethers=[one])["cord-in-time", "main cord"]
    assert cord.verdict is verdict
    assert (cord.value.low, cord.value.value, cord.value.high) == (
        min(central, 800.0), central, at_one_second,
    )  # fmt: skip
    if verdict is not GO:
        assert cord.fixes[0].facts["held"].value == 2.0 * at_one_second


def test_a_cord_that_every_case_overloads_is_no_go() -> None:
    one = tether(
        at_one_second=1100.0,
        on_time=pulled(0.0, 1100.0),
        spread=(pulled(0.0, 1001.0),),
        late=pulled(5.0, 1e4),
    )
    assert of_recovery(tethers=[one])["cord-in-time", "main cord"].verdict is NO_GO


@pytest.mark.parametrize(
    ("margin", "low", "tested", "verdict"),
    [
        (0.8, 0.01, True, GO),
        (0.8, 0.01, False, NOT_KNOWN),
        (0.8, -0.01, True, NOT_KNOWN),
        (-0.01, -0.5, True, NO_GO),
    ],
)
def test_a_lip_goes_by_a_pull_test_alone(margin: float, low: float, tested: bool, verdict: Verdict) -> None:
    one = tether(
        on_time=pulled(0.0, 700.0, margin, low),
        lip=SimpleNamespace(tested=tested),
        remedies=(
            Remedy(kind=RemedyKind.AS_BUILT, margin=0.9, peak_n=1.0),
            Remedy(kind=RemedyKind.LONGER_CORD, size=9.04, margin=0.5, peak_n=1.0),
        ),
    )
    lip = of_recovery(tethers=[one])["lip-holds", "on-time"]
    assert lip.verdict is verdict
    assert (lip.value.value, lip.value.low) == pytest.approx((1 + min(margin, 1.0), 1 + min(low, 0.5)))
    assert lip.margin == pytest.approx(low)
    fixes = {fix.key: fix.changes for fix in lip.fixes}
    assert fixes == (
        {}
        if verdict is GO
        else {
            **({} if tested else {"pull-test": {}}),
            RemedyKind.LONGER_CORD: {"recovery.cord.main cord.length": "9.0 m"},
        }
    )


def test_an_event_off_its_time_is_at_worst_a_caution_for_the_lip() -> None:
    late = of_recovery(tethers=[tether(late=pulled(5.0, 4000.0, -0.6, -0.8))])
    assert late["lip-holds", "on-time"].verdict is GO
    assert late["lip-holds", "early-or-late"].verdict is CAUTION


def test_a_lip_of_which_nothing_is_said_is_not_known() -> None:
    found = of_recovery(tethers=[tether(lip=None)])
    assert found["lip-holds", "on-time"].verdict is NOT_KNOWN
    assert found["lip-holds", "on-time"].fixes[0].key == "enter"


def test_pieces_that_fly_into_each_other_are_a_caution() -> None:
    apart = of_recovery(tethers=[tether()])["sides-keep-apart", "main cord"]
    meet = PieceMeeting(offset_s=5.0, wind="windy", time_s=2.5, closing_m_s=12.0)
    found = of_recovery(tethers=[tether(meeting=meet)])["sides-keep-apart", "windy"]
    assert (apart.verdict, found.verdict) == (GO, CAUTION)
    assert (found.value.value, found.facts["time"].value, found.facts["late"].value) == (12.0, 2.5, 5.0)


# ------------------------------------------------------------------ strength


def of_strength(*, in_step=(), fins=()) -> dict[str, Finding]:
    study = SimpleNamespace(reserves=(), fins=fins, heat=(), in_step=in_step)
    return {one.key: one for one in strength_study_findings(study, LIMITS)}


@pytest.mark.parametrize(
    ("reserve", "verdict"),
    [
        (between(1.51, 3.0), GO),
        (between(1.49, 3.0), CAUTION),
        (between(0.1, 0.2), CAUTION),
        (None, NOT_KNOWN),
    ],
)
def test_what_swings_in_step_with_a_ledge_is_at_worst_a_caution(reserve, verdict: Verdict) -> None:
    fields = {"swinger": "fin", "source": "ledge"}
    one = InStep(
        **{name: SimpleNamespace(value=value) for name, value in fields.items()},
        name="fins",
        source_m=0.3,
        height_m=0.02,
        frequency_hz=exact(81.4),
        speed=exact(40.0),
        reserve=reserve,
    )
    found = of_strength(in_step=[one])
    assert found["sheds-in-step"].verdict is verdict
    assert found["sheds-in-step"].facts["hertz"] == 81
    assert "nothing-sheds-in-step" not in found


def test_where_nothing_swings_in_step_it_says_so() -> None:
    found = of_strength()
    assert found["nothing-sheds-in-step"].verdict is GO
    assert "sheds-in-step" not in found


@pytest.mark.parametrize("reaches", [True, False])
def test_stays_that_would_help_are_told_and_whether_they_are_enough(reaches: bool) -> None:
    pair = StayPair(
        along_m=0.05,
        outward_m=0.1,
        diameter_m=0.001,
        modulus_pa=2e11,
        preload_n=60.0,
        anchor_radius_m=0.1,
        anchor_turn_rad=0.5,
    )
    after = SimpleNamespace(flutter=between(150.0, 170.0))
    proposal = StayProposal(
        pair=pair, backing_m=0.003, backing_of="ply", wanted_m_s=140.0, after=after, reaches=reaches
    )
    found = of_strength(fins=[SimpleNamespace(name="fins", proposal=proposal)])["stays-would-help"]
    assert (found.verdict, found.reasons) == (CAUTION, ("reached",))
    assert [fix.key for fix in found.fixes] == ["try" if reaches else "not-enough"]
    assert (found.facts["reached"].value, found.facts["wanted"].value) == (150.0, 140.0)


# ------------------------------------------------------- air, inside, print


def of_tunnel(beside: TunnelBeside | None) -> dict[str, Finding]:
    air = SimpleNamespace(tunnel=beside, fin_rows=(), own=(), load_stations_m=(0.0, 1.2))
    return {one.key: one for one in air_findings(air, LIMITS)}


def test_a_study_of_another_shape_or_of_too_little_is_not_known() -> None:
    assert "tunnel-study" not in of_tunnel(None)
    for state in StudyState:
        found = of_tunnel(TunnelBeside(state=state))["tunnel-study"]
        assert found.verdict is (GO if state is StudyState.HOLDS else NOT_KNOWN)
        fix = {StudyState.HOLDS: [], StudyState.OTHER_SHAPE: ["blow-again"]}.get(state, ["blow-more"])
        assert [one.key for one in found.fixes] == fix


def blown(low: float, high: float) -> SimpleNamespace:
    """Beside sections whose band reaches from 0.40 to 0.60 m."""
    band = (0.40, 0.50, 0.60)
    meets = low <= band[2] and band[0] <= high
    return SimpleNamespace(
        place=between(low, high), sections_place_m=band, meets=meets, angle_rad=0.1, roll_rad=0.2
    )


@pytest.mark.parametrize(
    ("low", "high", "apart"), [(0.45, 0.5, None), (0.30, 0.38, 0.02), (0.65, 0.70, 0.05)]
)
def test_a_study_that_lies_outside_the_band_is_a_caution(
    low: float, high: float, apart: float | None
) -> None:
    beside = TunnelBeside(state=StudyState.HOLDS, rows=(blown(low, high), blown(0.605, 0.7)))
    alone = TunnelBeside(state=StudyState.HOLDS, rows=(blown(low, high),))
    found = of_tunnel(alone)["tunnel-agrees"]
    assert found.verdict is (GO if apart is None else CAUTION)
    if apart is not None:
        assert found.facts["apart"].value == pytest.approx(apart)
        # Of several the one farthest off is told.
        worst = of_tunnel(beside)["tunnel-agrees"].facts["apart"].value
        assert worst == pytest.approx(apart)


def test_a_nut_in_print_all_round_is_asked_for_its_way_in() -> None:
    plain = nothing_inside()
    buried = BuriedNut(rods="rods", part="tower", station_m=0.4)
    object.__setattr__(plain, "buried", (buried,))
    found = {one.key: one for one in inside_findings(plain, None, LIMITS)}
    assert (found["nut-reached"].verdict, found["nut-reached"].subject) == (
        NOT_KNOWN, Subject(name="rods", station_m=0.4),
    )  # fmt: skip
    assert "nuts-reached" not in found
    free = {one.key: one for one in inside_findings(nothing_inside(), None, LIMITS)}
    assert free["nuts-reached"].verdict is GO
    assert "nut-reached" not in free


@pytest.mark.parametrize(("layer_mm", "verdict"), [(0.319, GO), (0.321, NOT_KNOWN)])
def test_layers_are_at_most_four_fifths_of_the_nozzle(layer_mm: float, verdict: Verdict) -> None:
    thin = LayersOfPart(part="dome", layer_m=0.0001, nozzle_m=0.0004)
    one = LayersOfPart(part="tower", layer_m=layer_mm / 1000, nozzle_m=0.0004)
    (found,) = layer_findings([thin, one])
    assert (found.key, found.subject.name, found.verdict) == ("layer-over-nozzle", "tower", verdict)


@pytest.mark.parametrize(
    ("wrong", "left_out", "fix"), [(3, (), None), (4, (), "turn"), (4, ("hat",), "outside")]
)
def test_four_things_at_once_in_the_wrong_place_mean_another_shape(wrong: int, left_out, fix) -> None:
    metres = Amount(value=0.1, dimension=Dimension.LENGTH)
    facts = {"other": "tower", "deep": metres, "at": metres}
    same_room = Rule(key="same-room", stage="inside")
    hits = [same_room.holds(NO_GO, cause=f"thing {index}", facts=facts) for index in range(wrong)]
    first, *rest = shape_and_things(hits, left_out, "+z")
    assert rest == hits
    assert (first.key, first.verdict) == ("shape-and-things", GO if fix is None else NO_GO)
    assert [one.key for one in first.fixes] == ([] if fix is None else [fix])


# ------------------------------------------------------------ motors, looks


def tried_in(lighthouse, most_g: float = 15.0, **instead) -> dict[str, Finding]:
    """Reasons against the lighthouse's own motor, its flight given or refused."""
    with patch("finial.findings.motor_choice.answer", **instead):
        (row,) = motor_rows(lighthouse, read_motors(MOTORS), most_g)
    return {one.key: one for one in row.reasons}


def test_a_motor_that_cannot_be_flown_at_all_says_why(lighthouse) -> None:
    found = tried_in(lighthouse, side_effect=OutsideRange("nothing flies here"))
    assert found["motor-cannot-fly"].verdict is NO_GO
    assert "nothing flies here" in found["motor-cannot-fly"].facts["error"]


def test_a_motor_file_that_cannot_be_read_says_where(lighthouse) -> None:
    fault = Fault(file="torn.toml", line=3, field="length", given="long", accepted="a length")
    torn = MotorFile(path=Path("torn.toml"), motor=None, faults=(fault,))
    (row,) = motor_rows(lighthouse, [torn])
    assert [(one.key, one.verdict) for one in row.reasons] == [("motor-unreadable", NO_GO)]
    assert row.reasons[0].facts == {"field": "length", "given": "long", "accepted": "a length"}


def test_a_motor_pushes_no_harder_than_is_asked(lighthouse, answered) -> None:
    top_g = answered.flight.max_acceleration_m_s2 / 9.80665
    for limit, keys in ((1.001 * top_g, set()), (0.999 * top_g, {"motor-acceleration"})):
        assert set(tried_in(lighthouse, limit, return_value=answered)) == keys


def test_a_look_that_could_not_be_made_is_not_known(answered) -> None:
    quick = {one.key: one for one in looked_quickly(answered, LIMITS).findings}
    with (
        patch("finial.findings.long_looks.recovery_study", side_effect=OutsideRange("cord of glass")),
        patch("finial.findings.long_looks.strength_study", side_effect=OutsideRange("wall of air")),
        patch("finial.findings.long_looks.kept", lambda _stage, _key, made: made()),
    ):
        whole = {one.key: one for one in looked_long(answered, LIMITS, (), lambda _note: None).findings}
    for key, error in (("strength-looked", "wall of air"), ("recovery-looked", "cord of glass")):
        assert (quick[key].verdict, whole[key].verdict) == (NOT_KNOWN, NOT_KNOWN)
        assert (quick[key].fixes[0].key, whole[key].fixes[0].key) == ("look", "stopped")
        assert whole[key].fixes[0].facts["error"] == error


def test_an_end_of_a_number_that_fails_is_not_known_and_none_goes(lighthouse) -> None:
    failing = Rule(key="plate-placed", stage="limits").holds(NO_GO)
    bad, *_ = end_findings(lighthouse, (), (), look=lambda _: [failing], look_long=lambda _: [])
    (good,) = end_findings(lighthouse, (), (), look=lambda _: [], look_long=lambda _: [])
    assert (bad.key, bad.verdict) == ("end-of-number", NOT_KNOWN)
    assert (good.key, good.verdict) == ("ends-of-numbers", GO)
    assert NOT_BEFORE.verdict is NOT_KNOWN
