"""Follow-ups of kits on Today, for coordinators: among the adoptions."""

from datetime import date

from django.urls import reverse
from django.utils.translation import gettext as _

from builds.kits.models.follow_ups import FollowUp
from habitats.board.pages.day_words import since_words
from habitats.board.pages.parts import ADOPTIONS, TodayPart, TodayRow, numbered, with_number
from habitats.common.written import given, written
from habitats.people.models.people import Person

_TO_ASK = written(
    lambda: numbered(
        FollowUp.objects.open()
        .filter(on__lte=given("day", date))
        .soonest_first()
        .select_related("build")
    )
)


def follow_ups_today(sender: object, person: Person, day: date, **_more: object) -> list[TodayPart]:
    """For ``today_asked``: adopters to ask, the longest overdue first."""
    if not person.is_coordinator:
        return []
    shown, total = with_number(_TO_ASK(day=day))
    rows = [_row(one, day) for one in shown]
    title, link = _("Adoptions and follow-ups"), reverse("builds:kits")
    return [TodayPart(ADOPTIONS, title, rows, total, link, shown=3)]


def _row(one: FollowUp, day: date) -> TodayRow:
    link = reverse("builds:ask_kit", args=[one.build.code, one.number])
    when = since_words(one.on, day) if one.on else ""
    return TodayRow(str(one.build), link, _("Ask"), str(one.suggested.name), when)
