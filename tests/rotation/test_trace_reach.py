"""Random small rescues, and a second opinion by networkx.

Each thing stands once for each day and each moment between two loads, a linen once more for every
rule and number of washes that it is still to go through. What can be reached along days in such a
graph is a contact; this shares no code with the trace, and knows no queue and no state.
"""

from dataclasses import replace
from datetime import date, timedelta
from itertools import product

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from habitats.rotation.infection import Suspicion, WashRun, rules_for
from habitats.rotation.trace import trace
from habitats.rotation.trace_facts import (
    Facts,
    LivingSpan,
    LyingSpan,
    StandingSpan,
    StaySpan,
    Thing,
    ThingKind,
    Washing,
)

START = date(2027, 3, 1)
DAYS = 8
COLD = WashRun("Cold", 30, 30)
HOT = WashRun("Hot", 60, 20)
BOILING = WashRun("Boiling", 75, 5)
BOTH = WashRun("Long and hot", 70, 20)
DRYER = WashRun("Dryer", 90, 60, is_dry=True)

days = st.integers(0, DAYS - 1).map(lambda number: START + timedelta(days=number))
lengths = st.none() | st.integers(0, DAYS)


@st.composite
def spans(draw):
    since, length = draw(days), draw(lengths)
    return since, None if length is None else since + timedelta(days=length)


def of(*names):
    return st.sampled_from(names)


animals, groups = of("ada", "bo", "cy"), of("G", "H", "K")
enclosures, linens = of("east", "north", "west"), of("L1", "L2", "L3", "L4")
livings = st.builds(lambda a, g, span: LivingSpan(a, g, *span), animals, groups, spans())
stayings = st.builds(lambda g, e, span: StaySpan(g, e, *span), groups, enclosures, spans())
lyings = st.builds(lambda ln, e, span: LyingSpan(ln, e, "s", *span), linens, enclosures, spans())
standings = st.builds(
    lambda e, h, span: StandingSpan(e, h, *span), enclosures, of("a", "b"), spans()
)
washings = st.builds(
    lambda inside, on, programme: Washing("load", tuple(inside), on, programme),
    st.lists(linens, min_size=1, max_size=3, unique=True),
    days,
    of(COLD, HOT, BOILING, BOTH, DRYER),
)


def some(what, most):
    return st.lists(what, max_size=most).map(tuple)


facts_ = st.builds(
    Facts,
    livings=some(livings, 4),
    stayings=some(stayings, 5),
    lyings=some(lyings, 6),
    standings=some(standings, 4),
    washings=some(washings, 5),
)
suspects = (
    st.builds(Thing, st.just(ThingKind.GROUP), groups)
    | st.builds(Thing, st.just(ThingKind.ENCLOSURE), enclosures)
    | st.builds(Thing, st.just(ThingKind.LINEN), linens)
)
LAST = START + timedelta(days=DAYS - 1)


EVERYTHING = [
    *(Thing(ThingKind.ANIMAL, key) for key in ("ada", "bo", "cy")),
    *(Thing(ThingKind.GROUP, key) for key in ("G", "H", "K")),
    *(Thing(ThingKind.ENCLOSURE, key) for key in ("east", "north", "west")),
    *(Thing(ThingKind.LINEN, key) for key in ("L1", "L2", "L3", "L4")),
]


def pairs_on(facts, day):
    """Which two things are together on a day."""

    def covers(fact):
        return fact.since <= day and (fact.until is None or day < fact.until)

    living, staying, lying = (
        [fact for fact in kind if covers(fact)]
        for kind in (facts.livings, facts.stayings, facts.lyings)
    )
    yield from (
        (Thing(ThingKind.ANIMAL, f.animal), Thing(ThingKind.GROUP, f.group)) for f in living
    )
    yield from (
        (Thing(ThingKind.GROUP, f.group), Thing(ThingKind.ENCLOSURE, f.enclosure)) for f in staying
    )
    yield from (
        (Thing(ThingKind.LINEN, f.linen), Thing(ThingKind.ENCLOSURE, f.enclosure)) for f in lying
    )
    for stay, lies in product(staying, lying):
        if stay.enclosure == lies.enclosure:
            yield Thing(ThingKind.GROUP, stay.group), Thing(ThingKind.LINEN, lies.linen)


def carried(thing, rules):
    """In what ways a thing can carry: with so many washes to go by one of the rules."""
    if thing.sort is not ThingKind.LINEN:
        return [None]
    return [(at, left) for at, rule in enumerate(rules) for left in range(1, rule.washes + 1)]


def just_reached(thing, rules):
    if thing.sort is not ThingKind.LINEN:
        return [None]
    return [(at, rule.washes) for at, rule in enumerate(rules)]


def graph_of(facts, since, suspicion, today):
    """Nodes (thing, how it carries, day, moment of the day); weights count meetings."""
    graph, rules = nx.DiGraph(), rules_for(suspicion)
    day = since
    while day <= today:
        loads = [one for one in facts.washings if one.on == day]
        for moment in range(len(loads) + 1):
            for one, other in pairs_on(facts, day):
                for giver, taker in ((one, other), (other, one)):
                    for way, then in product(carried(giver, rules), just_reached(taker, rules)):
                        graph.add_edge(
                            (giver, way, day, moment), (taker, then, day, moment), meets=1
                        )
            for thing, way in ((t, w) for t in EVERYTHING for w in carried(t, rules)):
                here = thing, way, day, moment
                if moment == len(loads):
                    graph.add_edge(here, (thing, way, day + timedelta(days=1), 0), meets=0)
                elif thing.sort is not ThingKind.LINEN or thing.key not in loads[moment].linens:
                    graph.add_edge(here, (thing, way, day, moment + 1), meets=0)
                else:
                    washed_with(graph, here, loads[moment], rules)
        day += timedelta(days=1)
    return graph


def washed_with(graph, here, load, rules):
    linen, (at, left), day, moment = here
    left -= rules[at].counts(load.programme)
    for key in load.linens if left else ():
        there = Thing(ThingKind.LINEN, key)
        graph.add_edge(here, (there, (at, left), day, moment + 1), meets=0 if there == linen else 1)


def reached(facts, suspect, since, suspicion, today):
    """By thing: the first day it is reached, and the fewest meetings."""
    graph = graph_of(facts, since, suspicion, today)
    starts = {(suspect, way, since, 0) for way in just_reached(suspect, rules_for(suspicion))}
    lengths = nx.multi_source_dijkstra_path_length(graph, starts, weight="meets")
    found = {}
    for (thing, _way, day, _moment), meets in lengths.items():
        if day <= today:
            first, fewest = found.get(thing, (day, meets))
            found[thing] = min(first, day), min(fewest, meets)
    return found


@given(facts_, suspects, days, st.sampled_from(Suspicion))
def test_what_is_reached_and_when_is_what_a_graph_of_days_says(facts, suspect, since, suspicion):
    contacts = trace(suspect, since, suspicion, facts, LAST).contacts
    expected = reached(facts, suspect, since, suspicion, LAST)
    assert {one.thing: one.first for one in contacts} == {
        thing: first for thing, (first, _meets) in expected.items()
    }


@given(facts_, suspects, days)
def test_the_steps_are_those_of_the_shortest_way_in_time(facts, suspect, since):
    # One wash releases, so no linen carries half: how far it is then hangs on nothing else.
    contacts = trace(suspect, since, Suspicion.OTHER, facts, LAST).contacts
    expected = reached(facts, suspect, since, Suspicion.OTHER, LAST)
    assert {one.thing: one.steps for one in contacts} == {
        thing: meets for thing, (_first, meets) in expected.items()
    }


@given(facts_, suspects, days, st.sampled_from(Suspicion))
def test_linens_that_carry_on_the_last_day_are_those_the_graph_ends_in(
    facts, suspect, since, suspicion
):
    found = trace(suspect, since, suspicion, facts, LAST)
    tomorrow = LAST + timedelta(days=1)
    graph = graph_of(facts, since, suspicion, LAST)
    starts = {(suspect, way, since, 0) for way in just_reached(suspect, rules_for(suspicion))}
    ends = nx.multi_source_dijkstra_path_length(graph, starts, weight="meets")
    still = {thing.key for thing, _way, day, _moment in ends if day == tomorrow}
    assert {one.thing.key for one in found.of(ThingKind.LINEN) if one.washes} == still & {
        one.thing.key for one in found.of(ThingKind.LINEN)
    }


@given(facts_, suspects, days, st.sampled_from(Suspicion))
def test_each_chain_leads_back_to_the_suspect_and_never_back_in_time(
    facts, suspect, since, suspicion
):
    for contact in trace(suspect, since, suspicion, facts, LAST).contacts:
        ends = [contact.thing, *(meeting.met for meeting in contact.chain)]
        firsts = [meeting.first for meeting in contact.chain]
        assert len(contact.chain) == contact.steps
        assert ends[-1] == suspect
        assert firsts == sorted(firsts, reverse=True)
        assert all(contact.first <= first for first in firsts[:1])


@given(facts_, suspects, days, st.sampled_from(Suspicion))
def test_no_day_is_before_the_suspicion_nor_after_today(facts, suspect, since, suspicion):
    found = trace(suspect, since, suspicion, facts, LAST)
    meetings = [meeting for one in found.contacts for meeting in one.meetings]
    firsts = [one.first for one in (*found.contacts, *found.homes, *found.neighbours, *meetings)]
    lasts = [one.last for one in (*found.neighbours, *meetings) if one.last is not None]
    assert all(since <= day <= LAST for day in [*firsts, *lasts])
    assert all(one.last is None or one.first <= one.last for one in (*found.neighbours, *meetings))


@given(facts_, facts_, suspects, st.sampled_from(Suspicion))
def test_later_events_take_no_contact_away(facts, more, suspect, suspicion):
    middle = START + timedelta(days=4)
    known = known_by(facts, middle)
    later = (tuple(after(rows, middle)) for rows in parts(more))
    joined = Facts(*((*old, *new) for old, new in zip(parts(known), later, strict=True)))
    before = trace(suspect, START, suspicion, known, middle).contacts
    firsts = {
        one.thing: one.first for one in trace(suspect, START, suspicion, joined, LAST).contacts
    }
    assert {one.thing: firsts.get(one.thing) for one in before} == {
        one.thing: one.first for one in before
    }


@given(facts_, suspects, days, st.sampled_from(Suspicion), st.randoms(use_true_random=False))
def test_the_order_of_facts_changes_nothing(facts, suspect, since, suspicion, chance):
    def shuffled(rows):
        return tuple(chance.sample(rows, len(rows)))

    mixed = replace(
        facts,
        livings=shuffled(facts.livings),
        stayings=shuffled(facts.stayings),
        lyings=shuffled(facts.lyings),
        standings=shuffled(facts.standings),
    )
    assert trace(suspect, since, suspicion, mixed, LAST) == trace(
        suspect, since, suspicion, facts, LAST
    )


@given(facts_, suspects, days, st.sampled_from(Suspicion))
def test_neighbours_are_in_one_home_with_a_contact_on_their_days_and_are_none(
    facts, suspect, since, suspicion
):
    found = trace(suspect, since, suspicion, facts, LAST)
    contacts = {one.thing.key: one.first for one in found.of(ThingKind.ENCLOSURE)}
    expected = set()
    for other, one in product(facts.standings, facts.standings):
        if other.home == one.home and one.enclosure in contacts and other.enclosure not in contacts:
            day = contacts[one.enclosure]
            while day <= LAST:
                if all(s.since <= day and (s.until is None or day < s.until) for s in (one, other)):
                    expected.add((other.enclosure, other.home))
                day += timedelta(days=1)
    assert {(one.enclosure, one.home) for one in found.neighbours} == expected


def parts(facts):
    return facts.livings, facts.stayings, facts.lyings, facts.standings, facts.washings


def known_by(facts, day):
    """What was written down by the end of a day, with spans that last as far as anybody knows."""

    def known(span):
        is_open = span.until is not None and span.until > day
        return span._replace(until=None) if is_open else span

    *spans_, washed = parts(facts)
    begun = [tuple(known(one) for one in rows if one.since <= day) for rows in spans_]
    return Facts(*begun, tuple(one for one in washed if one.on <= day))


def after(rows, day):
    """Only what begins after a day."""
    return (one for one in rows if (one.on if isinstance(one, Washing) else one.since) > day)
