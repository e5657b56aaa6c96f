"""What a second-best placing costs, and how many more newcomers there is room for."""

from habitats.placement.comparing import differences
from habitats.placement.proposing import propose, second_best
from habitats.placement.room_for_more import room_for_more
from habitats.placement.values import (
    EnclosureToFill,
    GroupToPlace,
    HomeToFill,
    PlacingCase,
    Species,
    WaitingUrgency,
)

PIG = Species.GUINEA_PIG


def enclosure(ref, mm2):
    return EnclosureToFill(ref, "h", PIG, mm2)


def test_a_move_more_is_told_and_nothing_where_both_are_as_good():
    case = PlacingCase(
        (GroupToPlace("waits", PIG, 2, 50), GroupToPlace("settled", PIG, 2, 50, lives_in="a")),
        (enclosure("a", 60), enclosure("b", 60)),
        (HomeToFill("h"),),
    )
    best = propose(case)

    other = second_best(case, best, "waits")

    assert differences(best, other, str) == ["1 settled group more moves"]
    assert differences(best, best, str) == []


def test_settled_groups_would_make_room_for_larger_newcomers():
    # The settled two live where five could; the small one is free. Five more: only if they move.
    case = PlacingCase(
        (GroupToPlace("settled", PIG, 2, 50, lives_in="large", urgency=WaitingUrgency.CAN_WAIT),),
        (enclosure("large", 200), enclosure("small", 60)),
        (HomeToFill("h"),),
    )
    five = GroupToPlace("new", PIG, 5, 150, urgency=WaitingUrgency.CAN_WAIT)

    assert room_for_more(case, [five]) == (0, 1, 1)


def test_who_waits_has_a_place_before_newcomers():
    case = PlacingCase(
        (GroupToPlace("waits", PIG, 2, 50),), (enclosure("a", 60),), (HomeToFill("h"),)
    )
    pair = GroupToPlace("new", PIG, 2, 50, urgency=WaitingUrgency.CAN_WAIT)

    assert room_for_more(case, [pair]).with_moves == 0
