"""Cards of the page of space: each enclosure drawn, with what to know and to do first."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any, NamedTuple

from django.utils.html import format_html_join
from django.utils.translation import gettext as _

from habitats import measures
from habitats.animals.pages.words import against_company
from habitats.common.written import given, given_keys, written
from habitats.drawing.residence import Residence, widest_mm
from habitats.enclosures.models.enclosures import EnclosureState
from habitats.homes.models.absences import Absence
from habitats.homes.models.homes import Home
from habitats.readings.models.due_rows import CAN_WAIT, SAFETY_CHECK, DueRow
from habitats.readings.models.reading_off import SOON_DAYS, Urgency
from habitats.readings.models.readings import Reading, ReadingQuerySet
from habitats.readings.pages import space_result
from habitats.rescue.pages.floor_pictures import picture_of
from habitats.rescue.pages.verdicts import SpaceResult
from habitats.stored_wording import from_json
from habitats.welfare.ahead import DueKind

MOST_IN_NO_HOME = 12
SOON = timedelta(days=SOON_DAYS)
WIDE_MM = 6000  # what a phone shows of a floor
SAYS_ITSELF = (
    EnclosureState.IN_USE,
    EnclosureState.STANDING,
)  # states that the rest of a card tells


class ScaleBar(NamedTuple):
    """The bar that tells the scale: its length and its far tick in px, and what it stands for."""

    px: str
    end: str
    words: str


# So that dozens of enclosures come on a screen; more than on pages that show a few.
PAGE_MM_PER_UNIT = 20.0
BARS = {
    measures.METRIC: ScaleBar("50", "49.25", "1 m"),
    measures.INCHES: ScaleBar("45.72", "44.97", "3 ft"),
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
    def against_company(self) -> str:
        return against_company(self.reading.animals)

    @property
    def is_wrong(self) -> bool:
        return self.reading.urgency == Urgency.WRONG


class HomeSpace(NamedTuple):
    """A home and those of its enclosures that are wanted. ``home`` None: they stand in none.

    ``away``: its days, today or soon; empty where it is there.
    """

    home: Home | None
    cards: list[Card]
    left_out: int = 0
    away: str = ""


class SpaceView(NamedTuple):
    """How the page is read: by whom, on which day, as drawings or as a table."""

    units: str
    today: date
    is_drawn: bool

    def places(self, homes: Sequence[Home], readings: ReadingQuerySet | None) -> list[HomeSpace]:
        """The homes in their order, each with its cards; so many queries for any number.

        ``readings`` None: all of the day.
        """
        absences = Absence.objects.all().by_home([one.pk for one in homes], self.today)
        away = {key: absence.words for key, absence in absences.items()}
        found = defaultdict(list)
        keys = [one.pk for one in homes]
        wanted = (
            _THERE(homes=keys, day=self.today)
            if readings is None
            else list(_to_look_at(readings.filter(home__in=keys)))
        )
        for reading in with_dues(wanted, self.today):
            found[reading.home_id].append(self.card(reading))
        return [HomeSpace(home, found[home.pk], away=away.get(home.pk, "")) for home in homes]

    def nowhere(self, readings: ReadingQuerySet | None) -> HomeSpace:
        """Enclosures that stand in no home, the first of them."""
        homeless = (
            _NOWHERE(day=self.today)
            if readings is None
            else list(_to_look_at(readings.filter(home__isnull=True)))
        )
        cards = [self.card(one) for one in with_dues(homeless[:MOST_IN_NO_HOME], self.today)]
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
        return picture_of(residence, reading.enclosure.label, names, self.units, PAGE_MM_PER_UNIT)

    def _due(self, reading: Reading) -> NextDue | None:
        """The first thing to do; what can wait only where there is nothing else, and it is due.

        That it is too small already is said by its result.
        """
        soon = self.today + SOON
        rows: list[_DueThere] = vars(reading)["dues"]
        for one in sorted(rows, key=lambda one: (one.can_wait, one.day, one.pk)):
            if one.kind == DueKind.OUTGROWN and one.day <= self.today and reading.passes is False:
                continue
            if one.day <= (self.today if one.can_wait else soon):
                sentence = _("Safety check.") if one.kind == SAFETY_CHECK else one.sentence
                return NextDue(one.day if one.day > self.today else None, sentence)
        return None


def _numbered(names: list[str]) -> str:
    """The animals with the numbers that their floors have in the picture."""
    # Here and not in the template, which takes several times as long for a page of hundreds.
    return format_html_join(" ", "<span><b>{}</b>&nbsp;{}</span>", enumerate(names, 1))


def with_dues(readings: Sequence[Reading], today: date) -> Sequence[Reading]:
    """The readings, with what their cards may tell as due: one query."""
    dues: dict[int, list[_DueThere]] = defaultdict(list)
    asked = {"enclosures": [one.enclosure_id for one in readings], "until": today + SOON}
    for enclosure, *told in _DUES(**asked) if readings else ():
        dues[enclosure].append(_DueThere(*told))
    for one in readings:
        vars(one)["dues"] = dues[one.enclosure_id]
    return readings


class _DueThere(NamedTuple):
    """A ``DueRow``, as much as a card asks for: a page has hundreds."""

    pk: int
    kind: str
    day: date
    sentence_json: Any

    @property
    def can_wait(self) -> bool:
        return self.kind in CAN_WAIT

    @property
    def sentence(self) -> str:
        return from_json(self.sentence_json)


def _to_look_at(readings: ReadingQuerySet) -> ReadingQuerySet:
    """What needs doing first, then by label."""
    ordered = readings.order_by("-urgency", "next_due", "enclosure__label", "enclosure")
    return ordered.select_related("enclosure").defer("takes")


_TODAY = given("day", date)
_THERE = written(
    lambda: _to_look_at(Reading.objects.filter(day=_TODAY, home__in=given_keys("homes")))
)
_NOWHERE = written(lambda: _to_look_at(Reading.objects.filter(day=_TODAY, home__isnull=True)))
_DUES = written(
    lambda: (
        DueRow.objects.of_animals()
        .filter(enclosure__in=given_keys("enclosures"), day__lte=given("until", date))
        .values_list("enclosure", "pk", "kind", "day", "sentence_json")
    )
)
