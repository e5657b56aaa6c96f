"""Space: every home with its enclosures, drawn to one scale; or the same as a table."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, timedelta
from typing import NamedTuple

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html_join
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from habitats import measures
from habitats.board.forms import SpaceForm
from habitats.drawing.residence import MM_PER_UNIT, Residence, residence_key, widest_mm
from habitats.enclosures.models.enclosures import EnclosureState
from habitats.homes.models.homes import Home
from habitats.people.access import coordinator_or_403
from habitats.readings.models.homes_read import as_read
from habitats.readings.models.readings import (
    CAN_WAIT,
    LOOK,
    SOON_DAYS,
    Reading,
    ReadingQuerySet,
    Urgency,
)
from habitats.readings.pages import space_result
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.pages.floor_pictures import picture_of
from habitats.rescue.pages.verdicts import SpaceResult
from habitats.stored_wording import from_json
from habitats.welfare.ahead import DueKind

HOMES_A_PAGE = 50
MOST_IN_NO_HOME = 24
WIDE_MM = 2800  # what a phone shows of a floor
SAYS_ITSELF = (
    EnclosureState.IN_USE,
    EnclosureState.STANDING,
)  # states that the rest of a card tells


class ScaleBar(NamedTuple):
    """The bar that tells the scale: its length and its far tick in px, and what it stands for."""

    px: str
    end: str
    words: str


BARS = {
    measures.METRIC: ScaleBar("100", "99.25", "1 m"),
    measures.INCHES: ScaleBar("91.4", "90.65", "3 ft"),
}


class NextDue(NamedTuple):
    """``day`` None: it is due now."""

    day: date | None
    sentence: str


class Card(NamedTuple):
    """One enclosure. ``due`` None: nothing is due soon.

    In the table ``picture`` is empty. ``is_wide``: a phone may have to move it sideways.
    """

    reading: Reading
    picture: str
    is_wide: bool
    who: str
    result: SpaceResult
    due: NextDue | None

    @property
    def state(self) -> str:
        """In words where it is not what a reader expects."""
        state = EnclosureState(self.reading.state)
        return "" if state in SAYS_ITSELF else str(state.label)

    @property
    def is_wrong(self) -> bool:
        return self.reading.urgency == Urgency.WRONG


class HomeSpace(NamedTuple):
    """A home and those of its enclosures that are wanted. ``home`` None: they stand in none."""

    home: Home | None
    cards: list[Card]
    left_out: int = 0


class SpaceView(NamedTuple):
    """How the page is read: by whom, on which day, as drawings or as a table."""

    units: str
    today: date
    is_drawn: bool

    def places(self, homes: Sequence[Home], readings: ReadingQuerySet) -> list[HomeSpace]:
        """The homes in their order, each with its cards; one query for all of them."""
        found = defaultdict(list)
        for reading in _to_look_at(readings.filter(home__in=[one.pk for one in homes])):
            found[reading.home_id].append(self.card(reading))
        return [HomeSpace(home, found[home.pk]) for home in homes]

    def nowhere(self, readings: ReadingQuerySet) -> HomeSpace:
        """Enclosures that stand in no home, the first of them."""
        homeless = list(_to_look_at(readings.filter(home__isnull=True)))
        cards = [self.card(one) for one in homeless[:MOST_IN_NO_HOME]]
        return HomeSpace(None, cards, len(homeless) - len(cards))

    def card(self, reading: Reading) -> Card:
        residence = reading.residence()
        names = [name for _code, name, _share in reading.residents]
        return Card(
            reading=reading,
            picture=self._picture(reading, residence, names) if self.is_drawn else "",
            is_wide=self.is_drawn and widest_mm(residence) > WIDE_MM,
            who=_numbered(names) if self.is_drawn else ", ".join(names),
            result=space_result(reading, self.units),
            due=self._due(reading),
        )

    def _picture(self, reading: Reading, residence: Residence, names: list[str]) -> str:
        return picture_of(residence, reading.enclosure.label, names, self.units, MM_PER_UNIT)

    def _due(self, reading: Reading) -> NextDue | None:
        """The first thing to do; what can wait only where there is nothing else, and it is due.

        That it is too small already is said by its result.
        """
        soon = self.today + timedelta(days=SOON_DAYS)
        for one in sorted(reading.dues, key=lambda one: one["kind"] in CAN_WAIT):
            day = date.fromisoformat(one["day"])
            if one["kind"] == DueKind.OUTGROWN and day <= self.today and reading.passes is False:
                continue
            last = self.today if one["kind"] in CAN_WAIT else soon
            if day <= last:
                sentence = _("Safety check.") if one["kind"] == LOOK else from_json(one["sentence"])
                return NextDue(day if day > self.today else None, sentence)
        return None


@require_GET
def space(request: HttpRequest) -> HttpResponse:
    person = coordinator_or_403(request)
    today, form = timezone.localdate(), SpaceForm(request.GET)
    readings = Reading.objects.fresh(today).filter(form.wanted())
    homes = as_read(Home.objects.all(), today, form.wanted("readings__"), every=not form.narrows)
    ordered = form.in_order(homes.filter(form.in_area()))
    page = Paginator(ordered, HOMES_A_PAGE).get_page(request.GET.get("page"))
    shown = SpaceView(person.units, today, is_drawn=request.GET.get("view") != "table")
    places = shown.places(list(page.object_list), readings)
    if page.number == 1 and not form.has_area:
        places += [one for one in [shown.nowhere(readings)] if one.cards]
    context = {
        "form": form,
        "page": page,
        "places": places,
        "totals": readings.filter(form.in_area("home__")).totals(),
        "shown": shown,
        "bar": BARS[person.units],
        "key": residence_key(),
        "any": form.is_used or bool(places),
        "rescue": Rescue.ours(),
    }
    return render(request, "board/space.html", context)


@require_GET
def former_address(request: HttpRequest) -> HttpResponse:
    """Up to 0.2.0 the page was called board; its addresses stand in bookmarks, with filters."""
    coordinator_or_403(request)
    asked = request.GET.urlencode()
    return redirect(reverse("space") + (f"?{asked}" if asked else ""), permanent=True)


def _numbered(names: list[str]) -> str:
    """The animals with the numbers that their floors have in the picture."""
    # Here and not in the template, which takes several times as long for a page of hundreds.
    return format_html_join(" ", "<span><b>{}</b>&nbsp;{}</span>", enumerate(names, 1))


def _to_look_at(readings: ReadingQuerySet) -> ReadingQuerySet:
    """What needs doing first, then by label."""
    ordered = readings.order_by("-urgency", "next_due", "enclosure__label", "enclosure")
    return ordered.select_related("enclosure")
