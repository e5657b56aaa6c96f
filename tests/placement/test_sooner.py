"""Urgent groups are not made to wait for a build where that costs nothing."""

from habitats.placement.check import faults
from habitats.placement.proposing import propose
from habitats.placement.sooner import sooner
from habitats.placement.values import (
    EnclosureToFill,
    GroupToPlace,
    HomeToFill,
    PlacingCase,
    Species,
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
    # Where all stand there is nothing to change.
    assert sooner(case, placing, ()) is placing
