"""JSON: every record, SI, keys that name the unit, no NaN."""

import json
import math
from dataclasses import fields, replace

import numpy as np
import pytest

from finial.core.errors import MissingData
from finial.core.estimates import Estimate
from finial.findings.readiness import Readiness
from finial.report.json_records import SCHEMA_VERSION, to_json, to_plain
from finial.report.trace_csv import trace_csv


def refuse(constant):
    raise AssertionError(f"JSON has no {constant}")


def test_round_trip_through_text(readiness):
    plain = to_plain(readiness)
    assert json.loads(to_json(readiness), parse_constant=refuse) == plain
    assert plain["schema_version"] == SCHEMA_VERSION


def test_every_field_of_the_answer_is_there_in_the_records_order(readiness):
    names = [field.name for field in fields(Readiness)]
    told = [key for key in to_plain(readiness) if key in names]
    assert told == [name for name in names if name != "findings"] + ["findings"]


def test_an_estimate_keeps_interval_and_pedigree(readiness):
    speed = to_plain(readiness)["flight"]["rail"]["speed"]
    assert list(speed) == [field.name for field in fields(Estimate)]
    assert (speed["value"], speed["low"], speed["high"]) == (16.0, 14.9, 17.1)
    assert speed["known_by"] == "computed"


def test_findings_say_verdict_and_dimension_in_words(readiness):
    first = to_plain(readiness)["findings"][0]
    assert (first["verdict"], first["dimension"], first["safety"]) == ("no-go", "length", True)
    assert first["margin"] == pytest.approx((0.046 - 0.19) / 0.19, rel=1e-2)


def test_arrays_become_lists_of_the_same_numbers(readiness):
    air = to_plain(readiness)["air"]
    assert np.array(air["pressure_central_m"]) == pytest.approx(readiness.air.pressure_central_m, abs=0)


def test_numbers_that_are_not_finite_become_null(readiness):
    broken = replace(readiness.flight, max_mach=math.nan, max_dynamic_pressure_pa=math.inf)
    plain = json.loads(to_json(replace(readiness, flight=broken)), parse_constant=refuse)
    assert plain["flight"]["max_mach"] is None
    assert plain["flight"]["max_dynamic_pressure_pa"] is None


def test_a_record_without_json_form_is_refused(readiness):
    odd = replace(readiness, note={1, 2})
    with pytest.raises(TypeError, match="holds a set"):
        to_plain(odd)


def test_a_finding_carries_its_key_its_limit_and_its_words(readiness):
    first = to_plain(readiness)["findings"][0]
    assert (first["key"], first["subject"]["case"]) == ("margin", "rail exit")
    assert first["bound"] == {
        "sense": "at least",
        "value": 0.19,
        "source": "common practice: one width",
        "key": "",
    }
    assert first["words"]["limit"] == "at least 190 mm"
    assert first["fixes"][0]["facts"]["short"] == {"value": 0.16, "dimension": "length"}
    us = to_plain(replace(readiness, us_units=True))["findings"][0]
    assert us["words"]["limit"] == "at least 7.48 in"
    assert us["bound"] == first["bound"]


def test_meshes_stay_out_and_long_tables_come_when_asked(readiness):
    for full in (False, True):
        assert "display_mesh" not in to_plain(readiness, full=full)["shape"]
    assert "table" not in to_plain(readiness)["air"]
    assert "table" in to_plain(readiness, full=True)["air"]


def test_a_view_is_a_part_of_the_same_answer(readiness):
    whole, part = to_plain(readiness), to_plain(readiness, view="strength")
    assert all(whole[key] == value for key, value in part.items())
    assert "air" not in part
    with pytest.raises(MissingData, match="there are inside, air, flight, strength, recovery"):
        to_plain(readiness, view="weather")


def test_one_flight_alone(readiness):
    flight = json.loads(to_json(readiness, view="flight", full=True), parse_constant=refuse)
    assert flight["flight"]["trace"]["ended"] == "ground"
    assert flight["flight"]["impulse_n_s"] == 1340.0


def test_trace_as_csv_reads_back_exactly(readiness):
    trace = readiness.flight.trace
    head, *rows = trace_csv(trace).splitlines()
    names = head.split(",")
    table = np.array([[float(cell) for cell in row.split(",")] for row in rows])
    assert table.shape == (len(trace.times_s), len(names))
    assert (table[:, names.index("time_s")] == trace.times_s).all()
    assert (table[:, names.index("height_agl_m")] == trace.positions_m[:, 2]).all()
    assert (table[:, names.index("velocity_up_m_s")] == trace.velocities_m_s[:, 2]).all()
    assert (table[:, names.index("felt_x_m_s2")] == trace.accelerations_m_s2[:, 0]).all()
