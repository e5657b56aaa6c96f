"""Who is in whose way, widening from those who lose."""

import numpy as np

from habitats.placement.around import Around
from habitats.placement.finding import columns_of
from habitats.placement.rows import Rows
from habitats.placement.suiting import Suiting
from habitats.placement.values import (
    EnclosureToFill,
    GroupToPlace,
    HomeToFill,
    PlacingCase,
    Species,
)
from tests.benchmarks.placing import rescue

PIG = Species.GUINEA_PIG


def parts_of(case, group, most=1000):
    """Groups of each part, where all live where they do."""
    columns = columns_of(Suiting(case))
    refs = [one.ref for one in case.groups]
    number = {one.ref: at for at, one in enumerate(case.enclosures)}
    lives_in = [number.get(one.lives_in, -1) for one in case.groups]
    taken = np.nonzero(columns.enclosure == np.array(lives_in)[columns.asking])[0]
    every = np.arange(len(columns))
    first = taken[columns.asking[taken] == refs.index(group)]
    around = Around(columns, Rows(columns), every, taken)
    return [{refs[one] for one in columns.asking[part]} for part in around.widening(first, most)]


def enclosures(*floors):
    return tuple(
        EnclosureToFill(f"e{at}", f"h{at}", PIG, floor * 10_000) for at, floor in enumerate(floors)
    )


def test_first_the_group_then_who_lives_where_it_could_then_who_is_in_their_way():
    groups = (
        GroupToPlace("waits", PIG, 2, 900_000),
        GroupToPlace("has the large one", PIG, 2, 700_000, lives_in="e0"),
        GroupToPlace("has the middle one", PIG, 2, 500_000, lives_in="e1"),
    )
    homes = tuple(HomeToFill(f"h{at}") for at in range(2))

    parts = parts_of(PlacingCase(groups, enclosures(100, 80), homes), "waits")

    assert parts == [
        {"waits"},
        {"waits", "has the large one"},
        {"waits", "has the large one", "has the middle one"},
    ]


def test_in_the_way_of_a_free_place_is_who_fills_its_home():
    groups = (
        GroupToPlace("waits", PIG, 2, 900_000),
        GroupToPlace("fills the home", PIG, 2, 500_000, lives_in="e1"),
    )
    stand = tuple(
        EnclosureToFill(f"e{at}", "h", PIG, floor) for at, floor in enumerate([1_000_000, 600_000])
    )
    case = PlacingCase(groups, stand, (HomeToFill("h", most_enclosures=1),))

    assert parts_of(case, "waits") == [{"waits"}, {"waits", "fills the home"}]


def test_no_part_has_more_columns_than_asked():
    case = rescue(1, 60, 100)

    sizes = [len(one) for one in parts_of(case, "g0", most=200)]

    assert sizes == sorted(sizes)
    assert 0 < sizes[-1] < 60
