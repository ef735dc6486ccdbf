"""Hashes of content: what came later leaves older hashes alone until it is asked for."""

from dataclasses import field, make_dataclass

from finial.core.content import LATER, content_hash

BEFORE = make_dataclass("Asked", [("cells", float)], frozen=True)
AFTER = make_dataclass(
    "Asked", [("cells", float), ("model", str, field(default="old", metadata=LATER))], frozen=True
)


def test_a_field_that_came_later_counts_from_the_day_that_it_is_used():
    old = content_hash(BEFORE(8.0))
    assert content_hash(AFTER(8.0)) == old
    assert content_hash(AFTER(8.0, "new")) != old
    assert content_hash(AFTER(8.0, "new")) != content_hash(AFTER(8.0, "newer"))
    assert content_hash(AFTER(9.0)) != old


def test_any_other_field_counts_at_its_default_too():
    usual = make_dataclass("Asked", [("cells", float), ("model", str, field(default="old"))], frozen=True)
    assert content_hash(usual(8.0)) != content_hash(BEFORE(8.0))
