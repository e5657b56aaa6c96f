"""What was wrong at a foster's home and is mended: told once, with a way to say that it is not."""

from datetime import date

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from habitats.board.pages.parts import MENDED, TodayPart, TodayRow, numbered, with_number
from habitats.common.written import given, written
from habitats.faults.models.faults import FaultMended
from habitats.faults.models.mended_news import first_day_told, mended_unseen
from habitats.people.models.people import Person


def mended_part(person: Person, today: date) -> TodayPart:
    found = _UNSEEN(person=person, day=today, since=first_day_told(today))
    shown, total = with_number(found)
    rows = [_row(one, person) for one in shown]
    return TodayPart(MENDED, pgettext("faults", "Mended"), rows, total)


def _row(one: FaultMended, reader: Person) -> TodayRow:
    fault = one.fault
    who = _("%(day)s by %(person)s") % {
        "day": date_format(one.on, _("j M")),
        "person": one.made_by.name_for(reader),
    }
    report = reverse("report_fault", args=[fault.enclosure.code])
    return TodayRow(
        _("Mended: %(fault)s") % {"fault": fault},
        f"{report}?again={fault.pk}",
        _("Not mended"),
        fault.enclosure.label,
        " · ".join(filter(None, (who, str(one.note)))),
        tick=reverse("see_mended", args=[fault.pk]),
        tick_words=pgettext("news", "Seen"),
    )


_UNSEEN = written(
    lambda: numbered(
        mended_unseen(given("person", Person), given("day", date), given("since", date))
    )
)
