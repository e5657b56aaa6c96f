"""A kit as its adopter puts it up: what is left at home, numbered as on its papers."""

from collections.abc import Sequence

from builds.packing.at_home import Doing, left_at_home
from builds.plans.models.build_plans import BuildStep
from builds.plans.models.progress import Progress


class AtHome(Progress):
    """The steps that are left to do with the box. Each ``step.number`` counts from 1 at home, and
    is not to be saved.
    """

    def _planned(self) -> list[tuple[BuildStep, Sequence[str]]]:
        planned = super()._planned()
        needs = left_at_home([doing_of(step) for step, _needs in planned])
        here = [step for step, _needs in planned if step.card["id"] in needs]
        for number, step in enumerate(here, start=1):
            step.number = number
        return [(step, needs[step.card["id"]]) for step in here]


def doing_of(step: BuildStep) -> Doing:
    """Steps that were planned by an earlier version may have kept no facts."""
    facts = step.card.get("facts") or [""]
    return Doing(step.card["id"], tuple(step.card["needs"]), facts[0])
