"""What the page may be asked, by anyone who reaches the port."""

import json

from fuzz_trial import RUN
from hypothesis import given
from hypothesis import strategies as st
from odd_values import bitten, changed

from finial.web.controls import BallastControl
from finial.web.question import read_question

BALLAST = (
    BallastControl(
        name="nose ballast",
        mass_kg=1.5,
        min_kg=0.0,
        max_kg=3.0,
        step_kg=0.01,
        unit="g",
        unit_kg=1e-3,
        decimals=0,
    ),
)
ASKED = {"ballast": {"nose ballast": 1.25}, "fin_span_scale": 1.1}
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=20), inner, max_size=4),
    max_leaves=12,
)


def asked_for(body: bytes) -> None:
    found = read_question(body, BALLAST, has_fins=True)
    assert set(found.ballast_kg) <= {"nose ballast"}
    assert all(0.0 <= mass <= 3.0 for mass in found.ballast_kg.values())
    assert 0.1 < found.fin_span_scale < 10.0


@RUN
@given(data=st.data())
def test_questions(trial, data):
    match data.draw(st.sampled_from(["bytes", "json", "changed"])):
        case "bytes":
            body = data.draw(bitten(json.dumps(ASKED).encode()) | st.binary(max_size=200))
        case "json":
            body = json.dumps(data.draw(JSON)).encode()
        case _:
            body = json.dumps(data.draw(changed(ASKED))).encode()
    trial.call(asked_for, body)
