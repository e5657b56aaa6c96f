"""Whether an enclosure gives its animals the space that one rule set asks for.

    >>> from habitats.welfare.rule_sets import rule_set
    >>> two = [Resident(weight_g=900), Resident(weight_g=800)]
    >>> verdict = judged(rule_set("ch-tschv"), Species.GUINEA_PIG, Room(ground_mm2=480_000), two)
    >>> verdict.passes, verdict.required_mm2, verdict.lacking_mm2
    (False, 500000, 20000)

A verdict is of one rule set. There is no verdict of several: they are shown side by side.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from habitats.welfare.rule_set import Authority, HeightRule, RaisedRule, RuleSet
from habitats.welfare.values import (
    Amount,
    Bound,
    Clause,
    ClauseKind,
    Resident,
    Room,
    Species,
    Unit,
    Verdict,
)
from habitats.wording import counted, joined, message

LOCAL_LAW = message("Local law comes first.")
ASK_A_VET = message("This is not veterinary advice: ask a vet about an animal's needs.")
STANDING_CAUTIONS = {
    Authority.LABORATORY: message(
        "A minimum for laboratories, many times smaller than what is advised for pets. It is shown "
        "as a fact and is never enough for a home."
    ),
    Authority.TRADE: message("A minimum for a trade's licence, not for animals in homes."),
}
UNVERIFIED = message("These figures are from memory and were not checked: they decide nothing.")
GENERAL_CAUTIONS = (LOCAL_LAW, ASK_A_VET)

ANIMAL_WORDS = {
    Species.GUINEA_PIG: (message("guinea pig"), message("guinea pigs")),
    Species.RABBIT: (message("rabbit"), message("rabbits")),
}


def judged(
    rule_set: RuleSet, species: Species, room: Room, residents: Sequence[Resident]
) -> Verdict:
    """What the rule set says of this enclosure and these animals.

    Raises ValueError for no animals, and for animals of another species than the rule set's.
    """
    if not residents:
        raise ValueError("An enclosure is judged with the animals in it; give at least one.")
    if rule_set.species is not species:
        raise ValueError(f"{rule_set.id} is for {rule_set.species}, and cannot judge {species}.")
    shares_mm2 = rule_set.floor.parts_mm2(residents)
    case = _Case(rule_set, room, tuple(residents), required_mm2=sum(shares_mm2))
    clauses = tuple(case.clauses())
    return Verdict(
        rule_set=rule_set.id,
        passes=_all_pass([one for one in clauses if one.verified]),
        required_mm2=case.required_mm2,
        counted_mm2=case.counted_mm2,
        clauses=clauses,
        shares_mm2=shares_mm2,
        cautions=GENERAL_CAUTIONS + cautions_of(rule_set),
    )


def cautions_of(rule_set: RuleSet) -> tuple[str, ...]:
    """What to say beside every verdict of this rule set, its notes included."""
    standing = STANDING_CAUTIONS.get(rule_set.standing)
    unverified = () if rule_set.verified else (UNVERIFIED,)
    return (*((standing,) if standing else ()), *unverified, *rule_set.notes)


def _all_pass(deciding: list[Clause]) -> bool | None:
    """True needs a clause that decides: what asks for nothing has not been passed."""
    answers = [one.passes for one in deciding]
    if False in answers:
        return False
    return True if answers and None not in answers else None


@dataclass(frozen=True, slots=True)
class _Case:
    rule_set: RuleSet
    room: Room
    residents: tuple[Resident, ...]
    required_mm2: int

    @property
    def counted_mm2(self) -> int:
        """The ground, and of the upper levels as much as the rule set credits."""
        credit = math.floor(self.rule_set.upper_credit * self.required_mm2)
        return self.room.ground_mm2 + min(self.room.upper_mm2, credit)

    @property
    def heaviest_g(self) -> int | None:
        return self.rule_set.floor.heaviest_g(self.residents)

    def clauses(self) -> Iterator[Clause]:
        rule_set, room = self.rule_set, self.room
        yield self._floor()
        if rule_set.height is not None:
            yield from self._heights(rule_set.height)
        if rule_set.longest_side_mm is not None:
            yield self._at_least(
                ClauseKind.LONGEST_SIDE,
                message("Longest side"),
                rule_set.longest_side_mm,
                room.longest_side_mm,
            )
        if rule_set.shortest_side_mm is not None:
            yield self._at_least(
                ClauseKind.SHORTEST_SIDE,
                message("Shortest side"),
                rule_set.shortest_side_mm,
                room.shortest_side_mm,
            )
        yield from self._numbers()
        if rule_set.raised is not None and rule_set.floor.grown(self.residents):
            yield from self._raised(rule_set.raised)

    def _floor(self) -> Clause:
        enough = self.counted_mm2 >= self.required_mm2
        covered = self.rule_set.floor.covers(self.residents)
        return self._clause(
            ClauseKind.FLOOR,
            self._floor_text(covered=covered),
            needed=Amount(self.required_mm2, Unit.MM2),
            given=Amount(self.counted_mm2, Unit.MM2),
            passes=None if enough and not covered else enough,
        )

    def _floor_text(self, *, covered: bool) -> str:
        texts = [self._floor_for()]
        if self.rule_set.upper_credit:
            texts.append(
                message(
                    "upper levels make up %(share)s of it at most",
                    share=str(self.rule_set.upper_credit),
                )
            )
        if not covered:
            texts.append(message("no figure for so many or for a litter, so this is the least"))
        return joined("; ", texts)

    def _floor_for(self) -> str:
        number = len(self.residents)
        with_litters = any(one.with_litter for one in self.residents)
        if self.rule_set.species is Species.GUINEA_PIG:
            if with_litters:
                return counted(
                    "Floor for %(count)d guinea pig, litters with them",
                    "Floor for %(count)d guinea pigs, litters with them",
                    number,
                )
            return counted(
                "Floor for %(count)d guinea pig", "Floor for %(count)d guinea pigs", number
            )
        if with_litters:
            return counted(
                "Floor for %(count)d rabbit, litters with them",
                "Floor for %(count)d rabbits, litters with them",
                number,
            )
        return counted("Floor for %(count)d rabbit", "Floor for %(count)d rabbits", number)

    def _heights(self, rule: HeightRule) -> Iterator[Clause]:
        needed_mm = self.rule_set.needed_height_mm(self.residents) or 0
        yield self._at_least(ClauseKind.HEIGHT, message("Height"), needed_mm, self.room.height_mm)
        share = self.room.share_at(needed_mm)
        tall_mm2 = None if share is None else round(self.room.ground_mm2 * share)
        asked = rule.over * self.required_mm2
        yield self._clause(
            ClauseKind.TALL_FLOOR,
            message("Floor at that height"),
            bound=Bound.MORE_THAN if rule.strictly else Bound.AT_LEAST,
            needed=Amount(math.ceil(asked), Unit.MM2),
            given=None if tall_mm2 is None else Amount(tall_mm2, Unit.MM2),
            passes=None if tall_mm2 is None else _reaches(tall_mm2, asked, rule.strictly),
        )

    def _numbers(self) -> Iterator[Clause]:
        number = Amount(len(self.residents), Unit.ANIMALS)
        least = self.rule_set.least_animals
        if least > 1:
            yield self._clause(
                ClauseKind.GROUP,
                message("Animals that live together"),
                needed=Amount(least, Unit.ANIMALS),
                given=number,
                passes=number.value >= least,
            )
        if self.rule_set.most_animals is not None:
            most = self.rule_set.most_animals.of(self.heaviest_g)
            yield self._clause(
                ClauseKind.MOST,
                message("Animals in one enclosure"),
                bound=Bound.AT_MOST,
                needed=Amount(most, Unit.ANIMALS),
                given=number,
                passes=number.value <= most,
            )

    def _raised(self, rule: RaisedRule) -> Iterator[Clause]:
        """A raised area and how much it may cover; or a floor that is larger without one."""
        needed_mm2 = rule.area_mm2.of(self.heaviest_g)
        given_mm2 = self.room.raised_mm2
        if given_mm2 is not None and given_mm2 >= needed_mm2:
            yield self._raised_area(needed_mm2)
            yield self._raised_cover(rule, given_mm2)
            return
        larger = self._larger_floor(rule)
        if given_mm2 is None and not larger.passes:
            yield self._raised_area(needed_mm2)
        else:
            yield larger

    def _raised_area(self, needed_mm2: int) -> Clause:
        given_mm2 = self.room.raised_mm2
        return self._clause(
            ClauseKind.RAISED,
            message("Raised area to lie on and under"),
            needed=Amount(needed_mm2, Unit.MM2),
            given=None if given_mm2 is None else Amount(given_mm2, Unit.MM2),
            passes=None if given_mm2 is None else given_mm2 >= needed_mm2,
        )

    def _raised_cover(self, rule: RaisedRule, given_mm2: int) -> Clause:
        most_mm2 = math.floor(rule.most_of_floor * self.room.ground_mm2)
        return self._clause(
            ClauseKind.RAISED_COVER,
            message("Floor that the raised area covers"),
            bound=Bound.AT_MOST,
            needed=Amount(most_mm2, Unit.MM2),
            given=Amount(given_mm2, Unit.MM2),
            passes=given_mm2 <= most_mm2,
        )

    def _larger_floor(self, rule: RaisedRule) -> Clause:
        more = rule.more_without(len(self.residents))
        needed_mm2 = math.ceil(self.required_mm2 * (1 + more))
        return self._clause(
            ClauseKind.UNRAISED_FLOOR,
            message(
                "Floor without a raised area of full size, %(percent)d %% larger",
                percent=math.ceil(100 * more),
            ),
            needed=Amount(needed_mm2, Unit.MM2),
            given=Amount(self.counted_mm2, Unit.MM2),
            passes=self.counted_mm2 >= needed_mm2,
        )

    def _at_least(
        self, kind: ClauseKind, text: str, needed_mm: int, given_mm: int | None
    ) -> Clause:
        return self._clause(
            kind,
            text,
            needed=Amount(needed_mm, Unit.MM),
            given=None if given_mm is None else Amount(given_mm, Unit.MM),
            passes=None if given_mm is None else given_mm >= needed_mm,
        )

    def _clause(
        self,
        kind: ClauseKind,
        text: str,
        *,
        needed: Amount,
        given: Amount | None,
        passes: bool | None,
        bound: Bound = Bound.AT_LEAST,
    ) -> Clause:
        return Clause(
            kind=kind,
            text=text,
            bound=bound,
            needed=needed,
            given=given,
            passes=passes,
            source=self.rule_set.source,
            verified=self.rule_set.verified,
        )


def _reaches(given: int, asked: Fraction, strictly: bool) -> bool:
    return given > asked if strictly else given >= asked
