"""What a second-best placing costs, and how many more newcomers there is room for."""

from habitats.placement import proposing
from habitats.placement.check import faults
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
from tests.benchmarks.placing import rescue

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


def test_of_a_large_rescue_only_what_is_near_is_looked_at_again(monkeypatch):
    case = rescue(3, 40, 60)
    best = propose(case)
    moved = [one.groups[0] for one in best.stays if one.place and is_new(case, one)][:6]
    by_all = [second_best(case, best, ref) for ref in moved]
    monkeypatch.setattr(proposing, "FEW", 0)
    monkeypatch.setattr(proposing, "NEARBY", 12)

    for ref, every in zip(moved, by_all, strict=True):
        near = second_best(case, best, ref)
        assert faults(case, near) == []
        assert not {one for one in best.stays if ref in one.groups} & {*near.stays}
        assert [one.value for one in near.reached[:6]] == [one.value for one in every.reached[:6]]


def is_new(case, stay):
    return stay.place.enclosure != next(
        one.lives_in for one in case.groups if one.ref == stay.groups[0]
    )


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
