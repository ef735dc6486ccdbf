"""The kinds of long job there are, in the order the page offers them."""

from collections.abc import Callable
from dataclasses import dataclass

from finial.web.jobs import finds
from finial.web.jobs.records import JobKind, Outcome, Setting

LOOK, CAMPAIGN = "look", "campaign"


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A kind of job, and what does it."""

    kind: JobKind
    run: Callable[[finds.Work], Outcome]


_SEED = Setting(key="seed", label="seed", start=1, low=0, high=1_000_000)


def _flights(start: int, low: int, high: int) -> Setting:
    return Setting(key="flights", label="flights", said="{value} flight{s}", start=start, low=low, high=high)


_ENTRIES = (
    Entry(
        kind=JobKind(
            key=LOOK,
            title="The whole look",
            says=(
                "Strength in every case, fins in the wind, charges, canopies and cords in time, with what was"
                " typed here. The sliders ask a quicker look, which never says go. Some seconds."
            ),
        ),
        run=finds.look,
    ),
    Entry(
        kind=JobKind(
            key=CAMPAIGN,
            title="Campaign",
            says=(
                "Many flights, everything uncertain drawn anew for each: odds, scatter, where it lands, what"
                " decides. Some thousand flights a minute; the first time half a minute to compile. Odds too"
                " small to count take up to 20,000 flights more for each thing that is feared."
            ),
            settings=(
                _flights(2000, 100, 1_000_000),
                _SEED,
                Setting(
                    key="rare",
                    label="odds",
                    start=0,
                    low=0,
                    high=1,
                    choices=("as counted", "too small to count as well"),
                ),
            ),
        ),
        run=finds.campaign,
    ),
    Entry(
        kind=JobKind(
            key="field",
            title="Map of the day",
            says=(
                "Flies with every canopy and with none: where it comes down, what lies there, which lean of"
                " the rail clears most, up to which wind it goes. A minute or two."
            ),
            settings=(
                _flights(500, 50, 20_000),
                _SEED,
            ),
        ),
        run=finds.field,
    ),
    Entry(
        kind=JobKind(
            key="mend",
            title="What mends it",
            says=(
                "Searches for the smallest set of changes that mends what fails, tried by the whole look."
                " Some minutes; what must be entered or tested it cannot mend."
            ),
        ),
        run=finds.mend,
    ),
    Entry(
        kind=JobKind(
            key="trade",
            title="Fins against ballast",
            says=(
                "Gives every fin span, place and count the ballast it needs, and names those that no other"
                " beats in ballast, reach and height. A minute or two."
            ),
        ),
        run=finds.trade,
    ),
    Entry(
        kind=JobKind(
            key="region",
            title="Where it goes",
            says=(
                "Judges a net of fin spans and ballasts by the quick look, and draws round where nothing"
                " fails. Some seconds to a minute."
            ),
            settings=(
                Setting(
                    key="steps",
                    label="steps each way",
                    said="{value} step{s} each way",
                    start=9,
                    low=3,
                    high=25,
                ),
            ),
        ),
        run=finds.region,
    ),
    Entry(
        kind=JobKind(
            key="search",
            title="Lightest go",
            says=(
                "Searches ballast, fin span, walls, rods, charges, rail, canopies and motors together for the"
                " lightest design that goes, or the highest, and takes the whole look at the best. With odds,"
                " each that goes is flown many times, and only counts where at least that share comes down as"
                " meant. Many minutes, with odds far more; stopped, it goes on where it was."
            ),
            settings=(
                Setting(
                    key="generations",
                    label="generations",
                    said="{value} generation{s}",
                    start=5,
                    low=1,
                    high=1000,
                ),
                Setting(key="highest", label="aim", start=0, low=0, high=1, choices=("lightest", "highest")),
                Setting(
                    key="odds",
                    label="least odds, %",
                    start=0,
                    low=0,
                    high=99,
                    said="at least {value} % as meant",
                    nought="no odds asked",
                ),
                Setting(
                    key="flights",
                    label="flights of each design",
                    said="{value} flight{s} of each design",
                    start=1000,
                    low=20,
                    high=1_000_000,
                    needs="odds",
                ),
            ),
        ),
        run=finds.search,
    ),
    Entry(
        kind=JobKind(
            key="prints",
            title="Print plan",
            says=(
                "Cuts the parts to the printer's bed, and judges the vehicle as it would be printed: pieces"
                " drawn apart, joints, plastic and time. A minute or so."
            ),
        ),
        run=finds.prints,
    ),
    Entry(
        kind=JobKind(
            key="tunnel",
            title="Tunnel",
            says=(
                "Blows at the very shape on two grids: force, centre and pressure on its surface."
                " Hours on a processor from 12 cells on; runs that ended are kept beside the sheet."
            ),
            settings=(
                Setting(
                    key="cells",
                    label="cells to a width",
                    said="{value} cell{s} to a width",
                    start=8,
                    low=6,
                    high=64,
                ),
                Setting(
                    key="degrees",
                    label="largest angle, degrees",
                    said="up to {value} degree{s}",
                    start=10,
                    low=1,
                    high=30,
                ),
            ),
        ),
        run=finds.tunnel,
    ),
)
KINDS = {entry.kind.key: entry for entry in _ENTRIES}
