"""Values for the form pages of the store, and what of it Today tells."""

from typing import NamedTuple

from django.db.models import Model
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.store.models.items import Item, in_kind_order
from habitats.board.pages.parts import STORE, TodayPart, TodayRow
from habitats.common.written import written
from habitats.people.models.people import Person

MOST_NAMED = 3
_TO_REORDER = written(lambda: Item.objects.to_reorder())


class ArchiveButton(NamedTuple):
    """The button that archives something or restores it, and what it says.

    It is sent to the address called ``form`` and is about ``subject``.
    """

    form: str
    subject: Model
    address: str
    is_put_away: bool
    sentence: str

    @property
    def button(self) -> str:
        return _("Restore") if self.is_put_away else _("Archive")


def archived_or_restored(subject: Model, is_put_away: bool) -> str:
    """What is said once such a button was pressed."""
    sentence = _("“%(name)s” is archived.") if is_put_away else _("“%(name)s” is in use again.")
    return sentence % {"name": subject}


def store_today(sender: object, person: Person, **_more: object) -> list[TodayPart]:
    """For ``today_asked``: items of which less is free than their reorder level, to be bought."""
    if not person.is_coordinator:
        return []
    short = in_kind_order(_TO_REORDER())
    more = len(short) - MOST_NAMED
    names = [str(one) for one in short[:MOST_NAMED]]
    if more > 0:
        names.append(ngettext("%(number)d more", "%(number)d more", more) % {"number": more})
    row = TodayRow("; ".join(names), reverse("builds:buying"), _("Buying list"))
    return [
        TodayPart(STORE, _("Below the reorder level"), [row] if short else [], min(len(short), 1))
    ]
