"""Where a suspected infection may have gone: all that the suspect met, and how.

Day by day, from the day it is suspected since: what carries the infection passes it to all that it
is together with on that day, whatever the hour, and so on from there. Groups, animals and
enclosures carry it to the end of the trace, since no record says that they no longer do. A linen
carries it until its programmes release it (``infection.py``); of linens in one drum each is, after
it, as far from released as the one that was furthest from it before.

Time is respected: a thing passes on nothing before the first day on which it was reached itself.
Nothing is guessed, so what nobody wrote down (one basket, one cupboard, one pair of hands) is not
in a trace.
"""

from collections import defaultdict, deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import NamedTuple

from habitats.rotation.infection import Suspicion, rules_for
from habitats.rotation.trace_facts import (
    ContactKind,
    Facts,
    StandingSpan,
    Thing,
    ThingKind,
    Tie,
    Washing,
    earlier_end,
    ties_of,
)

_A_DAY = timedelta(days=1)


class Meeting(NamedTuple):
    """A thing was together with one that carried it, on each day from ``first`` to ``last``.

    ``last`` None: they still are. ``place``: the enclosure they met in, or the load they shared;
    empty for an animal and its group.
    """

    met: Thing
    how: ContactKind
    place: str
    first: date
    last: date | None


class Contact(NamedTuple):
    """One thing that was reached.

    ``first``: the first day. ``steps``: how far from the suspect, which is 0 itself and what it met
    directly 1. ``chain``: a way of so many meetings, from this thing back to the suspect.
    ``meetings``: all with things that are nearer to the suspect, by day.
    ``washes``: of a linen, how many it still takes at least; 0 for one that was released, on
    ``free_on``; None for all else.
    """

    thing: Thing
    first: date
    steps: int
    chain: tuple[Meeting, ...]
    meetings: tuple[Meeting, ...]
    washes: int | None
    free_on: date | None


class HomeMet(NamedTuple):
    """A home in which one of the enclosures of a trace stood, from ``first`` on."""

    home: str
    first: date
    enclosures: tuple[str, ...]


class Neighbour(NamedTuple):
    """An enclosure that met nothing, and stood in one home with one that did.

    ``last`` None: it still does.
    """

    enclosure: str
    home: str
    first: date
    last: date | None


@dataclass(frozen=True, slots=True)
class TraceResult:
    """The suspect first, then what it met, the nearest and earliest first."""

    contacts: tuple[Contact, ...]
    homes: tuple[HomeMet, ...]
    neighbours: tuple[Neighbour, ...]

    @property
    def suspect(self) -> Contact:
        return self.contacts[0]

    def of(self, sort: ThingKind) -> tuple[Contact, ...]:
        return tuple(one for one in self.contacts if one.thing.sort is sort)


def trace(
    suspect: Thing, since: date, suspicion: Suspicion, facts: Facts, today: date
) -> TraceResult:
    """All that the suspect met from ``since`` until ``today``, both included.

    The same in whatever order the facts are given, but for washings of one day, which stand in
    theirs. Raises ``ValueError`` for a day that is still to come.
    """
    if since > today:
        raise ValueError(f"{since} is after {today}: nothing can be traced from there")
    spread = _Spread(suspect, since, suspicion, facts, today)
    spread.run()
    contacts = spread.contacts()
    reached = {
        one.thing.key: one.first for one in contacts if one.thing.sort is ThingKind.ENCLOSURE
    }
    touched = _touched_homes(facts.standings, reached, today)
    return TraceResult(
        contacts,
        tuple(sorted(_homes(touched), key=lambda one: (one.first, one.home))),
        tuple(_neighbours(facts.standings, touched, reached, today)),
    )


class _Reach(NamedTuple):
    """How a thing that carries the infection came to it; ``by`` None for the suspect."""

    steps: int
    meeting: Meeting | None = None
    by: "_Reach | None" = None

    def chain(self) -> Iterator[Meeting]:
        link: _Reach | None = self
        while link and link.meeting:
            yield link.meeting
            link = link.by


class _Spread:
    """The state of one trace, carried from day to day."""

    def __init__(
        self, suspect: Thing, since: date, suspicion: Suspicion, facts: Facts, today: date
    ) -> None:
        self.since, self.today = since, today
        self.rules = rules_for(suspicion)
        self.unwashed = tuple(rule.washes for rule in self.rules)
        self.carrying: dict[Thing, _Reach] = {}
        self.nearest: dict[Thing, _Reach] = {}
        self.first: dict[Thing, date] = {}
        self.missing: dict[Thing, tuple[int, ...]] = {}
        self.free_on: dict[Thing, date] = {}
        self.meetings: dict[Thing, dict[tuple[Thing, object], Meeting]] = defaultdict(dict)
        self.ties: dict[Thing, list[Tie]] = defaultdict(list)
        self.begins: dict[date, list[Tie]] = defaultdict(list)
        self.washings: dict[date, list[Washing]] = defaultdict(list)
        self._sort_by_day(facts)
        self._carry(suspect, _Reach(0), self.unwashed, since)

    def _sort_by_day(self, facts: Facts) -> None:
        for tie in ties_of(facts):
            if tie.until is None or tie.until > self.since:
                self.begins[max(tie.since, self.since)].append(tie)
        for washing in facts.washings:
            if washing.on >= self.since:
                self.washings[washing.on].append(washing)

    def run(self) -> None:
        """Nothing changes on a day on which nothing begins and nothing is washed."""
        for day in sorted(self.begins.keys() | self.washings.keys()):
            if day > self.today:
                break
            self._pass_on(self._begun(day), day)
            for washing in self.washings.get(day, ()):
                self._pass_on(self._wash(washing), day)

    def _begun(self, day: date) -> list[Tie]:
        begun = self.begins.get(day, [])
        for tie in begun:
            self.ties[tie.one].append(tie)
            self.ties[tie.other].append(tie)
        return begun

    def _pass_on(self, ties: Iterable[Tie], day: date) -> None:
        """Over these ties, and from whatever is reached or gets nearer over its own."""
        waiting = deque(ties)
        while waiting:
            tie = waiting.popleft()
            for giver, taker in ((tie.one, tie.other), (tie.other, tie.one)):
                if giver in self.carrying and self._pass(tie, giver, taker, day):
                    waiting.extend(self._ties_on(day, taker))

    def _pass(self, tie: Tie, giver: Thing, taker: Thing, day: date) -> bool:
        meeting = Meeting(giver, tie.how, tie.place, day, _last_day(tie.until, self.today))
        return self._meet(taker, meeting, self.unwashed, tie)

    def _wash(self, washing: Washing) -> list[Tie]:
        """What one drum does. Returns the ties over which something may go on after it."""
        inside = [Thing(ThingKind.LINEN, key) for key in sorted(set(washing.linens))]
        carriers = [linen for linen in inside if linen in self.carrying]
        if not carriers:
            return []
        after = {linen: self._after(washing, self.missing[linen]) for linen in carriers}
        givers = [linen for linen in carriers if any(after[linen])]
        if givers:
            most = tuple(map(max, zip(*after.values(), strict=True)))
            self._share(washing, inside, givers, most)
        else:
            self._free(carriers, washing.on)
        return [tie for linen in inside for tie in self._ties_on(washing.on, linen)]

    def _after(self, washing: Washing, missing: Iterable[int]) -> tuple[int, ...]:
        """By rule, how many washes are missing after this one."""
        return tuple(
            max(0, washes - rule.counts(washing.programme))
            for rule, washes in zip(self.rules, missing, strict=True)
        )

    def _share(
        self,
        washing: Washing,
        inside: Iterable[Thing],
        givers: Iterable[Thing],
        missing: tuple[int, ...],
    ) -> None:
        giver = min(givers, key=lambda linen: (self.carrying[linen].steps, linen))
        meeting = Meeting(giver, ContactKind.WASHED, washing.load, washing.on, washing.on)
        self.missing[giver] = missing
        for linen in inside:
            if linen != giver:
                self._meet(linen, meeting, missing, washing.load)

    def _free(self, carriers: Iterable[Thing], day: date) -> None:
        for linen in carriers:
            del self.carrying[linen]
            self.free_on[linen] = day

    def _meet(
        self, taker: Thing, meeting: Meeting, missing: tuple[int, ...], occasion: object
    ) -> bool:
        """Whether the taker is reached anew by this, or nearer than it was."""
        by, known = self.carrying[meeting.met], self.carrying.get(taker)
        if taker.sort is ThingKind.LINEN:
            self.missing[taker] = missing
        is_new = known is None or by.steps + 1 < known.steps
        if is_new:
            self._carry(taker, _Reach(by.steps + 1, meeting, by), missing, meeting.first)
        self.meetings[taker].setdefault((meeting.met, occasion), meeting)
        return is_new

    def _carry(self, thing: Thing, reach: _Reach, missing: tuple[int, ...], day: date) -> None:
        self.carrying[thing] = reach
        self.first.setdefault(thing, day)
        self.free_on.pop(thing, None)
        if thing.sort is ThingKind.LINEN:
            self.missing[thing] = missing
        if thing not in self.nearest or reach.steps < self.nearest[thing].steps:
            self.nearest[thing] = reach

    def _ties_on(self, day: date, thing: Thing) -> Iterator[Tie]:
        return (tie for tie in self.ties[thing] if tie.covers(day))

    def contacts(self) -> tuple[Contact, ...]:
        found = [self._contact(thing, reach) for thing, reach in self.nearest.items()]
        return tuple(sorted(found, key=lambda one: (one.steps, one.first, one.thing)))

    def _contact(self, thing: Thing, reach: _Reach) -> Contact:
        nearer = (
            meeting
            for meeting in self.meetings[thing].values()
            if self.nearest[meeting.met].steps < reach.steps
        )
        is_linen = thing.sort is ThingKind.LINEN
        return Contact(
            thing,
            self.first[thing],
            reach.steps,
            tuple(reach.chain()),
            tuple(sorted(nearer, key=lambda one: (one.first, one.met, one.how, one.place))),
            (max(self.missing[thing]) if thing in self.carrying else 0) if is_linen else None,
            self.free_on.get(thing),
        )


def _last_day(until: date | None, today: date) -> date | None:
    """The last day of a span that has ended; None for one that still covers today."""
    return None if until is None or until > today else until - _A_DAY


def _touched_homes(
    standings: Iterable[StandingSpan], reached: dict[str, date], today: date
) -> dict[str, list[StandingSpan]]:
    """By home, where enclosures stood there from the days on which they were reached."""
    touched: dict[str, list[StandingSpan]] = defaultdict(list)
    for one in standings:
        if one.enclosure in reached:
            since = max(one.since, reached[one.enclosure])
            if since <= today and (one.until is None or since < one.until):
                touched[one.home].append(one._replace(since=since))
    return touched


def _homes(touched: dict[str, list[StandingSpan]]) -> Iterator[HomeMet]:
    for home, there in touched.items():
        enclosures = sorted({one.enclosure for one in there})
        yield HomeMet(home, min(one.since for one in there), tuple(enclosures))


def _neighbours(
    standings: Iterable[StandingSpan],
    touched: dict[str, list[StandingSpan]],
    reached: dict[str, date],
    today: date,
) -> Iterator[Neighbour]:
    others = {one for one in standings if one.enclosure not in reached and one.home in touched}
    for other in sorted(others, key=lambda one: (one.home, one.enclosure, one.since)):
        days = [both for one in touched[other.home] if (both := _together(one, other, today))]
        if days:
            lasts = [last for _first, last in days if last is not None]
            last = max(lasts) if len(lasts) == len(days) else None
            first = min(first for first, _last in days)
            yield Neighbour(other.enclosure, other.home, first, last)


def _together(
    one: StandingSpan, other: StandingSpan, today: date
) -> tuple[date, date | None] | None:
    """First and last day (None: still) on which both stood there; None if there is none."""
    first = max(one.since, other.since)
    last = _last_day(earlier_end(one.until, other.until), today)
    if first > today or (last is not None and last < first):
        return None
    return first, last
