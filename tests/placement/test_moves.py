"""The order of moves, carried out one by one."""

from random import Random

import pytest

from habitats.placement.moves import ProposedMove, moves_of
from habitats.placement.proposing import propose
from habitats.placement.values import (
    Contradiction,
    EnclosureToFill,
    GroupToPlace,
    HomeToFill,
    PlaceToLive,
    Placing,
    PlacingCase,
    ProposedStay,
    Species,
)
from tests.support.placements import random_case

PIG = Species.GUINEA_PIG


def carried_out(case, moves):
    """Where everybody is in the end; each step is held to what may never be."""
    homes = {one.ref: one.home for one in case.enclosures}
    limits = {one.ref: one for one in case.homes}
    where = {
        one.ref: one.lives_in and PlaceToLive(one.lives_in, home=homes[one.lives_in])
        for one in case.groups
    }
    animals = {one.ref: one.animals for one in case.groups}

    def living(home):
        return [ref for ref, place in where.items() if place and place.home == home]

    at_first = {ref: (len(living(ref)), sum(animals[one] for one in living(ref))) for ref in limits}
    for move in moves:
        assert where[move.group] == move.start
        if move.to and move.to.enclosure:
            assert move.to not in where.values(), f"{move.to} holds two"
        where[move.group] = move.to
        if move.to and move.to.home in limits:
            home, (enclosures, heads) = limits[move.to.home], at_first[move.to.home]
            there = living(home.ref)
            assert home.most_enclosures is None or len(there) <= max(
                home.most_enclosures, enclosures
            )
            most = home.most_animals
            assert most is None or sum(animals[one] for one in there) <= max(most, heads)
    return where


def rotation(seed, *, free):
    """Groups that change places, some of them into free ones, in homes that hold just so many."""
    chance = Random(seed)
    count = chance.randint(2, 12)
    homes = [f"h{one}" for one in range(chance.randint(1, 4))]
    stand = [
        EnclosureToFill(f"e{one}", chance.choice(homes), PIG, 10**6) for one in range(count + free)
    ]
    who = [GroupToPlace(f"g{one}", PIG, 2, 1, lives_in=f"e{one}") for one in range(count)]
    there = [one.ref for one in stand]
    chance.shuffle(there)
    of = {one.ref: one.home for one in stand}
    stays = tuple(
        ProposedStay((one.ref,), PlaceToLive(ref, home=of[ref]), suits=True)
        for one, ref in zip(who, there[:count], strict=True)
    )
    lived_in = [[of[f"e{one}"] for one in range(count)], [of[ref] for ref in there[:count]]]
    limits = tuple(
        HomeToFill(one, most_enclosures=max(x.count(one) for x in lived_in)) for one in homes
    )
    return PlacingCase(tuple(who), tuple(stand), limits), Placing(stays, ())


@pytest.mark.parametrize("free", [0, 1, 3])
def test_everybody_arrives_and_no_step_holds_too_many(free):
    for seed in range(200):
        case, placing = rotation(seed, free=free)

        where = carried_out(case, moves_of(case, placing))

        assert where == {stay.groups[0]: stay.place for stay in placing.stays}, seed


def test_a_proposal_is_carried_out_within_the_limits_of_each_home():
    for seed in range(300):
        case = random_case(seed)
        if case.unions:
            continue
        try:
            placing = propose(case)
        except Contradiction:
            continue
        where = carried_out(case, moves_of(case, placing))
        assert where == {stay.groups[0]: stay.place for stay in placing.stays}, seed


def a_case(*enclosures, home=None):
    homes = () if home is None else (home,)
    stand = tuple(EnclosureToFill(ref, "h", PIG, 10**6) for ref in ("e0", "e1", "e2", "e3"))
    who = tuple(
        GroupToPlace(f"g{n}", PIG, 4 - n, 1, lives_in=ref) for n, ref in enumerate(enclosures)
    )
    return PlacingCase(who, stand, homes)


def to(**places):
    stays = (
        ProposedStay((ref,), PlaceToLive(one, home="h"), suits=True) for ref, one in places.items()
    )
    return Placing(tuple(stays), ())


def test_in_a_chain_the_last_one_moves_first():
    case = a_case("e0", "e1", "e2")

    moves = moves_of(case, to(g0="e1", g1="e2", g2="e3"))

    assert [one.group for one in moves] == ["g2", "g1", "g0"]


def test_in_a_circle_the_smallest_group_waits_in_a_carrier():
    case = a_case("e0", "e1", "e2")

    first, *others, last = moves_of(case, to(g0="e1", g1="e2", g2="e0"))

    assert first == ProposedMove("g2", PlaceToLive("e2", home="h"), None)
    assert [one.group for one in others] == ["g1", "g0"]
    assert last == ProposedMove("g2", None, PlaceToLive("e0", home="h"))


def test_no_carrier_is_used_where_another_order_needs_none():
    # The home across holds two: who comes from e2 has to come before who comes from outside.
    stand = (
        EnclosureToFill("e0", "across", PIG, 10**6),
        EnclosureToFill("e1", "across", PIG, 10**6),
        EnclosureToFill("e2", "here", PIG, 10**6),
        EnclosureToFill("e3", "across", PIG, 10**6),
    )
    who = (
        GroupToPlace("a new one", PIG, 1, 1),
        GroupToPlace("leaves", PIG, 1, 1, lives_in="e0"),
        GroupToPlace("comes", PIG, 1, 1, lives_in="e2"),
    )
    case = PlacingCase(who, stand, (HomeToFill("across", most_enclosures=2),))
    placing = Placing(
        (
            ProposedStay(("a new one",), PlaceToLive("e1", home="across"), suits=True),
            ProposedStay(("comes",), PlaceToLive("e3", home="across"), suits=True),
            ProposedStay(("leaves",), PlaceToLive("e2", home="here"), suits=True),
        ),
        (),
    )

    assert [one.group for one in moves_of(case, placing)] == ["comes", "leaves", "a new one"]
