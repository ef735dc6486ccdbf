"""A campaign's folder as a dataset of many partitions, asked in place by readers that do not know Finial."""

import duckdb
import numpy as np
import pyarrow.dataset as dataset
import pyarrow.parquet as parquet
import pytest

from finial.campaign.chunks import ASIDE, covered, keep
from finial.flight.many import RESULTS, ManyFlights

PARTITIONS, EACH = 120, 5


@pytest.fixture(scope="module")
def flown():
    generator = np.random.default_rng(6)
    count = PARTITIONS * EACH
    return generator.normal(size=(count, len(RESULTS))), generator.random((count, 3))


@pytest.fixture(scope="module")
def folder(tmp_path_factory, flown):
    """Partitions written in an order of chance, as workers end, beside what a kill and a bad disk left."""
    folder = tmp_path_factory.mktemp("dataset")
    results, drawn = flown
    for first in EACH * np.random.default_rng(7).permutation(PARTITIONS):
        rows = slice(first, first + EACH)
        keep(folder, ManyFlights(first=int(first), results=results[rows], drawn=drawn[rows]))
    whole = next(folder.glob("flights-000000000-*"))
    (folder / f".{whole.name}-k1.tmp").write_bytes(whole.read_bytes()[:100])
    (folder / f"{whole.name}{ASIDE}").write_bytes(b"PAR1")
    return folder


def _asked(folder, what):
    return duckdb.sql(what.format(rows=f"read_parquet('{folder}/flights-*.parquet')")).fetchall()


def test_every_flight_stands_in_one_partition(folder):
    assert covered(folder) == [(first, first + EACH) for first in range(0, PARTITIONS * EACH, EACH)]
    told = _asked(folder, "select count(*), count(distinct flight), min(flight), max(flight) from {rows}")
    assert told == [(PARTITIONS * EACH, PARTITIONS * EACH, 0, PARTITIONS * EACH - 1)]


def test_what_is_asked_in_place_is_what_was_flown(folder, flown):
    results, drawn = flown
    east = results[:, RESULTS.index("landing_east_m")]
    (count, mean) = _asked(folder, "select count(*), avg(draw_001) from {rows} where landing_east_m > 0.5")[0]
    assert count == np.count_nonzero(east > 0.5)
    assert mean == pytest.approx(drawn[east > 0.5, 1].mean(), rel=1e-12)
    top = _asked(folder, "select flight from {rows} order by apogee_m desc limit 3")
    assert [one for (one,) in top] == np.argsort(-results[:, RESULTS.index("apogee_m")])[:3].tolist()


def test_a_range_of_flights_leaves_the_other_partitions_unread(folder):
    """Each file says in its foot which flights it holds: a reader of Parquet passes over all others."""
    table = dataset.dataset([str(path) for path in folder.glob("flights-*.parquet")], format="parquet")
    asked = (dataset.field("flight") >= 100) & (dataset.field("flight") < 112)
    read = list(table.get_fragments(filter=asked))
    assert len(read) == PARTITIONS
    rows = [group for one in read for group in one.split_by_row_group(asked)]
    assert len(rows) == 3
    assert table.to_table(columns=["flight"], filter=asked).num_rows == 12


def test_all_partitions_have_the_same_columns(folder):
    schemas = {str(parquet.read_schema(path)) for path in folder.glob("flights-*.parquet")}
    assert len(schemas) == 1
    assert parquet.read_schema(next(folder.glob("flights-*.parquet"))).names == [
        *("flight", *RESULTS),
        *("draw_000", "draw_001", "draw_002"),
    ]
