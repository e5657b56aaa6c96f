"""Builds on Today: those whose day has come, with what is done next."""

from datetime import date

from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from builds.building.models.panel_reports import PanelReport
from builds.building.pages.build_days import build_day_rows
from builds.plans.models.builds import Build, BuildQuerySet, BuildState
from habitats.board.pages.day_words import since_words
from habitats.board.pages.parts import BUILDS, MOST_ROWS, TodayPart, TodayRow, first_and_number
from habitats.measures import length
from habitats.people.models.people import Person

UNDER_WAY = (BuildState.PULLED, BuildState.BUILDING, BuildState.INSPECTED)
SHOWN = {Person.Role.BUILDER: 6, Person.Role.COORDINATOR: 3}


def builds_today(sender: object, person: Person, day: date, **_more: object) -> list[TodayPart]:
    """For ``today_asked``: a builder's own, or all where there are none; a coordinator's all.

    One without a day is of today once it is under way, and for those who are to build it.
    """
    seen = Build.objects.visible_to(person).live()
    own = Build.objects.filter(people=person).values("pk")
    begun = Q(state__in=UNDER_WAY) | Q(pk__in=own)
    now = seen.filter(Q(planned_on__lte=day) | begun & Q(planned_on__isnull=True))
    found = _own_or_all(now, person).soonest_first()
    shown, total = first_and_number(found.select_related("home"))
    rows = [_row(one, day) for one in shown]
    coming = build_day_rows(person, day)
    rows, total = [*coming, *rows], total + len(coming)
    if person.is_coordinator:
        reports, waiting = first_and_number(PanelReport.objects.waiting_if_any().order_by("pk"))
        asked = [_panel_row(one, person.units) for one in reports]
        rows, total = [*asked, *rows], total + waiting
    open_rows = SHOWN.get(Person.Role(person.role), MOST_ROWS)
    link = reverse("builds:builds")
    return [TodayPart(BUILDS, _("Builds of today"), rows, total, link, open_rows)]


def _panel_row(report: PanelReport, units: str) -> TodayRow:
    """Builders wait with cutting until somebody decides."""
    link = reverse("builds:answer_panel_size", args=[report.build.code, report.pk])
    told = {
        "size": length(report.size_mm, units),
        "planned": length(report.planned_mm, units),
        "squares": report.squares,
    }
    if report.differs_in_squares_alone:
        what = _("panels have %(squares)d squares a side, which is not as planned") % told
    else:
        what = _("panels measure %(size)s, not %(planned)s as planned") % told
    return TodayRow(str(report.build), link, _("Decide"), what, "")


def _own_or_all(builds: BuildQuerySet, person: Person) -> BuildQuerySet:
    own = builds.filter(people=person)
    return own if not person.is_coordinator and own.exists() else builds


def _row(build: Build, day: date) -> TodayRow:
    state = BuildState(build.state)  # type: ignore[attr-defined]
    whose = build.adopter or (str(build.home) if build.home else "")
    where = f"{whose}, {state.label}" if whose else str(state.label)
    when = since_words(build.planned_on, day) if build.planned_on else ""
    match state:
        case BuildState.INSPECTED:
            name = "builds:hand_over_kit" if build.is_kit else "builds:hand_over_build"
            action = _("Hand over")
        case BuildState.PLANNED:
            name, action = "builds:pull_build", _("Pull")
        case _state:
            name, action = "builds:build", pgettext("a page", "Open")
    return TodayRow(str(build), reverse(name, args=[build.code]), action, where, when)
