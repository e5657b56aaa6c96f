"""The inspection report in words: each enclosure with who lived there, and who lived in none."""

from datetime import date
from typing import NamedTuple

from django.utils.translation import gettext as _

from habitats.animals.models.animals import Animal
from habitats.animals.models.objections import GroupObjection
from habitats.animals.models.quarantines import Quarantine
from habitats.animals.pages.objection_rows import ObjectionRow, objection_rows
from habitats.animals.pages.words import about
from habitats.common.days import in_full
from habitats.enclosures.models.standing import StandingQuerySet
from habitats.measures import grams
from habitats.people.models.people import Person
from habitats.records.models.inspected_company import DayGroup, unhoused_on
from habitats.records.models.inspections import Inspected, inspected
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.pages.verdicts import VerdictCard, card_of
from habitats.welfare.companion import Companion, DatedWeight, QuarantineSpan
from habitats.welfare.outgrowing import residents_on
from habitats.welfare.space import ANIMAL_WORDS
from habitats.welfare.values import Resident, Species
from habitats.welfare.words import day_words


class AnimalLine(NamedTuple):
    """``is_estimate``: the weight was not read on a scale that day but estimated from the last.
    ``apart``: since when and why it was in quarantine; empty if it was not."""

    name: str
    code: str
    about: str
    grams: int | None
    weighed: str
    is_estimate: bool
    apart: str


class ObjectionLine(NamedTuple):
    """Said once of ``pairs``; ``also`` says with whom else the same is the matter.

    ``overridden``: by whom, when and why; empty if nobody did.
    """

    sentence: str
    also: str
    pairs: int
    is_block: bool
    overridden: str

    @property
    def is_open_block(self) -> bool:
        return self.is_block and not self.overridden


class CompanyRow(NamedTuple):
    animals: list[AnimalLine]
    objections: list[ObjectionLine]


class ReportEntry(NamedTuple):
    """``checked``: the last safety check up to that day, and who did it."""

    inspected: Inspected
    company: CompanyRow
    card: VerdictCard | None
    why_not: str
    checked: str

    @property
    def is_short(self) -> bool:
        return self.card is not None and self.card.verdict.passes is False


def entries_of(standing: StandingQuerySet, day: date, reader: Person) -> list[ReportEntry]:
    return [_entry(one, day, reader) for one in inspected(standing, day)]


def unhoused_rows(day: date, reader: Person) -> list[CompanyRow]:
    return [_company(one, day, reader) for one in unhoused_on(day, Rescue.ours())]


def _entry(one: Inspected, day: date, reader: Person) -> ReportEntry:
    card = card_of(one.rules, one.verdict, reader.units) if one.rules and one.verdict else None
    return ReportEntry(
        one, _company(one.group, day, reader), card, _why_not(one), _checked(one, reader)
    )


def _company(group: DayGroup, day: date, reader: Person) -> CompanyRow:
    residents = residents_on(group.companions, day)
    told = zip(group.animals, group.companions, residents, strict=True)
    against = [GroupObjection(one.objection, one.override) for one in group.objections]
    return CompanyRow(
        [_animal(*each, group.apart.get(each[0].code), day) for each in told],
        [_objection(row, reader) for row in objection_rows(against, group.companions)],
    )


def _animal(
    animal: Animal,
    companion: Companion,
    resident: Resident,
    apart: QuarantineSpan | None,
    day: date,
) -> AnimalLine:
    last = companion.weighed_by(day)
    return AnimalLine(
        name=animal.name,
        code=animal.code,
        about=about(animal),
        grams=resident.weight_g,
        weighed=_weighed(last),
        is_estimate=last is None or last.grams != resident.weight_g,
        apart=_apart(apart) if apart else "",
    )


def _apart(span: QuarantineSpan) -> str:
    why = Quarantine.Why(span.why.value).label
    return _("in quarantine since %(day)s: %(why)s") % {"day": in_full(span.since), "why": why}


def _objection(row: ObjectionRow, reader: Person) -> ObjectionLine:
    overridden = ""
    if row.override:
        overridden = _("%(reason)s (%(name)s, %(day)s)") % {
            "reason": row.override.reason,
            "name": row.override.made_by.name_for(reader),
            "day": in_full(row.override.made_at.date()),
        }
    sentence = str(row.objection.sentence)
    return ObjectionLine(sentence, row.also, len(row.keys), row.is_block, overridden)


def _checked(one: Inspected, reader: Person) -> str:
    if one.check is None:
        return _("Safety check: none recorded.")
    return _("Safety check: %(day)s, %(name)s.") % {
        "day": in_full(one.check.on),
        "name": one.check.made_by.name_for(reader),
    }


def _weighed(last: DatedWeight | None) -> str:
    if last is None:
        return _("never weighed")
    values = {"weight": grams(last.grams), "day": day_words(last.day)}
    return _("%(weight)s on %(day)s") % values


def _why_not(one: Inspected) -> str:
    """Why there is no verdict; empty where there is one."""
    if one.verdict:
        return ""
    if not one.animals:
        return _("No animals lived here on that day.")
    if one.structure is None:
        return _("The design is too large for this server now, so it was not checked.")
    if one.rules is None:
        many = ANIMAL_WORDS[Species(one.animals[0].species)][1]
        return _("No space standard is chosen for %(animals)s. Choose one in Settings.") % {
            "animals": many
        }
    return _("Animals of two species live together, and no space standard covers them.")
