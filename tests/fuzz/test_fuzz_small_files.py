"""Motors, curves, sites, fields, winds and tables of air with anything in them."""

import json
import shutil
from pathlib import Path

import pytest
from fuzz_trial import RUN
from hypothesis import given
from hypothesis import strategies as st
from odd_values import bitten, changed, toml_of

from finial.files.air_columns import read_air_columns
from finial.files.geojson import read_field
from finial.files.motor_data import read_motor
from finial.files.site import read_site, read_site_field
from finial.files.source import read_toml
from finial.files.thrust_curve import read_thrust_curve
from finial.files.wind_column import read_wind_column

PROJECT = Path(__file__).parents[1] / "files" / "full_sheet"
WIND = b"height (m), speed (m/s), from (deg)\n2, 3, 270\n10, 4, 275\n100, 7, 290\n"
AIR = b"mach, angle, roll, force, centre\n0.1, 0, 0, 0.0, 0.5\n0.1, 5, 0, 0.4, 0.5\n"
FIELD = {
    "type": "Feature",
    "geometry": {
        "type": "Polygon",
        "coordinates": [[[0, 50], [0.01, 50], [0.01, 50.01], [0, 50.01], [0, 50]]],
    },
}


@pytest.fixture
def folder(tmp_path):
    return Path(shutil.copytree(PROJECT, tmp_path / "project"))


@pytest.mark.parametrize("name", ["motors/demo-k500.toml", "site.toml"])
@RUN
@given(data=st.data())
def test_motor_and_site_files(trial, folder, name, data):
    def read(path):
        return read_motor(path, folder) if name.startswith("motors") else read_site_field(path, folder)

    source = read_toml(PROJECT / name)
    path = folder / name
    if data.draw(st.booleans()):
        path.write_text(toml_of(data.draw(changed(source.values))), encoding="utf-8")
    else:
        path.write_bytes(data.draw(bitten(source.text.encode())))
    trial.call(read, path)
    trial.call(read_site, path)


@pytest.mark.parametrize("kind", ["curve", "wind", "air"])
@RUN
@given(data=st.data())
def test_columns(trial, tmp_path, kind, data):
    curve = (PROJECT / "motors" / "demo-k500.csv").read_bytes()
    whole, read = {
        "curve": (curve, read_thrust_curve),
        "wind": (WIND, read_wind_column),
        "air": (AIR, read_air_columns),
    }[kind]
    path = tmp_path / "a.csv"
    if data.draw(st.booleans()):
        path.write_bytes(data.draw(bitten(whole)))
    else:
        path.write_text(data.draw(st.text(max_size=200)), encoding="utf-8", errors="replace")
    trial.call(read, path)


@RUN
@given(data=st.data())
def test_fields(trial, tmp_path, data):
    path = tmp_path / "a.geojson"
    text = json.dumps(data.draw(changed(FIELD)))
    path.write_bytes(data.draw(bitten(text.encode())) if data.draw(st.booleans()) else text.encode())
    trial.call(read_field, path)
