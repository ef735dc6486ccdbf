"""The schema of the answer: takes what is written, and refuses what is not meant."""

import copy
import json

import jsonschema
import pytest

from finial.report.answer_schema import answer_schema
from finial.report.json_records import to_json


@pytest.fixture(scope="module")
def schema() -> dict:
    return answer_schema()


@pytest.fixture(scope="module")
def written(readiness) -> dict:
    return json.loads(to_json(readiness, full=True))


def refused(schema: dict, answer: dict) -> str:
    with pytest.raises(jsonschema.ValidationError) as caught:
        jsonschema.validate(answer, schema)
    return ".".join(str(part) for part in caught.value.absolute_path)


def test_an_answer_is_as_the_schema_says_whole_or_short(schema, written, readiness) -> None:
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(written, schema)
    jsonschema.validate(json.loads(to_json(readiness)), schema)


@pytest.mark.parametrize("name", ["schema_version", "answer", "caution", "findings", "verdict", "mass"])
def test_nothing_of_the_opening_or_the_stages_may_be_missing(schema, written, name) -> None:
    less = {key: value for key, value in written.items() if key != name}
    assert refused(schema, less) == ""


@pytest.mark.parametrize(
    ("place", "value"),
    [
        (("verdict",), "maybe"),
        (("depth",), 1),
        (("us_units",), "no"),
        (("mass", "rows", 0, "mass", "known_by"), "guessed"),
        (("mass", "rows", 0, "mass", "value"), "five"),
        (("findings", 0, "verdict"), "perhaps"),
        (("findings", 0, "words", "title"), None),
        (("findings", 0, "bound", "sense"), "about"),
        (("schema_version",), 0),
    ],
)
def test_a_word_or_number_of_another_kind_is_refused_where_it_stands(schema, written, place, value) -> None:
    changed = copy.deepcopy(written)
    inner = changed
    for part in place[:-1]:
        inner = inner[part]
    assert place[-1] in inner
    inner[place[-1]] = value
    told = refused(schema, changed)
    assert told
    assert ".".join(map(str, place)).startswith(told)


def test_a_finding_has_its_words_and_a_row_nothing_beside(schema, written) -> None:
    more = copy.deepcopy(written)
    more["mass"]["rows"][0]["colour"] = "red"
    assert refused(schema, more) == "mass.rows.0"
    less = copy.deepcopy(written)
    del less["findings"][0]["words"]
    assert refused(schema, less) == "findings.0"
    bare = copy.deepcopy(written)
    del bare["findings"][0]["words"]["change"]
    assert refused(schema, bare) == "findings.0.words"


def test_meshes_are_not_part_of_it_and_every_reference_leads_somewhere(schema) -> None:
    text = json.dumps(schema)
    assert "display_mesh" not in text
    names = {part.split('"')[0] for part in text.split("#/$defs/")[1:]}
    assert names == set(schema["$defs"])
    assert list(schema["$defs"]) == sorted(schema["$defs"])
    assert all(schema["$defs"][name]["description"] for name in names)


def test_words_that_may_stand_somewhere_are_listed_and_pairs_are_pairs(schema) -> None:
    kinds = schema["$defs"]
    assert kinds["StayPair"]["properties"]["to"] == {"enum": ["body", "next fin"]}
    assert kinds["FinSet"]["properties"]["offset_m"] == {
        "type": "array",
        "prefixItems": [{"type": ["number", "null"]}] * 2,
    }
    assert schema["properties"]["depth"]["enum"] == ["quick", "whole"]
    assert {"type": "null"} in schema["properties"]["strength_study"]["anyOf"]
