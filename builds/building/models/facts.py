"""Facts of inspections that two people may change at once, as their pages show them."""

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from builds.building.models.build_days import BuildDay, DayFacts
from builds.building.models.inspections import Repair
from builds.plans.models.builds import Build
from builds.plans.models.facts import plan_number
from habitats.basis import Fact
from habitats.common.facts import NONE, fact, fields_of


def plan_and_inspection(build: Build) -> list[Fact]:
    """What an inspection is of, and whether somebody else inspected meanwhile.

    Not the state: a page that a phone stored ahead is signed after the work that begins the build.
    """
    last = build.inspections.order_by("-pk").first()
    words: object = NONE
    if last:
        words = _("inspected on %(day)s, signed %(name)s") % {
            "day": date_format(last.on, _("j F Y")),
            "name": last.signed,
        }
    return [
        plan_number(build),
        fact(build, "inspection", _("Last inspection"), last.pk if last else None, words),
    ]


def repair_done(repair: Repair) -> list[Fact]:
    done = getattr(repair, "done", None)
    words = _("open")
    if done:
        words = _("mended on %(day)s, %(who)s") % {
            "day": date_format(done.on, _("j F Y")),
            "who": done.by,
        }
    return [fact(repair, "done", _("This repair"), done.pk if done else None, words)]


def build_day(day: BuildDay) -> list[Fact]:
    """The day, and who comes to it with what."""
    coming = list(day.coming.select_related("person").order_by("person"))
    keys = ";".join(f"{one.person_id},{one.at},{one.brings},{one.lent}" for one in coming)
    names = ", ".join(str(one.person) for one in coming) or str(NONE)
    return [
        *fields_of(day, DayFacts._fields),
        fact(day, "coming", _("People coming"), keys, names),
    ]
