"""Parts of the page without a page: marks of photos by their places, codes, campaigns newest first."""

import os
from types import SimpleNamespace

from finial.core.errors import MissingData
from finial.web.drafts.photos import photos_draft
from finial.web.landings import LandingAnswers
from finial.web.phone_guard import DIGITS, TRIES, Codes

PHOTO = {
    "size": [400, 300],
    "corners": [[10, 20], [30, 20], [30, 5], [10, 5]],
    "known": {"ends": [[1, 2], [3, 4]]},
    "wanted": [{"ends": [[5, 6], [7, 8]]}, {"name": "gable", "ends": [[5, 6], "lost"]}],
    "storeys": [{"corners": [[1, 1], [2, 1], [2, 0], [1, 0]]}],
    "straight": [[[1, 1], [2, 2], [3, 3]]],
}


def lines_of(*photos, tmp_path):
    seen = photos_draft(tmp_path / "marks.toml").seen(SimpleNamespace(values={"photo": list(photos)}))
    return seen["photos"]


def test_every_mark_has_its_place_in_the_file_and_says_what_it_is(tmp_path) -> None:
    first, second = lines_of({}, PHOTO, tmp_path=tmp_path)
    assert (first["name"], first["size"]) == ("photo 1", None)
    assert (second["name"], tuple(second["size"])) == ("photo 2", (400, 300))
    told = {line["place"]: line for line in second["lines"]}
    assert [(place, line["kind"], line["name"], len(line["marks"])) for place, line in told.items()] == [
        ("photo[2].corners", "corners", "the rectangle", 4),
        ("photo[2].known.ends", "known", "the known length", 2),
        ("photo[2].wanted[1].ends", "wanted", "length 1", 2),
        ("photo[2].wanted[2].ends", "wanted", "gable", 1),
        ("photo[2].storeys[1].corners", "storey", "storey 1", 4),
        ("photo[2].straight[1]", "straight", "straight edge 1", 3),
    ]
    corners, known = told["photo[2].corners"]["marks"], told["photo[2].known.ends"]["marks"]
    assert (corners[3]["place"], corners[3]["says"]) == ("photo[2].corners[4]", "upper left corner")
    assert tuple(corners[3]["at"]) == (10, 5)
    assert (known[1]["place"], known[1]["says"]) == ("photo[2].known.ends[2]", "the known length, mark 2")
    storey = told["photo[2].storeys[1].corners"]["marks"][0]
    assert storey["says"] == "storey 1, lower left corner"


def test_a_code_opens_once_and_a_wrong_one_gives_an_empty_secret() -> None:
    said = []
    codes = Codes(said.append)
    first = said[-1].split()[-1]
    assert len(first) == DIGITS
    secret = codes.opened_by(f" {first} ")
    assert codes.knows(secret)
    assert not codes.knows(f"{secret}x")
    assert len(said) == 2
    wrong = "0" * (DIGITS + 1)
    assert [codes.opened_by(wrong) for _ in range(TRIES - 1)] == [""] * (TRIES - 1)
    assert len(said) == 2
    assert codes.opened_by(wrong) == ""
    assert len(said) == 3
    # Shut: not even the right one opens it, and it is said once.
    assert codes.opened_by(said[1].split()[-1]) == ""
    assert len(said) == 3


def test_the_newest_campaign_is_asked_first_and_asked_once_until_a_folder_changes(tmp_path) -> None:
    asked = []

    def landings(folders):
        asked.append([one.name for one in folders])
        raise MissingData("none of this sheet")

    folders = [tmp_path / name for name in ("old", "new", "middle")]
    for folder, second in zip(folders, (10, 30, 20), strict=True):
        folder.mkdir()
        os.utime(folder, (second, second))
    page = SimpleNamespace(session=SimpleNamespace(landings=landings))
    answers = LandingAnswers(page, tmp_path / "no sheet.toml", lambda: (*folders, tmp_path / "gone"))
    assert answers.landed(False) is answers.landed(False)
    assert asked == [["new", "middle", "old"]]
    os.utime(folders[0], (40, 40))
    answers.landed(False)
    assert asked[1:] == [["old", "new", "middle"]]
