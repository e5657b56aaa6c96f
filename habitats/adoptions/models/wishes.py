"""The waiting list: what adopters wish for, matched against who is ready to leave."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import NamedTuple, Self

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from habitats.adoptions.models.adopters import Adopter
from habitats.adoptions.models.adoptions import AdoptedAnimal
from habitats.animals.models.animals import Animal
from habitats.animals.models.companions import companions_of, load_with_facts
from habitats.animals.models.company import animals_by_group
from habitats.animals.models.groups import Group, Membership
from habitats.common.idempotency import Idempotent
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import limits_of
from habitats.structure.design import Species
from habitats.welfare.limits import WelfareLimits
from habitats.welfare.matching import Ready, WantedAnimals, misses
from habitats.welfare.values import Sex
from habitats.wording import joined, listed

MOST_WISHED, MOST_MONTHS = 12, 240
# Groups and lone animals that are looked through for wishes, those longest in our care first. Most
# wishes are met by the first few, so these are read before the others.
MOST_CANDIDATES, FIRST_LOOK = 200, 40


class WishQuerySet(models.QuerySet["Wish"]):
    def open(self) -> Self:
        return self.filter(closed_on__isnull=True)

    def longest_first(self) -> Self:
        return self.order_by("since", "pk")


class Wish(Idempotent):
    """``number`` animals; an empty ``sex`` is either. ``has_company``: one may come alone."""

    adopter = models.ForeignKey(Adopter, on_delete=models.PROTECT, related_name="wishes")
    species = models.CharField(max_length=20, choices=[(one.value, one.value) for one in Species])
    number = models.PositiveSmallIntegerField(default=2)
    sex = models.CharField(max_length=1, choices=Animal.Sex, blank=True)
    from_months = models.PositiveSmallIntegerField(null=True, blank=True)
    to_months = models.PositiveSmallIntegerField(null=True, blank=True)
    has_company = models.BooleanField(default=False)
    notes = models.TextField(max_length=1000, blank=True)
    since = models.DateField()
    closed_on = models.DateField(null=True, editable=False)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", editable=False
    )
    made_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = WishQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="a_wish_is_for_a_few", condition=models.Q(number__range=(1, MOST_WISHED))
            ),
            models.CheckConstraint(
                name="wished_ages_rise",
                condition=models.Q(from_months__isnull=True)
                | models.Q(to_months__isnull=True)
                | models.Q(to_months__gte=models.F("from_months")),
            ),
        ]

    def __str__(self) -> str:
        return str(joined(", ", self._words()))

    def _words(self) -> list[str]:
        words = [_number_words(self.number, self.species)]
        if self.sex:
            words.append(_("all female") if self.sex == Animal.Sex.FEMALE else _("all male"))
        first, last = self.from_months, self.to_months
        if first is not None and last is not None:
            months = {"first": first, "last": last}
            words.append(_("%(first)d to %(last)d months old") % months)
        elif first is not None:
            words.append(_("%(first)d months or older") % {"first": first})
        elif last is not None:
            words.append(_("up to %(last)d months old") % {"last": last})
        if self.has_company:
            words.append(_("company at home"))
        return words

    @property
    def wanted(self) -> WantedAnimals:
        return WantedAnimals(
            Species(self.species),
            self.number,
            Sex(self.sex) if self.sex else None,
            self.from_months,
            self.to_months,
            self.has_company,
        )


def _number_words(number: int, species: str) -> str:
    if species == Species.RABBIT:
        return ngettext("%(count)d rabbit", "%(count)d rabbits", number) % {"count": number}
    return ngettext("%(count)d guinea pig", "%(count)d guinea pigs", number) % {"count": number}


class Match(NamedTuple):
    """Animals that fit, or would but for ``why``; ``group`` None: one in no group."""

    animals: tuple[Animal, ...]
    group: Group | None
    why: str = ""

    @property
    def names(self) -> str:
        return str(listed([one.name for one in self.animals]))


class Matches(NamedTuple):
    fits: list[Match]
    near: list[Match]


class EnoughMatches(NamedTuple):
    """How many who fit a wish are enough, and how many who would but for one reason."""

    fits: int
    near: int

    def is_met(self, matches: Matches) -> bool:
        return len(matches.fits) >= self.fits and len(matches.near) >= self.near


class _WishOutline(NamedTuple):
    """As much of a group, or of one in no group, as one question tells of all of them.

    ``group`` and ``animal`` are keys, and one of them is None; ``sexes`` counts females and males.
    """

    group: int | None
    animal: int | None
    species: str
    number: int
    sexes: dict[str, int]

    def misses(self, wish: Wish) -> int:
        """At least so many things keep them from fitting."""
        is_other = self.number != wish.number
        return is_other + bool(wish.sex and self.sexes[wish.sex] != self.number)


class _Candidate(NamedTuple):
    ready: Ready
    animals: tuple[Animal, ...]
    group: Group | None


def matches_of(
    wishes: Collection[Wish], day: date, rescue: Rescue, enough: EnoughMatches
) -> dict[int, Matches]:
    """By wish, ``enough`` of each; it looks twice at most, however many wishes and animals."""
    limits, outlines = limits_of(rescue), _outlines(wishes, day, enough)
    found = {wish.pk: Matches([], []) for wish in wishes}
    for some in (outlines[:FIRST_LOOK], outlines[FIRST_LOOK:]):
        open_ = [wish for wish in wishes if not enough.is_met(found[wish.pk])]
        asked = [one for one in some if any(_is_asked(one, wish, found, enough) for wish in open_)]
        for candidate in _candidates(asked, day):
            for wish in open_:
                _match(candidate, wish, found[wish.pk], day, limits)
    return {
        key: Matches(one.fits[: enough.fits], one.near[: enough.near]) for key, one in found.items()
    }


def _is_asked(
    outline: _WishOutline, wish: Wish, found: Mapping[int, Matches], enough: EnoughMatches
) -> bool:
    """Whether they may yet be among those who are told."""
    missing, matches = outline.misses(wish), found[wish.pk]
    if outline.species != wish.species or missing > 1:
        return False
    may_fit = not missing and len(matches.fits) < enough.fits
    return may_fit or len(matches.near) < enough.near


def _match(one: _Candidate, wish: Wish, matches: Matches, day: date, limits: WelfareLimits) -> None:
    if one.animals[0].species != wish.species:
        return
    why = misses(wish.wanted, one.ready, day, limits)
    if not why:
        matches.fits.append(Match(one.animals, one.group))
    elif len(why) == 1:
        matches.near.append(Match(one.animals, one.group, str(why[0])))


class WaitingWish(NamedTuple):
    """A wish that fits an animal and those it lives with, or would but for ``why``."""

    wish: Wish
    why: str


def wishes_for(animal: Animal, day: date, rescue: Rescue) -> list[WaitingWish]:
    """Those that fit first; one query where nobody waits."""
    wishes = Wish.objects.open().filter(species=animal.species).select_related("adopter")
    waiting = list(wishes.longest_first())
    if not waiting or not animal.is_here:
        return []
    group = animal.memberships.on(day).values_list("group", flat=True).first()
    found = _ready_groups([group], day) if group else _ready_alone([animal.pk], day)
    limits = limits_of(rescue)
    rows = [
        (why, wish)
        for one in found
        for wish in waiting
        if len(why := misses(wish.wanted, one.ready, day, limits)) <= 1
    ]
    rows.sort(key=lambda row: len(row[0]))
    return [WaitingWish(wish, str(why[0]) if why else "") for why, wish in rows]


def _outlines(wishes: Collection[Wish], day: date, enough: EnoughMatches) -> list[_WishOutline]:
    """Those that one thing at most keeps from fitting; first the groups, and first whose number is
    wished for."""
    found = [*_groups(wishes, day), *_alone(wishes, day)]
    most = 1 if enough.near else 0
    told = [
        (min(one.misses(wish) for wish in wishes if wish.species == one.species), one)
        for one in found
    ]
    told.sort(key=lambda pair: pair[0])
    return [one for missing, one in told if missing <= most][:MOST_CANDIDATES]


def _groups(wishes: Iterable[Wish], day: date) -> Iterator[_WishOutline]:
    sizes = {one.number + more for one in wishes for more in (-1, 0, 1)}
    # Who fits no home of ours is not in our care.
    living = Membership.objects.on(day).filter(
        group__species__in={one.species for one in wishes}, animal__left_on=None
    )
    counted = living.values("group").annotate(
        number=models.Count("pk"),
        females=models.Count("pk", filter=models.Q(animal__sex=Animal.Sex.FEMALE)),
        males=models.Count("pk", filter=models.Q(animal__sex=Animal.Sex.MALE)),
        came=models.Min("animal__came_on"),
    )
    groups = counted.filter(number__in=sizes).order_by("came", "group")
    for key, species, number, females, males in groups.values_list(
        "group", "group__species", "number", "females", "males"
    ):
        sexes = {Animal.Sex.FEMALE.value: females, Animal.Sex.MALE.value: males}
        yield _WishOutline(key, None, species, number, sexes)


def _alone(wishes: Iterable[Wish], day: date) -> Iterator[_WishOutline]:
    species = {one.species for one in wishes if one.number <= 2}
    if not species:
        return
    alone = Animal.objects.here().filter(species__in=species).without_group(day)
    for key, kind, sex in alone.order_by("came_on", "pk").values_list("pk", "species", "sex"):
        sexes = {one: int(sex == one) for one in (Animal.Sex.FEMALE.value, Animal.Sex.MALE.value)}
        yield _WishOutline(None, key, kind, 1, sexes)


def _candidates(outlines: Sequence[_WishOutline], day: date) -> list[_Candidate]:
    groups = [one.group for one in outlines if one.group]
    alone = [one.animal for one in outlines if one.animal]
    found = _ready_groups(groups, day) if groups else []
    return found + (_ready_alone(alone, day) if alone else [])


def _ready_groups(groups: Sequence[int], day: date) -> list[_Candidate]:
    together = animals_by_group(groups, day)
    rows = {one.pk: one for one in Group.objects.filter(pk__in=groups)}
    taken = _taken([one.pk for some in together.values() for one in some])
    return [_candidate(tuple(together[key]), rows[key], taken) for key in groups if key in together]


def _ready_alone(animals: Sequence[int], day: date) -> list[_Candidate]:
    rows = {one.pk: one for one in load_with_facts(animals, day)}
    taken = _taken(animals)
    return [_candidate((rows[key],), None, taken) for key in animals if key in rows]


def _candidate(
    animals: tuple[Animal, ...], group: Group | None, taken: Collection[int]
) -> _Candidate:
    is_taken = any(one.pk in taken for one in animals)
    ref = group.code if group else animals[0].code
    return _Candidate(Ready(ref, companions_of(animals), is_taken), animals, group)


def _taken(animals: Collection[int]) -> set[int]:
    rows = AdoptedAnimal.objects.open().filter(animal__in=animals)
    return set(rows.values_list("animal", flat=True))
