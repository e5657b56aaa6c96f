"""Animals that live in no enclosure, each group or lone animal a row, with what is due for them."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, timedelta

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from habitats.animals.pages.told_once import SaidOfOne, told_once
from habitats.board.models.tasks import weigh_words
from habitats.board.pages.day_words import since_words
from habitats.board.pages.parts import UNHOUSED, TodayPart, TodayRow, numbered, with_number
from habitats.common.written import given, given_keys, written
from habitats.readings.models.due_rows import DueRow
from habitats.readings.models.unhoused import Unhoused
from habitats.welfare.ahead import DueKind
from habitats.wording import by_number, joined, listed

DUE_SOON = timedelta(days=7)


_FOR_LONGEST = written(
    lambda: numbered(
        Unhoused.objects.filter(day=given("day", date))
        .select_related("animal", "group")
        .order_by("since", "group", "animal")
    )
)
_DUE_FOR = written(
    lambda: DueRow.objects.filter(
        animal__in=given_keys("animals"), day__lte=given("last", date)
    ).by_day()
)


def unhoused_part(day: date) -> TodayPart:
    """Those without one for longest first."""
    Unhoused.objects.make_missing(day)
    shown, number = with_number(_FOR_LONGEST(day=day))
    together: dict[int, list[Unhoused]] = defaultdict(list)
    for one in shown:
        # A lone animal is a group of its own: by a key that no group has.
        together[one.group_id or -one.animal_id].append(one)
    due = _due([one.animal_id for some in together.values() for one in some], day)
    rows = [_row(some, due, day) for some in together.values()]
    total = len(rows) + number - len(shown)
    link = reverse("animals") + "?shown=loose"
    return TodayPart(
        UNHOUSED,
        _("Without an enclosure"),
        rows,
        total,
        link,
        together=reverse("builds:placing"),
        together_words=_("Placing"),
    )


def _due(animals: Sequence[int], day: date) -> dict[int, list[DueRow]]:
    found: dict[int, list[DueRow]] = defaultdict(list)
    for row in _DUE_FOR(animals=animals, last=day + DUE_SOON) if animals else ():
        if row.animal_id:
            found[row.animal_id].append(row)
    return found


def _row(some: Sequence[Unhoused], due: dict[int, list[DueRow]], day: date) -> TodayRow:
    rows = [row for one in some for row in due[one.animal_id]]
    group = some[0].group
    to_weigh = (name for row in rows if row.kind == DueKind.WEIGH for name in row.names)
    weigh = sorted(to_weigh, key=by_number)
    others = (row for row in rows if row.kind != DueKind.WEIGH)
    sentences = told_once(
        SaidOfOne(row.names[0] if len(row.names) == 1 else "", row.sentence, row.kind)
        for row in others
    )
    told: list[str] = [*sentences, weigh_words(weigh)] if weigh else sentences
    is_wrong = any(row.kind in (DueKind.PART, DueKind.WEIGHT_FELL) for row in rows)
    return TodayRow(
        listed(sorted((one.animal.name for one in some), key=by_number)),
        reverse("move_group", args=[group.code])
        if group
        else reverse("animal_room", args=[some[0].animal.code]),
        pgettext("in a row", "Move group") if group else _("Add to group"),
        _("in no enclosure") if group else _("in no group"),
        since_words(min(one.since for one in some), day),
        advice=str(joined(" ", told)),
        is_wrong=is_wrong,
    )
