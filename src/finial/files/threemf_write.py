"""3MF written: several objects in one archive, in millimetres, each in its place.

Elements are those of the 3MF core specification 1.3, from memory; what is written is read back by
:mod:`finial.files.threemf` in the tests, and by a library of others.
"""

import io
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import quoteattr

import numpy as np
from numpy.typing import NDArray

_CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
_TYPES = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>'
    "</Types>\n"
)
_RELATIONS = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    '<Relationship Target="/3D/3dmodel.model" Id="rel0" '
    'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>'
    "</Relationships>\n"
)
# A fixed time: the same objects make the same file.
_WHEN = (1980, 1, 1, 0, 0, 0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Object3mf:
    """One object of the archive."""

    name: str
    vertices_mm: NDArray[np.float64]
    faces: NDArray[np.int64]
    at_mm: tuple[float, float, float] = (0.0, 0.0, 0.0)
    """Where the build puts its origin."""


def threemf_bytes(objects: Sequence[Object3mf], title: str) -> bytes:
    """Write objects as one 3MF archive in millimetres.

    Examples
    --------
    >>> from finial.files.threemf import read_3mf
    >>> corner = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    >>> faces = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]])
    >>> archive = threemf_bytes([Object3mf(name="corner", vertices_mm=corner, faces=faces)], "one corner")
    >>> vertices_m, again, placed = read_3mf(archive)
    >>> bool((1e3 * vertices_m == corner).all()), len(again), placed
    (True, 4, 1)
    """
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in (
            ("[Content_Types].xml", _TYPES),
            ("_rels/.rels", _RELATIONS),
            ("3D/3dmodel.model", "".join(_model(objects, title))),
        ):
            entry = zipfile.ZipInfo(name, date_time=_WHEN)
            entry.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(entry, text)
    return out.getvalue()


def _model(objects: Sequence[Object3mf], title: str) -> Iterator[str]:
    yield f'<?xml version="1.0" encoding="UTF-8"?>\n<model unit="millimeter" xml:lang="en" xmlns="{_CORE}">\n'
    yield f'<metadata name="Title">{_text(title)}</metadata>\n<resources>\n'
    for number, one in enumerate(objects, start=1):
        yield f'<object id="{number}" type="model" name={quoteattr(one.name)}><mesh>\n<vertices>\n'
        yield from (f'<vertex x="{x!r}" y="{y!r}" z="{z!r}"/>\n' for x, y, z in one.vertices_mm.tolist())
        yield "</vertices>\n<triangles>\n"
        yield from (f'<triangle v1="{a}" v2="{b}" v3="{c}"/>\n' for a, b, c in one.faces.tolist())
        yield "</triangles>\n</mesh></object>\n"
    yield "</resources>\n<build>\n"
    for number, one in enumerate(objects, start=1):
        place = " ".join(repr(float(side)) for side in one.at_mm)
        yield f'<item objectid="{number}" transform="1 0 0 0 1 0 0 0 1 {place}"/>\n'
    yield "</build>\n</model>\n"


def _text(words: str) -> str:
    return quoteattr(words)[1:-1]
