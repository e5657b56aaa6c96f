"""Facts of builds that two people may change at once, as their pages show them."""

from django.utils.translation import gettext as _

from builds.plans.models.builds import Build, BuildState
from habitats.basis import Fact
from habitats.common.facts import NONE, fact, fields_of


def build_state(build: Build) -> list[Fact]:
    now = build.state_now()
    return [fact(build, "state", _("State"), now, BuildState(now).label)]


def assignment(build: Build) -> list[Fact]:
    """What the form of a build holds: for whom, by whom, when."""
    people = list(build.people.order_by("first_name", "last_name", "pk"))
    keys = ",".join(str(one.pk) for one in people)
    names = ", ".join(str(one) for one in people)
    return [
        *fields_of(build, ("name", "home", "adopter", "planned_on", "notes")),
        fact(build, "people", _("Builders"), keys, names),
    ]


def plan_number(build: Build) -> Fact:
    plan = build.plans.newest_first().first()
    number = plan.number if plan else None
    words = _("plan %(number)d") % {"number": number} if number else NONE
    return fact(build, "plan", _("Plan"), number, words)


def plan_and_state(build: Build) -> list[Fact]:
    return [plan_number(build), *build_state(build)]


def plan_and_design(build: Build) -> list[Fact]:
    """Which plan stands, and how far its design was drawn on since."""
    plan = build.plans.newest_first().select_related("revision__design").first()
    drawn = plan.revision.design.current if plan else None
    words = _("revision %(number)d") % {"number": drawn.number} if drawn else NONE
    drawing = fact(build, "drawing", _("Design"), drawn.pk if drawn else None, words)
    return [plan_number(build), drawing, *build_state(build)]
