"""What speaks against an adoption: the animals, whom they leave, the enclosure they go to.

All of it is asked of the rules that judge groups and enclosures of ours.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import NamedTuple

from habitats.adoptions.models.adoptions import Adoption, AdoptionOverride, Visit
from habitats.adoptions.models.home_checks import HomeCheck
from habitats.animals.models.animals import Animal
from habitats.animals.models.companions import companions_of, with_facts
from habitats.animals.models.company import animals_by_group
from habitats.animals.models.groups import Membership, Override
from habitats.animals.models.objections import brought_by
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import limits_of, objections_to, rules_of
from habitats.rescue.pages.verdicts import VerdictCard, amounts_compared, card_of
from habitats.source import PRACTICE, Known, Source
from habitats.structure.design import Species
from habitats.welfare.alike import verdict_of
from habitats.welfare.companion import Companion
from habitats.welfare.company import OF_ONE_ALONE
from habitats.welfare.litters import POSSIBLE_LITTER
from habitats.welfare.new_home import CompanyAtHome, against_company
from habitats.welfare.objection import Objection, OverrideTerms, Severity, warning
from habitats.welfare.outgrowing import residents_on
from habitats.welfare.rehoming import not_split, unready
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.values import Bound, Clause, Verdict
from habitats.welfare.words import MANY, day_words
from habitats.wording import joined, message

UNCHECKED, TOO_SMALL, UNTOLD = "home_unchecked", "home_too_small", "home_untold"
UNSUITABLE = "visit_unsuitable"


class Reason(NamedTuple):
    """``key`` names it at the next step too. ``override``: who let it be, None: nobody did."""

    key: str
    objection: Objection
    override: AdoptionOverride | None = None
    also: str = ""
    to_weigh: None = None

    @property
    def is_block(self) -> bool:
        return self.objection.severity is Severity.BLOCK

    @property
    def is_final(self) -> bool:
        """Nobody's word mends it."""
        return self.objection.override is OverrideTerms.NEVER


class Going(NamedTuple):
    """Animals that go, and those of their groups who stay, as they are on a day."""

    going: tuple[Companion, ...]
    groups: tuple[tuple[Companion, ...], ...]
    group_keys: tuple[int, ...]


def going_with(animals: Iterable[Animal], day: date) -> Going:
    """With all of their groups."""
    keys = [one.pk for one in animals]
    groups = Membership.objects.on(day).filter(animal__in=keys).values_list("group", flat=True)
    together = animals_by_group(set(groups), day)
    grouped = {one.pk for some in together.values() for one in some}
    alone = with_facts(Animal.objects.filter(pk__in=set(keys) - grouped).by_name(), day)
    found = [*(one for some in together.values() for one in some if one.pk in keys), *alone]
    return Going(
        companions_of(sorted(found, key=lambda one: (one.name, one.pk))),
        tuple(companions_of(some) for some in together.values()),
        tuple(together),
    )


def objections_to_going(
    going: Going, at_home: CompanyAtHome, day: date, rescue: Rescue
) -> list[Objection]:
    """Against these animals leaving together, as far as no enclosure is asked about."""
    limits = limits_of(rescue)
    found = [one for animal in going.going for one in unready(animal, day, limits)]
    found += not_split(going.going, going.groups)
    found += _among_themselves(going, at_home, day, rescue)
    found += against_company(going.going, at_home, day, limits)
    for group in going.groups:
        found += _left_behind(group, going.going, day, rescue)
    return sorted(found, key=lambda one: one.severity is not Severity.BLOCK)


def _among_themselves(
    going: Going, at_home: CompanyAtHome, day: date, rescue: Rescue
) -> Iterator[Objection]:
    """What company says of them, but for what was let be where they live together now."""
    let_be = {one.key for one in Override.objects.holding(going.group_keys)}
    for one in objections_to(going.going, day, rescue):
        if at_home.number and one.code in OF_ONE_ALONE:
            continue
        # Said of each animal that leaves (``rehoming``), in words for its adopter.
        if one.code != POSSIBLE_LITTER and one.key not in let_be:
            yield one


def _left_behind(
    group: Sequence[Companion], going: Sequence[Companion], day: date, rescue: Rescue
) -> Iterator[Objection]:
    refs = {one.ref for one in going}
    left = [one for one in group if one.ref not in refs]
    if not left or len(left) == len(group):
        return
    brought = brought_by(group, left, day, rescue)
    yield from (*brought.stops, *brought.asks)
    for one in brought.stays:
        # One that is left alone: the adoption does it, so it wants a reason.
        yield warning(one.code, one.animals, one.sentence, one.source, basis=one.basis)


# --- The enclosure they go to ---


def home_card(
    adoption: Adoption,
    check: HomeCheck,
    going: Sequence[Companion],
    day: date,
    rescue: Rescue,
    units: str,
) -> VerdictCard | None:
    """What the chosen standard says of the home, with the animals there; None: it cannot say."""
    rules, room = rules_of(rescue, adoption.species), check.room()
    if rules is None or room is None or not going:
        return None
    residents = [*residents_on(going, day), *adoption.at_home.residents()]
    return card_of(rules, verdict_of(rules, room, residents), units)


def kind_unchecked(adoption: Adoption, rescue: Rescue) -> str:
    """The species, in the plural, if no standard is chosen for it: neither the space there nor
    keeping one alone is then checked against any. Else empty."""
    if rules_of(rescue, adoption.species):
        return ""
    return str(MANY[Species(adoption.species)])


def objection_to_home(
    adoption: Adoption,
    check: HomeCheck | None,
    going: Sequence[Companion],
    day: date,
    rescue: Rescue,
    units: str,
) -> Objection | None:
    """None where it is enough, and where no standard is chosen that could tell."""
    rules = rules_of(rescue, adoption.species)
    if rules is None or not going:
        return None
    refs = tuple(one.ref for one in going)
    if check is None:
        sentence = message(
            "The enclosure at the new home is not checked against %(standard)s.",
            standard=rules.name,
        )
        return warning(UNCHECKED, refs, sentence, PRACTICE)
    card = home_card(adoption, check, going, day, rescue, units)
    if card is None:
        sentence = message("The enclosure at the new home cannot be made as it is drawn.")
        return warning(UNTOLD, refs, sentence, PRACTICE)
    return _objection_by(card.verdict, rules, refs, units)


def _objection_by(
    verdict: Verdict, rules: RuleSet, refs: tuple[str, ...], units: str
) -> Objection | None:
    names = {"standard": rules.name}
    if verdict.passes:
        return None
    if verdict.passes is None:
        sentence = message(
            "%(standard)s cannot tell whether the enclosure at the new home is enough: a measure "
            "or a figure is missing.",
            **names,
        )
        return warning(UNTOLD, refs, sentence, Source("", Known.OWN))
    short = [_short(one, units) for one in verdict.clauses if one.passes is False]
    told = message("The enclosure at the new home is not enough by %(standard)s.", **names)
    return warning(TOO_SMALL, refs, joined(" ", [told, *short]), Source("", Known.OWN))


def _short(clause: Clause, units: str) -> str:
    needed, given = amounts_compared(clause, units)
    values = {"what": clause.text, "needed": needed, "given": given}
    if clause.bound is Bound.AT_MOST:
        return message("%(what)s: %(given)s, at most %(needed)s allowed.", **values)
    return message("%(what)s: %(given)s, at least %(needed)s needed.", **values)


def objection_to_visit(adoption: Adoption, going: Sequence[Companion]) -> Objection | None:
    """None where the last pre-visit found the home suitable, and where nobody visited it."""
    last = adoption.events.exclude(visit="").order_by("-on", "-pk").first()
    if last is None or last.visit != Visit.UNSUITABLE or not going:
        return None
    sentence = message(
        "The pre-visit on %(day)s found the new home not suitable.", day=day_words(last.on)
    )
    refs = tuple(one.ref for one in going)
    return warning(UNSUITABLE, refs, sentence, PRACTICE, basis=last.on)


# --- Asked, and let be ---


def reasons_against(
    adoption: Adoption, day: date, rescue: Rescue, units: str, *, with_home: bool
) -> list[Reason]:
    """All that speaks against it on that day; with the enclosure only from the first move on."""
    going = going_with(adoption.open_animals(), day)
    found = [
        Reason(one.key, one) for one in objections_to_going(going, adoption.at_home, day, rescue)
    ]
    if with_home:
        if visit := objection_to_visit(adoption, going.going):
            found.append(Reason(visit.key, visit))
        check = adoption.home_checks.newest_first().first()
        home = objection_to_home(adoption, check, going.going, day, rescue, units)
        if home:
            # Another enclosure, or other company in it, is another question.
            key = f"{home.code} {check.pk if check else '-'} {adoption.at_home.number} "
            found.append(Reason(key + "/".join(home.animals), home))
    given = {one.key: one for one in adoption.overrides.select_related("made_by").order_by("pk")}
    return [one._replace(override=given.get(one.key)) for one in found]


def override_all(
    adoption: Adoption, reasons: Iterable[Reason], reason: str, *, confirmed: bool, by: Person
) -> None:
    """Record why it goes on in spite of these; what is let be already stays so.

    Raises ``ValueError`` for what nobody may override, and for a block without a second look.
    """
    for one in reasons:
        if one.override:
            continue
        if one.is_final or (one.is_block and not confirmed):
            raise ValueError(f"{one.key} cannot be overridden like this.")
        # Once each, also where the same form was sent twice.
        adoption.overrides.get_or_create(
            key=one.key,
            defaults={
                "sentence": one.objection.sentence,
                "reason": reason,
                "is_block": one.is_block,
                "confirmed": confirmed,
                "made_by": by,
            },
        )
