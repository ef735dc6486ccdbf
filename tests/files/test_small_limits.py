"""Limits of keys and of files that no sheet of the tests stands at."""

import zipfile
from io import BytesIO
from typing import get_type_hints

import numpy as np
import pytest
from pydantic import TypeAdapter, ValidationError

from finial.files.sheet_day import LaunchEntry
from finial.files.threemf_write import Object3mf, threemf_bytes


def test_from_one_to_a_hundred_rockets_leave_at_once() -> None:
    field = TypeAdapter(get_type_hints(LaunchEntry, include_extras=True)["at_once"])
    assert LaunchEntry.model_fields["at_once"].default == 1
    assert [field.validate_python(count) for count in (1, 100)] == [1, 100]
    for count in (0, 101):
        with pytest.raises(ValidationError):
            field.validate_python(count)


def test_a_3mf_tells_its_title_whole_and_where_each_object_stands() -> None:
    corner = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    faces = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]])
    two = [
        Object3mf(name=name, vertices_mm=corner, faces=faces, at_mm=at)
        for name, at in (("a", (0.0, 0.0, 0.0)), ("b", (12.5, -3.0, 0.5)))
    ]
    with zipfile.ZipFile(BytesIO(threemf_bytes(two, "hull & fins"))) as archive:
        model = archive.read("3D/3dmodel.model").decode()
        assert {one.date_time for one in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    assert '<metadata name="Title">hull &amp; fins</metadata>' in model
    assert [f'<object id="{number}" ' in model for number in (0, 1, 2, 3)] == [False, True, True, False]
    assert '<item objectid="2" transform="1 0 0 0 1 0 0 0 1 12.5 -3.0 0.5"/>' in model
