"""Groups that wait until something is built or animals are introduced."""

from habitats.placement.held_up import held_up
from habitats.placement.values import (
    EnclosureToFill,
    GroupToPlace,
    HomeToFill,
    PlaceToLive,
    Placing,
    PlacingCase,
    ProposedStay,
    Species,
)

PIG = Species.GUINEA_PIG


def enclosure(ref, home):
    return EnclosureToFill(ref, home, PIG, 1)


def group(ref, lives_in=None):
    return GroupToPlace(ref, PIG, 2, 1, lives_in=lives_in)


def stay(ref, enclosure=None, home=None, design=None):
    return ProposedStay(tuple(ref), PlaceToLive(enclosure, design, home), suits=True)


CASE = PlacingCase(
    (group("a", "e"), group("b"), group("c"), group("d", "g")),
    (enclosure("e", "h"), enclosure("f", "k"), enclosure("g", "l")),
    (HomeToFill("h"), HomeToFill("k"), HomeToFill("l")),
)


def test_who_follows_one_that_waits_for_a_build_waits_too():
    # a goes to a build, b comes where a lives, c goes to what stands free.
    stays = (
        stay("a", home="k", design="x"),
        stay("b", "e", "h"),
        stay("c", "f", "k"),
        stay("d", "g", "l"),
    )

    assert held_up(CASE, Placing(stays, ()), ()) == {"a", "b"}


def test_what_is_being_built_does_not_stand():
    stays = (stay("a", "e", "h"), stay("b", "f", "k"), stay("d", "g", "l"))

    assert held_up(CASE, Placing(stays, ()), {"f"}) == {"b"}
    assert held_up(CASE, Placing(stays, ()), ()) == frozenset()


def test_those_who_are_to_live_as_one_are_introduced_first():
    stays = (stay("ab", "e", "h"), stay("c", "f", "k"), stay("d", "g", "l"))

    assert held_up(CASE, Placing(stays, ()), ()) == {"a", "b"}


def test_nobody_enters_a_home_before_who_is_held_up_there_has_left():
    # d leaves l for a build: c comes into l only after it, into another enclosure though.
    more = (*CASE.enclosures, enclosure("i", "l"))
    case = PlacingCase(CASE.groups, more, CASE.homes)
    stays = (stay("a", "e", "h"), stay("c", "i", "l"), stay("d", home="k", design="x"))

    assert held_up(case, Placing(stays, ()), ()) == {"c", "d"}
