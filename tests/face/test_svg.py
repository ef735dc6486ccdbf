"""A picture in a notebook and on the disk."""

from finial.face.svg import Svg


def test_a_notebook_is_given_the_whole_picture_and_its_name_is_short(tmp_path) -> None:
    drawn = Svg("<svg>" + "x" * 1000 + "</svg>")
    assert drawn._repr_svg_() == "<svg>" + "x" * 1000 + "</svg>"
    assert repr(drawn) == "<picture, 1011 characters of SVG>"
    assert drawn.save(tmp_path / "one.svg").read_text() == drawn
