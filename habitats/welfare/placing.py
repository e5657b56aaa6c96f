"""Where newcomers could live today: enclosures that are free, and groups that they could join.

Asked once for a whole rescue. What is offered is checked by the space standard, by company and by
what the home can take; the same is checked again, with the real animals, when they move. Never
offered are an enclosure that does not stand, is unsafe or was exposed to an infection, company in
quarantine, and a group that may not take them. What is not known is told with the offer, and hides
none.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import NamedTuple

from habitats.welfare.alike import verdict_of
from habitats.welfare.companion import Companion
from habitats.welfare.company import company
from habitats.welfare.declining import HomeThere, PlaceThere, Why, at_home, declines
from habitats.welfare.holding import MOST_TRIED, most_more
from habitats.welfare.limits import DEFAULTS, WelfareLimits
from habitats.welfare.newcomers import Kind, Newcomers
from habitats.welfare.objection import Objection
from habitats.welfare.outgrowing import residents_on
from habitats.welfare.quarantine import in_quarantine
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.taking import blocks_newcomers
from habitats.welfare.values import Resident, Room, Species
from habitats.wording import message


class EnclosureThere(NamedTuple):
    """``stands``: it stands and needs no repair. ``is_suspected``: it was exposed to a
    suspected infection.

    ``species``: for which it was designed. ``home`` None: it stands in none.
    """

    ref: str
    species: Species
    room: Room
    stands: bool = True
    is_unsafe: bool = False
    is_suspected: bool = False
    home: HomeThere | None = None
    has_lid: bool = False


class GroupThere(NamedTuple):
    """``enclosure``: the ref of where it lives. ``overridden``: keys of objections let be."""

    ref: str
    enclosure: str
    species: Species
    companions: tuple[Companion, ...]
    overridden: frozenset[str] = frozenset()
    is_suspected: bool = False


class OfferCaution(NamedTuple):
    """What to weigh before an offer is taken."""

    code: str
    sentence: str


class RoomOffer(NamedTuple):
    """``group`` None: the enclosure is free. ``takes``: how many such newcomers have the space, at
    most; None: that cannot be told, and a caution says why."""

    enclosure: str
    group: str | None
    takes: int | None
    cautions: tuple[OfferCaution, ...] = ()


class Declined(NamedTuple):
    """Not offered. ``sentence`` says more where there is more to say than ``why`` does.

    ``takes``: how many such newcomers have the space, where that is the reason.
    """

    enclosure: str
    group: str | None
    why: Why
    sentence: str = ""
    takes: int | None = None


class RoomOffers(NamedTuple):
    """Each of the tightest first, so that the large ones stay for those who need them."""

    free: tuple[RoomOffer, ...]
    groups: tuple[RoomOffer, ...]
    declined: tuple[Declined, ...]


def room_for(
    newcomers: Newcomers,
    enclosures: Sequence[EnclosureThere],
    groups: Sequence[GroupThere],
    rules: RuleSet | None,
    today: date,
    limits: WelfareLimits = DEFAULTS,
) -> RoomOffers:
    """Every enclosure is either offered or declined, by itself or with the group living in it.

    ``rules``: the chosen space standard for this species; None: none is chosen, and no space is
    checked.
    """
    asked = _Asked(newcomers, rules, today, limits)
    living = {one.enclosure: one for one in groups}
    answers = [asked.about(one, living.get(one.ref)) for one in enclosures]
    offers = sorted((one for one in answers if isinstance(one, RoomOffer)), key=_tightest)
    return RoomOffers(
        free=tuple(one for one in offers if one.group is None),
        groups=tuple(one for one in offers if one.group is not None),
        declined=tuple(one for one in answers if isinstance(one, Declined)),
    )


@dataclass(frozen=True)  # without slots: what was worked out is kept
class _Asked:
    newcomers: Newcomers
    rules: RuleSet | None
    today: date
    limits: WelfareLimits

    @cached_property
    def coming(self) -> tuple[Companion, ...]:
        return self.newcomers.companions(self.today)

    @cached_property
    def grown(self) -> tuple[Companion, ...]:
        return self.newcomers.grown(self.today)

    @cached_property
    def refs(self) -> frozenset[str]:
        return frozenset(one.ref for one in self.coming)

    def about(self, place: EnclosureThere, group: GroupThere | None) -> RoomOffer | Declined:
        why = declines(self._there(place, group), self.newcomers)
        if why is not None:
            return Declined(place.ref, group.ref if group else None, why)
        return self._judged(place, group)

    def _there(self, place: EnclosureThere, group: GroupThere | None) -> PlaceThere:
        living = group.companions if group else ()
        return PlaceThere(
            ref=place.ref,
            built_for=place.species,
            stands=place.stands,
            is_unsafe=place.is_unsafe,
            is_suspected=place.is_suspected or (group is not None and group.is_suspected),
            home=place.home,
            group=group.ref if group else None,
            species=frozenset({group.species, *(one.species for one in living)})
            if group
            else frozenset(),
            has_animals=bool(living),
            in_quarantine=any(in_quarantine(one, self.today, self.limits) for one in living),
            has_lid=place.has_lid,
        )

    def _judged(self, place: EnclosureThere, group: GroupThere | None) -> RoomOffer | Declined:
        """By the space standard, and, since that takes longer, by company after it."""
        who, members = (group.ref, group.companions) if group else (None, ())
        passes, takes = self._space(place.room, members)
        # One that is alone is refused for that, whatever the floor.
        objections = self._company(members) if passes is not False or not members else ()
        overridden = group.overridden if group else frozenset()
        block = next((one for one in objections if blocks_newcomers(one, overridden)), None)
        if block:
            return Declined(place.ref, who, Why.COMPANY, block.sentence)
        takes = at_home(takes, place.home)
        if passes is False:
            return Declined(place.ref, who, Why.TOO_SMALL, takes=takes)
        cautions = (
            *self._of_space(passes, members),
            *home_cautions(place.home, self.newcomers),
            *self._of_company(objections),
        )
        return RoomOffer(place.ref, who, takes if passes else None, cautions)

    def _space(self, room: Room, members: Sequence[Companion]) -> tuple[bool | None, int | None]:
        """Whether there is space for all who come, and for how many such there is."""
        if self.rules is None:
            return None, None
        residents = self._residents(members)
        passes = verdict_of(self.rules, room, residents).passes
        # Of a litter only the young are more or fewer; there is one mother.
        mothers = 1 if self.newcomers.kind is Kind.LITTER else 0
        beside = residents[: len(members) + mothers]
        more = most_more(room, self.rules, beside, residents[-1])
        return passes, min(more + mothers, MOST_TRIED) if more else 0

    def _residents(self, members: Sequence[Companion]) -> tuple[Resident, ...]:
        return residents_on([*members, *self.grown], self.today)

    def _company(self, members: Sequence[Companion]) -> tuple[Objection, ...]:
        if not members:
            return self._among_themselves
        return self._objections([*members, *self.coming])

    @cached_property
    def _among_themselves(self) -> tuple[Objection, ...]:
        return self._objections(self.coming)

    def _objections(self, animals: Sequence[Companion]) -> tuple[Objection, ...]:
        never_singly = self.rules.never_singly if self.rules else None
        return company(animals, self.today, never_singly=never_singly, limits=self.limits)

    def _of_space(
        self, passes: bool | None, members: Sequence[Companion]
    ) -> Iterator[OfferCaution]:
        if self.rules is None:
            yield OfferCaution(
                "no_standard", message("No space standard is chosen: check the floor.")
            )
        elif passes is None and not self.rules.floor.covers(self._residents(members)):
            none = message("The space standard has no figure for so many: check the floor.")
            yield OfferCaution("no_figure", none)
        elif passes is None:
            yield OfferCaution("not_measured", message("A size was not measured: check the space."))

    def _of_company(self, objections: Sequence[Objection]) -> Iterator[OfferCaution]:
        """What newcomers bring: once for each reason and each animal that lives there."""
        told = set()
        for one in objections:
            others = frozenset(one.animals) - self.refs
            if len(others) < len(one.animals) and (one.code, others) not in told:
                told.add((one.code, others))
                yield OfferCaution(one.code, one.sentence)


def home_cautions(home: HomeThere | None, newcomers: Newcomers) -> Iterator[OfferCaution]:
    """What to weigh about the home of an offer, by quarantine. None: it stands in no home."""
    if home is None:
        yield OfferCaution("no_home", message("It stands in no home: choose one first."))
    elif newcomers.in_quarantine:
        if home.lived_in and home.quarantined >= home.isolation_places:
            others = message("The home has other animals and no free isolation place.")
            yield OfferCaution("not_isolated", others)
    elif home.quarantined > home.isolation_places:
        ill = message("Animals in quarantine live in this home without an isolation place.")
        yield OfferCaution("beside_quarantine", ill)


def _tightest(offer: RoomOffer) -> tuple[bool, int, int]:
    return tightness(offer.takes, len(offer.cautions))


def tightness(takes: int | None, cautions: int) -> tuple[bool, int, int]:
    """By which offers are in order: what is known first, then by cautions, then by room.

    ``takes`` None: how many have the space is not known.
    """
    return takes is None, cautions, takes or 0
