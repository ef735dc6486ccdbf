"""Answers at the edge: no fins, no wind, no recovery, a flight that stopped, two towers side by side."""

import math
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest
from told import report_text

from finial.core.estimates import Estimate, KnownBy
from finial.findings.finding import Verdict
from finial.report.album import pictures
from finial.report.json_records import to_json
from finial.report.pdf import pdf_bytes
from finial.report.pictures.silhouette import side_outline
from finial.shape.skin import Section, Skin


def without_fins(readiness):
    air = replace(readiness.air, fin_rows=())
    return replace(readiness, shape=replace(readiness.shape, fins=()), air=air)


def in_still_air(readiness):
    still = Estimate(value=0.0, low=0.0, high=0.0, known_by=KnownBy.COMPUTED)
    trace = readiness.flight.trace
    straight = trace.positions_m * [0.0, 0.0, 1.0]
    flight = replace(
        readiness.flight,
        trace=replace(trace, positions_m=straight),
        landing_east_m=0.0,
        landing_north_m=0.0,
        drift=still,
    )
    return replace(
        readiness, flight=flight, range_safety=replace(readiness.range_safety, minimum_distance_m=0.0)
    )


def without_recovery(readiness):
    recovery = replace(
        readiness.recovery, canopies=(), charges=(), cords=(), landing_speed=None, landing_energy=None
    )
    electronics = replace(readiness.electronics, paths=(), pad_times=(), single_points=())
    return replace(readiness, recovery=recovery, electronics=electronics)


def stopped_on_the_rail(readiness):
    trace = readiness.flight.trace
    short = replace(
        trace,
        **{
            name: getattr(trace, name)[:1]
            for name in trace.__dataclass_fields__
            if isinstance(getattr(trace, name), np.ndarray)
        },
        events=(),
        ended="thrust never exceeds weight",
    )
    return replace(readiness, flight=replace(readiness.flight, trace=short))


def with_nothing_checked(readiness):
    return replace(
        readiness,
        findings=(),
        guesses=(),
        verdict=Verdict.NOT_KNOWN,
        stability=(),
        strength=replace(readiness.strength, cases=(), reserves=()),
    )


def hopelessly_unstable(readiness):
    shift = {
        name: getattr(readiness.air, name) - 3.0
        for name in ("pressure_central_m", "pressure_forward_m", "pressure_aft_m")
    }
    points = tuple(
        replace(
            point,
            pressure=replace(point.pressure, value=-2.0, low=-2.5, high=-1.5),
            margin=replace(point.margin, value=-2.5, low=-3.0, high=-2.0),
            bare_margin=replace(point.bare_margin, value=9.0, low=-9.0, high=19.0),
        )
        for point in readiness.stability
    )
    return replace(readiness, air=replace(readiness.air, **shift), stability=points)


ODD = [
    without_fins,
    in_still_air,
    without_recovery,
    stopped_on_the_rail,
    with_nothing_checked,
    hopelessly_unstable,
]


@pytest.mark.parametrize("odd", ODD, ids=lambda odd: odd.__name__)
def test_every_form_of_the_answer_is_written(readiness, odd):
    answer = odd(readiness)
    assert report_text(answer).startswith(("No-go", "Not known"))
    assert to_json(answer).startswith("{")
    assert pdf_bytes(answer).startswith(b"%PDF")
    for svg in pictures(answer).values():
        for node in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}rect"):
            assert float(node.get("width")) >= 0.0


def test_a_stopped_flight_says_why(readiness):
    assert "The computed flight stopped early: thrust never exceeds weight." in " ".join(
        report_text(stopped_on_the_rail(readiness)).split()
    )


def test_nothing_checked_is_not_known(readiness):
    assert "not known never counts as go" in " ".join(report_text(with_nothing_checked(readiness)).split())


def test_no_fins_is_said_loudly(readiness):
    assert "  fins                          none\n" in report_text(without_fins(readiness))


@pytest.mark.parametrize("factor", [0.2, 5.0])
def test_pictures_fit_the_paper_whatever_the_size(readiness, factor):
    skin = readiness.shape.skin
    sections = tuple(
        replace(
            one,
            station_m=factor * one.station_m,
            loops=tuple(factor * loop for loop in one.loops),
            area_m2=factor**2 * one.area_m2,
        )
        for one in skin.sections
    )
    shape = replace(readiness.shape, skin=replace(skin, sections=sections, length_m=factor), fins=())
    for svg in pictures(replace(readiness, shape=shape)).values():
        root = ElementTree.fromstring(svg)
        assert 80.0 <= float(root.get("viewBox").split()[2]) <= 170.0
        assert float(root.get("viewBox").split()[3]) < 240.0


def test_two_towers_show_their_outer_edges():
    def square(middle):
        return np.array(
            [[middle - 0.1, -0.1], [middle + 0.1, -0.1], [middle + 0.1, 0.1], [middle - 0.1, 0.1]]
        )

    cuts = tuple(
        Section(
            station_m=station,
            loops=(square(-0.3), square(0.3)),
            area_m2=0.08,
            perimeter_m=1.6,
            centroid_m=(0.0, 0.0),
        )
        for station in (0.0, 1.0)
    )
    outline = side_outline(Skin(sections=cuts, length_m=1.0, volume_m3=0.08, wetted_area_m2=1.6))
    assert sorted(y for _, y in outline) == pytest.approx([-0.4, -0.4, 0.4, 0.4])
    assert math.isclose(max(station for station, _ in outline), 1.0)
