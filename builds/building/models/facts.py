"""What pages of inspections show of things that two people may change at once."""

from builds.building.models.inspections import Repair
from builds.plans.models.builds import Build
from builds.plans.models.facts import plan_number
from habitats.basis import Fact
from habitats.common.facts import NONE, fact


def plan_and_inspection(build: Build) -> list[Fact]:
    """What an inspection is of, and whether somebody else inspected meanwhile.

    Not the state: a page that a phone stored ahead is signed after the work that begins the build.
    """
    last = build.inspections.order_by("-pk").first()
    words = f"inspected on {last.on:%-d %B %Y}, signed {last.signed}" if last else NONE
    return [
        plan_number(build),
        fact(build, "inspection", "Last inspection", last.pk if last else None, words),
    ]


def repair_done(repair: Repair) -> list[Fact]:
    done = getattr(repair, "done", None)
    words = f"mended on {done.on:%-d %B %Y}, {done.by}" if done else "open"
    return [fact(repair, "done", "This repair", done.pk if done else None, words)]
