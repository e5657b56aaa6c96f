"""Builds on Today: those whose day has come, with what is done next."""

from datetime import date

from django.db.models import Q, QuerySet
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from builds.building.models.panel_reports import PanelReport
from builds.building.pages.build_days import build_day_rows
from builds.plans.models.builds import Build, BuildQuerySet, BuildState
from habitats.board.pages.day_words import since_words
from habitats.board.pages.parts import BUILDS, TodayPart, TodayRow, numbered, with_number
from habitats.common.written import given, written
from habitats.measures import length
from habitats.people.models.people import Person

UNDER_WAY = (BuildState.PULLED, BuildState.BUILDING, BuildState.INSPECTED)
SHOWN, SHOWN_TO_COORDINATORS = 6, 3


def builds_today(sender: object, person: Person, day: date, **_more: object) -> list[TodayPart]:
    """For ``today_asked``: a builder's own, or all where there are none; a coordinator's all.

    One without a day is of today once it is under way, and for those who are to build it.
    """
    shown, total = with_number(_builds_now(person, day))
    rows = [_row(one, day) for one in shown]
    coming = build_day_rows(person, day)
    rows, total = [*coming, *rows], total + len(coming)
    if person.is_coordinator:
        reports, waiting = with_number(_REPORTS() if _ANY_REPORT() else [])
        asked = [_panel_row(one, person.units) for one in reports]
        rows, total = [*asked, *rows], total + waiting
    open_rows = SHOWN_TO_COORDINATORS if person.is_coordinator else SHOWN
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


def _builds_now(person: Person, day: date) -> list[Build]:
    """Of a builder the own ones, or all where there are none; none for who sees none."""
    if person.is_coordinator:
        return _ALL(person=person, day=day)
    if not person.has_role(Person.Role.BUILDER):
        return []
    return _OWN(person=person, day=day) or _ALL(person=person, day=day)


def _asked(builds: BuildQuerySet) -> QuerySet[Build, Build]:
    own = Build.objects.filter(people=given("person", Person)).values("pk")
    begun = Q(state__in=UNDER_WAY) | Q(pk__in=own)
    now = builds.live().filter(
        Q(planned_on__lte=given("day", date)) | begun & Q(planned_on__isnull=True)
    )
    return numbered(now.soonest_first().select_related("home"))


_ALL = written(lambda: _asked(Build.objects.all()))
_OWN = written(lambda: _asked(Build.objects.filter(people=given("person", Person))))
_ANY_REPORT = written(lambda: PanelReport.objects.unanswered().values_list("pk")[:1])
_REPORTS = written(lambda: numbered(PanelReport.objects.waiting().order_by("pk")))


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
