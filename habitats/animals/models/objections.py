"""Reasons against a group, what a coordinator has overridden, and what a newcomer would bring."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from typing import NamedTuple

from habitats.animals.models.groups import Group, Override
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import objections_to
from habitats.welfare.companion import Companion
from habitats.welfare.litters import POSSIBLE_LITTER
from habitats.welfare.objection import Objection, Severity
from habitats.welfare.objection import OverrideTerms as Takes
from habitats.welfare.words import day_words
from habitats.wording import message


class GroupObjection(NamedTuple):
    """An objection, and who overrode it, if it was."""

    objection: Objection
    override: Override | None

    @property
    def is_block(self) -> bool:
        return self.objection.severity is Severity.BLOCK

    @property
    def may_be_let_be(self) -> bool:
        return self.override is None and self.objection.override is not Takes.NEVER


def group_objections(
    group: Group, companions: Sequence[Companion], day: date, rescue: Rescue
) -> tuple[GroupObjection, ...]:
    """All reasons against the group on that day; blocks first."""
    # A later word on the same objection counts.
    let_be = {one.key: one for one in Override.objects.holding([group.pk])}
    return tuple(
        GroupObjection(one, let_be.get(one.key)) for one in objections_to(companions, day, rescue)
    )


class Brought(NamedTuple):
    """What a change of company would bring that was not there before.

    ``stops`` stand in the way, whatever anyone says. ``asks`` want a recorded reason, and those
    of them that block a second confirmation. ``stays``: an animal that is alone against the rule
    set; nobody's word mends that, and refusing to write it down would not either. ``tells``: what
    is so in whatever company, such as that she may have a litter; it asks for care, not a reason.
    """

    stops: tuple[Objection, ...] = ()
    asks: tuple[Objection, ...] = ()
    stays: tuple[Objection, ...] = ()
    tells: tuple[Objection, ...] = ()

    @property
    def blocks(self) -> tuple[Objection, ...]:
        return tuple(one for one in self.asks if one.severity is Severity.BLOCK)

    def and_on(self, day: date, earlier: "Brought") -> "Brought":
        """With what spoke between animals on an earlier day, and does not today.

        What was the matter with one of them alone, such as its being alone, is over.
        """
        known = {one.key for part in self for one in part}
        return Brought(
            stops=(*self.stops, *_as_of(day, earlier.stops, known)),
            asks=(*self.asks, *_as_of(day, earlier.asks, known)),
            stays=self.stays,
            tells=self.tells,
        )


def brought_by(
    before: Sequence[Companion], after: Sequence[Companion], day: date, rescue: Rescue
) -> Brought:
    known = {one.key for one in objections_to(before, day, rescue)}
    new = [one for one in objections_to(after, day, rescue) if one.key not in known]
    never = [one for one in new if one.override is Takes.NEVER]
    tells = [one for one in new if one.code == POSSIBLE_LITTER]
    return Brought(
        stops=tuple(one for one in never if len(one.animals) > 1),
        asks=tuple(one for one in new if one not in never and one not in tells),
        stays=tuple(one for one in never if len(one.animals) == 1),
        tells=tuple(tells),
    )


def _as_of(day: date, objections: Iterable[Objection], known: set[str]) -> list[Objection]:
    return [
        replace(one, sentence=_as_of_words(day, one.sentence))
        for one in objections
        if len(one.animals) > 1 and one.key not in known
    ]


def _as_of_words(day: date, sentence: str) -> str:
    return message("As of %(day)s: %(sentence)s", day=day_words(day), sentence=sentence)


def let_be(
    group: Group, objections: Iterable[Objection], reason: str, *, confirmed: bool, by: Person
) -> None:
    """Record why the group is let be in spite of these; one that is let be already stays so.

    Raises ``ValueError`` for what nobody may override, and for a block without a second look.
    """
    known = {one.key for one in Override.objects.holding([group.pk])}
    for one in objections:
        is_block = one.severity is Severity.BLOCK
        if one.override is Takes.NEVER or (is_block and not confirmed):
            raise ValueError(f"{one.key} cannot be overridden like this.")
        if one.key not in known:
            group.overrides.create(
                key=one.key,
                sentence=one.sentence,
                reason=reason,
                is_block=is_block,
                confirmed=confirmed,
                made_by=by,
            )
