"""What a script uses: load, change by the sheet's names, ask, and get short, whole and drawn answers."""

import json
import shutil
from pathlib import Path
from xml.etree import ElementTree

import jsonschema
import pytest

import finial
from finial.core.errors import BuildSheetError, MissingData
from finial.report.answer_schema import answer_schema

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
SKERRY = EXAMPLES / "skerry-light" / "skerry-light.toml"


@pytest.fixture(scope="module")
def light() -> finial.Vehicle:
    return finial.load(str(SKERRY))


def test_a_changed_vehicle_is_another_one_and_the_first_stays(light) -> None:
    lighter = light.with_(**{"steel ballast.mass": "1.4 kg"})
    before, after = (one.check(quick=True).readiness.mass.lift_off.mass_kg for one in (light, lighter))
    item = next(one for one in light.loaded.sheet.item if one.name == "steel ballast")
    assert before - after == pytest.approx(item.mass.value - 1.4)
    assert light.changes == {}
    assert "1 values changed" in repr(lighter)


def test_changes_add_up_and_the_last_one_counts(light) -> None:
    twice = light.with_(wind="2 m/s").with_(**{"launch.rail_length": "5 m", "wind": "1 m/s"})
    launch = twice.loaded.sheet.launch
    assert (launch.wind.value, launch.rail_length.value) == (1.0, 5.0)


def test_a_name_that_is_not_there_gets_the_nearest(light) -> None:
    with pytest.raises(MissingData, match=r"no place called 'windd'; did you mean 'wind'"):
        light.with_(windd="8 m/s")
    with pytest.raises(MissingData, match=r"no place called 'steel ballast\.weight'"):
        light.with_(**{"steel ballast.weight": "1 kg"})


def test_a_value_is_refused_as_the_sheet_would_refuse_it(light) -> None:
    with pytest.raises(BuildSheetError, match=r"skerry-light\.toml:\d+: launch\.wind"):
        light.with_(wind="8 apples")
    with pytest.raises(BuildSheetError, match="no distances for code"):
        light.with_(**{"launch.code": "no such code"})


def test_a_shape_that_changes_is_sliced_again() -> None:
    buoy = finial.load(EXAMPLES / "buoy-tiers" / "buoy-tiers.toml")
    part = buoy.loaded.sheet.part[0].name
    assert buoy.with_(**{f"{part}.weighed": "2 kg"}).loaded.skin is buoy.loaded.skin
    # Tiers stand upright whichever way meshes were drawn.
    assert buoy.with_(**{"vehicle.up": "+x"}).loaded.skin is buoy.loaded.skin
    lower = buoy.with_(**{"daymark tower.tip_station": "172 mm"})
    assert lower.loaded.skin is not buoy.loaded.skin
    assert lower.loaded.skin.volume_m3 != pytest.approx(buoy.loaded.skin.volume_m3, rel=1e-6)


def test_saving_writes_what_was_changed_and_keeps_comments(tmp_path) -> None:
    shutil.copytree(SKERRY.parent, tmp_path / "light")
    sheet = tmp_path / "light" / SKERRY.name
    before = sheet.read_text(encoding="utf-8")
    finial.load(sheet).with_(wind="5 m/s +- 1 m/s").save()
    after = sheet.read_text(encoding="utf-8")
    changed = [
        pair for pair in zip(before.splitlines(), after.splitlines(), strict=True) if pair[0] != pair[1]
    ]
    assert len(changed) == 1
    assert 'wind = "5 m/s +- 1 m/s"' in changed[0][1]


def test_answers_are_short_to_print(light) -> None:
    assert repr(light.fly()).startswith("<flight of Skerry Light: apogee ")
    assert repr(light.air()).startswith("<air of Skerry Light: margin ")
    quick = light.check(quick=True)
    assert repr(quick).startswith("Not known:")
    assert quick.verdict.words == "not known"


def test_pictures_are_svg_that_a_notebook_draws(light, tmp_path) -> None:
    for picture in (
        light.air().plot_margin(),
        light.fly().plot_height(),
        light.check(quick=True).plot_side_view(),
        light.check(quick=True).plot_firing_paths(),
        light.check(quick=True).plot_inside(),
        light.check(quick=True).plot_inside(roll_deg=45.0),
    ):
        ElementTree.fromstring(picture)
        assert picture._repr_svg_() == picture
        assert "characters of SVG" in repr(picture)
    saved = light.fly().plot_drift().save(tmp_path / "drift.svg")
    assert saved.read_text(encoding="utf-8").startswith("<svg")


def test_rows_are_tables(light) -> None:
    flight = light.fly().to_dataframe()
    assert flight["height_agl_m"].max() == pytest.approx(
        light.fly().readiness.flight.apogee_agl.value, rel=1e-3
    )
    drag = light.air().to_dataframe()
    assert (drag["low"] <= drag["coefficient"]).all()
    findings = light.check(quick=True).to_dataframe()
    assert findings["verdict"].iloc[0] == "not known"


def test_many_flights_in_memory_are_those_of_their_seed(light) -> None:
    first, again = (light.campaign(flights=12, seed=3) for _ in range(2))
    assert (first.flown.results["apogee_m"] == again.flown.results["apogee_m"]).all()
    assert first.to_dict()["flights"] == 12
    assert "Skerry Light" in repr(first)


def test_the_json_of_every_depth_is_what_its_schema_says(light) -> None:
    schema = answer_schema()
    for full in (False, True):
        told = json.loads(json.dumps(light.check(quick=True).to_dict(full=full), allow_nan=False))
        jsonschema.validate(told, schema)
    broken = light.check(quick=True).to_dict()
    del broken["findings"][0]["key"]
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(broken, schema)


def test_the_committed_schema_is_the_records_own() -> None:
    page = EXAMPLES.parent / "docs" / "answer.schema.json"
    told = "run: python docs/make_answer_schema.py"
    assert json.loads(page.read_text(encoding="utf-8")) == answer_schema(), told
