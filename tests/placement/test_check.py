"""The checker: it passes what is right, and notices whatever is broken."""

from dataclasses import replace

import pytest

from habitats.placement.check import faults
from habitats.placement.proposing import propose
from habitats.placement.values import (
    DesignToBuild,
    EnclosureToFill,
    Goal,
    GroupToPlace,
    HomeToFill,
    Pin,
    PlaceToLive,
    Placing,
    PlacingCase,
    ProposedStay,
    Reached,
    RuledOut,
    Species,
    Union,
)

PIG, RABBIT = Species.GUINEA_PIG, Species.RABBIT
A = GroupToPlace("A", PIG, 3, 700_000)
B = GroupToPlace("B", PIG, 2, 500_000, lives_in="e1")
E0 = EnclosureToFill("e0", "h", PIG, 900_000)
E1 = EnclosureToFill("e1", "h", PIG, 600_000)
H = HomeToFill("h")
RIGHT = Placing(
    (
        ProposedStay(("A",), PlaceToLive("e0", home="h"), True),
        ProposedStay(("B",), PlaceToLive("e1", home="h"), True),
    ),
    (),
)
BUILT = Placing((ProposedStay(("A",), PlaceToLive(design="d", home="h"), True), RIGHT.stays[1]), ())
D = DesignToBuild("d", PIG, 800_000, (1400, 700))
TOGETHER = Placing((ProposedStay(("A", "B"), PlaceToLive("e0", home="h"), True),), ())


def case(groups=(A, B), enclosures=(E0, E1), homes=(H,), **more):
    return PlacingCase(tuple(groups), tuple(enclosures), tuple(homes), **more)


def test_what_is_right_has_no_faults():
    assert faults(case(), RIGHT) == []
    assert faults(case(designs=(D,)), BUILT) == []
    assert faults(case(unions=(Union(("A", "B"), 900_000),)), TOGETHER) == []


@pytest.mark.parametrize(
    ("asked", "placing", "told"),
    [
        (case(), Placing(RIGHT.stays[:1], ()), "B is in 0 stays"),
        (case(), Placing((*RIGHT.stays, RIGHT.stays[0]), ()), "A is in 2 stays"),
        (case(groups=[A]), RIGHT, "B is no group"),
        (case(), TOGETHER, "may not live together"),
        (
            case(),
            Placing((ProposedStay(("A",), PlaceToLive("e1", home="h"), True), RIGHT.stays[1]), ()),
            "2 stays in e1",
        ),
        (case(groups=[replace(A, species=RABBIT), B]), RIGHT, "another species"),
        (case(enclosures=[replace(E0, is_safe=False), E1]), RIGHT, "unsafe"),
        (case(groups=[replace(A, needs_mm2=900_001), B]), RIGHT, "1 mm² lack"),
        (
            case(groups=[replace(A, climbs=False), B], enclosures=[replace(E0, has_ramp=True), E1]),
            RIGHT,
            "A in e0: has a ramp",
        ),
        (case(homes=[replace(H, other_pets=True)]), RIGHT, "A in e0: has no lid"),
        (case(homes=[replace(H, knows=frozenset({RABBIT}))]), RIGHT, "does not know them"),
        (case(homes=[replace(H, is_away=True)]), RIGHT, "h is away"),
        (case(enclosures=[replace(E0, home=None), E1]), RIGHT, "stands in no home"),
        (case(bars=(RuledOut("A", "e0", "x"),)), RIGHT, "A in e0: barred"),
        (case(forbidden=(Pin("A", enclosure="e0"),)), RIGHT, "A in e0: forbidden"),
        (case(forbidden=(Pin("A", home="h"),)), RIGHT, "A in e0: forbidden"),
        (case(pins=(Pin("A", enclosure="e1"),)), RIGHT, "A is not in e1"),
        (case(pins=(Pin("A", home="other"),)), RIGHT, "A is not in other"),
        (case(homes=[replace(H, most_enclosures=1)]), RIGHT, "h: 2 enclosures"),
        (case(homes=[replace(H, most_animals=4)]), RIGHT, "h: 5 animals"),
        (
            case(groups=[replace(A, cohort="May"), replace(B, cohort="June")]),
            RIGHT,
            "h: 2 cohorts",
        ),
        (case(groups=[replace(A, cohort="May"), B]), RIGHT, "1 in quarantine beside others"),
        (case(designs=(replace(D, floor_mm2=1),)), BUILT, "d is too small"),
        (case(designs=(replace(D, species=RABBIT),)), BUILT, "another species"),
        (case(designs=(D,), homes=[replace(H, sides_mm=(1500, 600))]), BUILT, "no room in h"),
        (case(designs=(D,), homes=[replace(H, most_enclosures=2)]), BUILT, "no room for 1 more"),
        (case(designs=(D,), homes=[replace(H, other_pets=True)]), BUILT, "d has no lid"),
        (
            case(groups=[replace(A, climbs=False), B], designs=(replace(D, has_ramp=True),)),
            BUILT,
            "d has a ramp",
        ),
        (
            case(groups=[A, replace(B, may_move=False)]),
            Placing((RIGHT.stays[0], ProposedStay(("B",), PlaceToLive("e1", home="h"), False)), ()),
            "told to suit False",
        ),
        (
            case(groups=[replace(A, lives_in="e0"), B]),
            Placing((ProposedStay(("A",), None, False), RIGHT.stays[1]), ()),
            "A has lost its place",
        ),
        (
            case(groups=[replace(A, lives_in="e1", may_move=False), replace(B, lives_in=None)]),
            RIGHT,
            "A may not move",
        ),
        (case(), replace(RIGHT, reached=(Reached(Goal.MOVES, 1, 1),)), "moves: 1 told, 0 found"),
        (case(), replace(RIGHT, reached=(Reached(Goal.MOVES, 0, 1),)), "a bound of 1 above 0"),
    ],
)
def test_whatever_is_broken_is_noticed(asked, placing, told):
    assert any(told in fault for fault in faults(asked, placing)), faults(asked, placing)


@pytest.mark.parametrize(
    "asked",
    [
        case(homes=[replace(H, most_enclosures=1)]),
        case(homes=[replace(H, most_animals=4)]),
        case(groups=[replace(A, cohort="May"), B]),
        case(homes=[replace(H, other_pets=True)]),
        case(homes=[replace(H, is_away=True)]),
    ],
)
def test_a_placing_keeps_what_the_checker_asks_for(asked):
    placing = propose(asked)

    assert faults(asked, placing) == []
    assert not placing.stays[0].suits
