"""Small rescues at random, and a judge of offers that shares no code."""

from dataclasses import replace
from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from habitats.welfare.companion import Castration, QuarantineSpan
from habitats.welfare.declining import HomeThere
from habitats.welfare.newcomers import Kind, Newcomers
from tests.support.companions import TODAY, make_boar, make_pig
from tests.support.places import PIG, RABBIT, asked, group, place
from tests.welfare.checks_of_placing import World, wrong_with

KINDS = {
    "female": lambda ref: make_pig(ref),
    "male": lambda ref: make_boar(ref),
    "spayed": lambda ref: make_pig(ref, castration=Castration(TODAY - timedelta(days=400))),
    "neutered": lambda ref: make_boar(ref, castration=Castration(TODAY - timedelta(days=400))),
}


mostly_not = st.sampled_from([False, False, False, True])


@st.composite
def homes(draw):
    if draw(mostly_not):
        return None
    return {
        "closed": draw(mostly_not),
        "most": draw(st.integers(1, 3)),
        "lived_in": draw(st.integers(0, 3)),
        "away": draw(mostly_not),
        "knows": draw(st.sampled_from([None, None, "pigs", "rabbits"])),
        "cat": draw(mostly_not),
        "most_animals": draw(st.sampled_from([99, 99, 3, 6])),
        "animals": draw(st.integers(0, 4)),
    }


@st.composite
def worlds(draw):
    places, groups = {}, {}
    for ref in "ABCDE"[: draw(st.integers(1, 5))]:
        places[ref] = {
            "floor": draw(st.integers(3, 15)) * 100_000,
            "unsafe": draw(mostly_not),
            "stands": not draw(mostly_not),
            "suspected": draw(mostly_not),
            "pigs": not draw(mostly_not),
            "home": draw(homes()),
            "lid": draw(st.booleans()),
        }
        if draw(st.booleans()):
            groups[ref] = {
                "kinds": draw(st.lists(st.sampled_from(sorted(KINDS)), max_size=3)),
                "pigs": not draw(mostly_not),
                "quarantine": draw(mostly_not),
                "suspected": draw(mostly_not),
            }
    kind = draw(st.sampled_from([*sorted(KINDS), "litter"]))
    number = draw(st.integers(2 if kind == "litter" else 1, 4))
    return World(places, groups, number, kind, in_quarantine=draw(mostly_not))


def offers_in(world):
    return asked(
        Newcomers(PIG, world.number, Kind(world.kind), in_quarantine=world.in_quarantine),
        *(_place(ref, one) for ref, one in world.places.items()),
        groups=[_group(ref, one) for ref, one in world.groups.items()],
    )


def _place(ref, facts):
    home = facts["home"]
    known = {None: None, "pigs": frozenset({PIG}), "rabbits": frozenset({RABBIT})}
    return place(
        ref,
        facts["floor"],
        stands=facts["stands"],
        is_unsafe=facts["unsafe"],
        is_suspected=facts["suspected"],
        species=PIG if facts["pigs"] else RABBIT,
        home=HomeThere(
            home["closed"],
            most_enclosures=home["most"],
            lived_in=home["lived_in"],
            most_animals=home["most_animals"],
            animals=home["animals"],
            knows=known[home["knows"]],
            is_away=home["away"],
            needs_lids=home["cat"],
        )
        if home
        else None,
        has_lid=facts["lid"],
    )


def _group(ref, facts):
    animals = [KINDS[kind](f"{ref}{number}") for number, kind in enumerate(facts["kinds"])]
    if not facts["pigs"]:
        animals = [replace(one, species=RABBIT) for one in animals]
    if facts["quarantine"]:
        animals = [replace(one, quarantine=QuarantineSpan(TODAY)) for one in animals]
    return group(*animals, at=ref, is_suspected=facts["suspected"])


@given(worlds())
def test_nothing_refused_is_offered_and_nothing_allowed_is_left_out(world):
    assert not wrong_with(world, offers_in(world))


def a_right_answer():
    """One free, one with a group, one unsafe; and what is right of them."""
    facts = {"unsafe": False, "stands": True, "suspected": False, "pigs": True}
    facts |= {"home": None, "lid": False}
    places = {
        "A": {**facts, "floor": 700_000},
        "B": {**facts, "floor": 1_100_000},
        "C": {**facts, "floor": 900_000, "unsafe": True},
        "D": {**facts, "floor": 900_000},
    }
    living = {"kinds": ["female"] * 2, "pigs": True, "quarantine": False, "suspected": False}
    world = World(places, {"B": living}, 3, "female", in_quarantine=False)
    return world, offers_in(world)


def test_the_judge_finds_each_kind_of_fault():
    world, right = a_right_answer()
    first, second = right.free
    [unsafe] = right.declined

    assert not wrong_with(world, right)
    broken = {
        ("refused", "C"): right._replace(
            free=(*right.free, first._replace(enclosure="C", takes=4)), declined=()
        ),
        ("left out", "A"): right._replace(
            free=(second,), declined=(unsafe, unsafe._replace(enclosure="A"))
        ),
        ("told once", "C"): right._replace(declined=()),
        ("takes", "A"): right._replace(free=(first._replace(takes=4), second)),
        ("not free", "B"): right._replace(free=(*right.free, *right.groups), groups=()),
        ("order", ""): right._replace(free=(second, first)),
    }
    for fault, answer in broken.items():
        assert fault in wrong_with(world, answer), fault
