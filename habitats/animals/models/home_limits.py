"""The door of a home: whatever brings animals into one is judged under its lock.

Two people who move groups into one home at the same moment wait for each other here. The second is
judged with what the first recorded, and reads what the home can take before it is passed.
"""

from collections.abc import Collection, Iterator, Sequence
from contextlib import contextmanager
from typing import Any, NamedTuple, TypeVar

from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from habitats.animals.models.acts import ActPart, watching
from habitats.animals.models.groups import Membership
from habitats.animals.models.stays import Stay
from habitats.common.happened import Elsewhere, Span
from habitats.enclosures.models.enclosures import Enclosure
from habitats.enclosures.models.standing import Standing
from habitats.homes.models.absences import Absence
from habitats.homes.models.homes import Home

BETWEEN = ","
_Span = TypeVar("_Span", bound=Span)


class LimitPassed(NamedTuple):
    """``key``: the same for as long as the sentence is; who has read it may go on. Empty: nobody
    may.
    """

    key: str
    sentence: str


class PastLimit(Elsewhere):
    """It would pass what a home can take, and nobody said that it is meant so."""

    def __init__(self, passed: Sequence[LimitPassed]) -> None:
        self.passed = tuple(passed)
        super().__init__(" ".join(one.sentence for one in passed))

    @property
    def question(self) -> str:
        """For a form that is shown again."""
        words = _("%(limits)s Save again if it is to be so, or choose another place.")
        return words % {"limits": self}


class LimitWords(NamedTuple):
    """What is said of more animals than a home can look after, and of more enclosures."""

    animals: str
    enclosures: str

    @classmethod
    def after_a_move(cls) -> "LimitWords":
        return cls(
            _("Animals in %(home)s after the move: %(number)d. It can look after %(most)d."),
            _(
                "Enclosures in use in %(home)s after the move: %(number)d. "
                "It can look after %(most)d."
            ),
        )

    @classmethod
    def with_young(cls) -> "LimitWords":
        return cls(
            _("Animals in %(home)s with this litter: %(number)d. It can look after %(most)d."),
            _("Enclosures in use in %(home)s: %(number)d. It can look after %(most)d."),
        )


class Living(NamedTuple):
    """Who lives in a home: enclosures with animals in them, and these animals."""

    enclosures: int
    animals: frozenset[int]


def numbers_passed(
    home: Home, enclosures: int, animals: int, words: LimitWords | None = None
) -> Iterator[LimitPassed]:
    """Of so many after a move, those that are more than the home can look after."""
    words = words or LimitWords.after_a_move()
    if home.most_animals is not None and animals > home.most_animals:
        values = {"home": home, "number": animals, "most": home.most_animals}
        yield LimitPassed(f"{home.code}.animals.{animals}", words.animals % values)
    if enclosures > home.most_enclosures:
        values = {"home": home, "number": enclosures, "most": home.most_enclosures}
        yield LimitPassed(f"{home.code}.enclosures.{enclosures}", words.enclosures % values)


def away_now(home: Home, absence: Absence) -> LimitPassed:
    words = _("%(home)s is %(absence)s.") % {"home": home, "absence": absence.words}
    return LimitPassed(f"{home.code}.away.{absence.pk}", words)


@contextmanager
def judged_at_the_door(known: Collection[str] = ()) -> Iterator[None]:
    """What is done inside brings animals into homes, or nothing is done.

    ``known``: keys of what was read before. Raises ``PastLimit`` for what was not, where this makes
    it worse: what was so already may stay so.
    """
    with transaction.atomic(), watching() as parts:
        yield
        passed = [one for one in _passed(parts) if not one.key or one.key not in known]
        if passed:
            raise PastLimit(passed)


@contextmanager
def told_at_the_door() -> Iterator[list[LimitPassed]]:
    """As ``judged_at_the_door``, of young that are born whether or not a home can take them.

    Nothing is refused: what is passed is in the list, once all is done.
    """
    told: list[LimitPassed] = []
    with transaction.atomic(), watching() as parts:
        yield told
        told.extend(_passed(parts, LimitWords.with_young()))


def _passed(parts: Sequence[ActPart], words: LimitWords | None = None) -> Iterator[LimitPassed]:
    noted = _Noted.of(parts)
    homes = _locked(noted)
    if not homes:
        return
    now, before = _living(homes, noted)
    absences = Absence.objects.on(timezone.localdate()).filter(home__in=homes)
    away = {one.home_id: one for one in absences.order_by("-first_day", "-pk")}
    for home in homes:
        if home.is_closed:
            yield LimitPassed("", _("%(home)s is closed. Reopen it first.") % {"home": home})
        there, was = now(home.pk), before(home.pk)
        if there.animals - was.animals and home.pk in away:
            yield away_now(home, away[home.pk])
        enclosures = there.enclosures if there.enclosures > was.enclosures else 0
        animals = len(there.animals) if len(there.animals) > len(was.animals) else 0
        yield from numbers_passed(home, enclosures, animals, words)


class _Opened(NamedTuple):
    """Of one kind of span: keys of those that began or were opened again, and those that ended."""

    opened: frozenset[int]
    closed: tuple[Any, ...]

    @classmethod
    def of(cls, parts: Sequence[ActPart], name: str, model: type[Span]) -> "_Opened":
        noted = [(one, getattr(one, name)) for one in parts if getattr(one, name)]
        spans = {span.pk: span for _part, span in noted}
        begun = {span.pk for part, span in noted if part.has_begun}
        is_open = models.Q(pk__in=spans, until__isnull=True)
        opened = frozenset(model._default_manager.filter(is_open).values_list("pk", flat=True))
        ended = spans.keys() - opened - begun
        return cls(opened, tuple(spans[key] for key in sorted(ended)))


class _Noted(NamedTuple):
    standings: _Opened
    stays: _Opened
    memberships: _Opened

    @classmethod
    def of(cls, parts: Sequence[ActPart]) -> "_Noted":
        return cls(
            _Opened.of(parts, "standing", Standing),
            _Opened.of(parts, "stay", Stay),
            _Opened.of(parts, "membership", Membership),
        )


def _locked(noted: _Noted) -> list[Home]:
    """Homes into which somebody may have come, until the end of the transaction.

    Enclosures before homes, as everywhere, so that nobody waits for each other.
    """
    joined = Membership.objects.filter(pk__in=noted.memberships.opened).values("group")
    stays = Stay.objects.open().filter(
        models.Q(pk__in=noted.stays.opened) | models.Q(group__in=joined)
    )
    standings = Standing.objects.filter(pk__in=noted.standings.opened)
    touched = models.Q(pk__in=stays.values("enclosure")) | models.Q(
        pk__in=standings.values("enclosure")
    )
    keys = list(Enclosure.objects.filter(touched).values_list("pk", flat=True))
    if not keys:
        return []
    list(
        Enclosure.objects.select_for_update(no_key=True)
        .filter(pk__in=keys)
        .order_by("pk")
        .values("pk")
    )
    there = Standing.objects.open().filter(enclosure__in=keys).values("home")
    return list(Home.objects.select_for_update(no_key=True).filter(pk__in=there).order_by("pk"))


class _There(NamedTuple):
    """Pairs of keys: an enclosure and its home, a group and its enclosure, an animal and its
    group."""

    standings: frozenset[tuple[int, int]]
    stays: frozenset[tuple[int, int]]
    memberships: frozenset[tuple[int, int]]

    def __call__(self, home: int) -> Living:
        inside = {enclosure for enclosure, where in self.standings if where == home}
        groups = {group: where for group, where in self.stays if where in inside}
        animals = [(animal, groups[group]) for animal, group in self.memberships if group in groups]
        return Living(len({where for _animal, where in animals}), frozenset(a for a, _w in animals))


def _living(homes: Sequence[Home], noted: _Noted) -> tuple[_There, _There]:
    """As it is now, and as it was before what was noted."""
    standings = _pairs(
        Standing.objects.open().filter(home__in=homes), noted.standings, "enclosure_id", "home_id"
    )
    enclosures = {one for some in standings for one, _home in some}
    stays = _pairs(
        Stay.objects.open().filter(enclosure__in=enclosures),
        noted.stays,
        "group_id",
        "enclosure_id",
    )
    groups = {one for some in stays for one, _enclosure in some}
    members = _pairs(
        Membership.objects.open().filter(group__in=groups),
        noted.memberships,
        "animal_id",
        "group_id",
    )
    now, before = zip(standings, stays, members, strict=True)
    return _There(*now), _There(*before)


def _pairs(
    is_open: models.QuerySet[_Span], noted: _Opened, inner: str, outer: str
) -> tuple[frozenset[tuple[int, int]], frozenset[tuple[int, int]]]:
    rows = list(is_open.values_list("pk", inner, outer))
    was = {(getattr(one, inner), getattr(one, outer)) for one in noted.closed}
    was |= {(one, two) for key, one, two in rows if key not in noted.opened}
    return frozenset((one, two) for _key, one, two in rows), frozenset(was)
