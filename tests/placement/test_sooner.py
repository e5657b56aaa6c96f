"""Urgent groups are not made to wait for a build where that costs nothing."""

from habitats.placement.check import faults
from habitats.placement.proposing import propose
from habitats.placement.sooner import sooner
from habitats.placement.values import (
    EnclosureToFill,
    Goal,
    GroupToPlace,
    HomeToFill,
    PlacingCase,
    Species,
    Union,
    WaitingUrgency,
)

PIG = Species.GUINEA_PIG


def test_the_urgent_group_has_the_place_that_stands():
    # Both places do for both; the one that is being built would be spread more evenly.
    case = PlacingCase(
        (
            GroupToPlace("urgent", PIG, 2, 80, urgency=WaitingUrgency.NOW),
            GroupToPlace("patient", PIG, 2, 50, lives_in="tight", urgency=WaitingUrgency.SOON),
        ),
        (
            EnclosureToFill("stands", "h", PIG, 90),
            EnclosureToFill("built", "h", PIG, 120),
            EnclosureToFill("tight", "h", PIG, 40),
        ),
        (HomeToFill("h"),),
    )
    placing = propose(case)
    assert {stay.groups[0]: stay.place.enclosure for stay in placing.stays} == {
        "urgent": "built",
        "patient": "stands",
    }

    better = sooner(case, placing, {"built"})

    assert {stay.groups[0]: stay.place.enclosure for stay in better.stays} == {
        "urgent": "stands",
        "patient": "built",
    }
    assert faults(case, better) == []
    # It was another that spreads spare floor best.
    assert [one.goal for one in better.reached if not one.is_proved] == [Goal.SPARE]
    # Where all stand there is nothing to change.
    assert sooner(case, placing, ()) is placing


def test_the_urgent_group_need_not_be_introduced_first():
    # Three groups and two places: two of them live as one, and the urgent one by itself.
    def group(ref, urgency):
        return GroupToPlace(ref, PIG, 1, 50, urgency=urgency)

    case = PlacingCase(
        (
            group("a", WaitingUrgency.NOW),
            group("b", WaitingUrgency.SOON),
            group("c", WaitingUrgency.SOON),
        ),
        (EnclosureToFill("e", "h", PIG, 120), EnclosureToFill("f", "h", PIG, 60)),
        (HomeToFill("h"),),
        unions=(Union(("a", "b"), 100), Union(("b", "c"), 110)),
    )
    first = propose(case)
    assert ("a", "b") in {stay.groups for stay in first.stays}

    better = sooner(case, first, ())

    assert {stay.groups: stay.place.enclosure for stay in better.stays} == {
        ("a",): "f",
        ("b", "c"): "e",
    }
    assert faults(case, better) == []
