"""What pages of builds show of things that two people may change at once."""

from builds.plans.models.builds import Build, BuildState
from habitats.basis import Fact
from habitats.common.facts import NONE, fact, fields_of


def build_state(build: Build) -> list[Fact]:
    now = build.state_now()
    return [fact(build, "state", "State", now, BuildState(now).label)]


def assignment(build: Build) -> list[Fact]:
    """What the form of a build holds: for whom, by whom, when."""
    people = list(build.people.order_by("first_name", "last_name", "pk"))
    keys = ",".join(str(one.pk) for one in people)
    names = ", ".join(str(one) for one in people)
    return [
        *fields_of(build, ("name", "home", "adopter", "planned_on", "notes")),
        fact(build, "people", "Who builds", keys, names),
    ]


def plan_number(build: Build) -> Fact:
    plan = build.plans.newest_first().first()
    number = plan.number if plan else None
    return fact(build, "plan", "Plan", number, f"plan {number}" if number else NONE)


def plan_and_state(build: Build) -> list[Fact]:
    return [plan_number(build), *build_state(build)]


def plan_and_design(build: Build) -> list[Fact]:
    """Which plan stands, and how far its design was drawn on since."""
    plan = build.plans.newest_first().select_related("revision__design").first()
    drawn = plan.revision.design.current if plan else None
    words = f"revision {drawn.number}" if drawn else NONE
    drawing = fact(build, "drawing", "Design", drawn.pk if drawn else None, words)
    return [plan_number(build), drawing, *build_state(build)]
