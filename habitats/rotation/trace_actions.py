"""What to do next about each thing of a trace, in words for the hands that do it.

These are cautions for people who keep animals, not veterinary advice: what a vet says comes first.
Where no source is named it is common practice, without one.
"""

from collections.abc import Iterable, Iterator
from datetime import date
from enum import StrEnum
from typing import NamedTuple

from habitats.rotation.infection import Suspicion, rules_for, washes_needed
from habitats.rotation.trace import Contact, HomeMet, Neighbour, TraceResult
from habitats.rotation.trace_facts import LivingSpan, ThingKind
from habitats.source import Source
from habitats.wording import joined, message


class Verb(StrEnum):
    STAY = "stay"
    WATCH = "watch"
    CLEAN = "clean"
    SET_ASIDE = "set-aside"
    WASH = "wash"
    INFORM = "inform"


class Action(NamedTuple):
    """``key`` names it for a tick, the same tomorrow as today."""

    key: str
    verb: Verb
    words: str


ORDER_OF_WORK = message(
    "Look after animals without known contact first, and the suspected ones last. Wash your hands "
    "in between, and change what you wear over your clothes. Some infections, ringworm among them, "
    "pass to people: wear gloves, and ask a doctor about any rash."
)
WHAT_IS_NOT_KNOWN = message(
    "Only recorded contacts are traced. Linens that waited in one basket or cupboard, hands, "
    "clothes and tools are not: ask who was there."
)
VET_FIRST = message(
    "A vet says what it is, whom to treat and when it is over. What a vet says comes first."
)

_STAY_GROUP = message("No animal joins, leaves or moves until a vet has seen them")
_WATCH_GROUP = message("Weigh them and check their health each day; record it for the vet")
_STAY_ENCLOSURE = message("No animal moves in until it is clean and a vet has agreed")
_CLEAN_ENCLOSURE = message(
    "Take all linens out, brush off hair and dirt, then clean trays, panels and ramps, and use a "
    "disinfectant that is meant for it as the product’s label says; let all dry before animals "
    "come back"
)
_SET_ASIDE = message("Set it aside, in a closed bag apart from all other linens")
_INFORM_HOME = message("Tell the people in this home what is suspected, and what to do")
_INFORM_HOLDER = message(
    "Tell the person who has this animal now what is suspected, and to ask a vet"
)
_WATCH_NEIGHBOUR = message("Same home, no known contact: check the animals that live here each day")


def key_of(verb: Verb, sort: str, key: str) -> str:
    """As a tick names it: ``wash linen K3F7H``."""
    return f"{verb} {sort} {key}"


def actions_for(contact: Contact, suspicion: Suspicion) -> tuple[Action, ...]:
    """What to do about a group, an enclosure or a linen; nothing for a linen that is free again.

    What an animal needs is done with its group: ``of_animal`` is for one that has left.
    """
    return tuple(
        Action(key_of(verb, *contact.thing), verb, words)
        for verb, words in _words_for(contact, suspicion)
    )


def of_animal(animal: Contact) -> Action:
    return Action(key_of(Verb.INFORM, *animal.thing), Verb.INFORM, _INFORM_HOLDER)


def of_home(home: HomeMet) -> Action:
    return Action(key_of(Verb.INFORM, "home", home.home), Verb.INFORM, _INFORM_HOME)


def of_neighbour(neighbour: Neighbour) -> Action:
    key = key_of(Verb.WATCH, ThingKind.ENCLOSURE, neighbour.enclosure)
    return Action(key, Verb.WATCH, _WATCH_NEIGHBOUR)


def in_no_group(
    trace: TraceResult, livings: Iterable[LivingSpan], today: date
) -> tuple[Contact, ...]:
    """Animals of the trace that live in no group today: nobody sees to them with one."""
    grouped = {
        one.animal
        for one in livings
        if one.since <= today and (one.until is None or today < one.until)
    }
    return tuple(one for one in trace.of(ThingKind.ANIMAL) if one.thing.key not in grouped)


def washing_words(suspicion: Suspicion) -> str:
    """Which washes release: ``2 washes, each at 60 °C or more for at least 14 minutes``."""
    words = [rule.words for rule in rules_for(suspicion)]
    if len(words) == 1:
        return words[0]
    return message("%(others)s, and %(last)s", others=joined(", ", words[:-1]), last=words[-1])


def sources_for(suspicion: Suspicion) -> tuple[Source, ...]:
    """Where the figures of the washes are from."""
    return tuple(rule.source for rule in rules_for(suspicion))


def _words_for(contact: Contact, suspicion: Suspicion) -> Iterator[tuple[Verb, str]]:
    match contact.thing.sort:
        case ThingKind.GROUP:
            yield Verb.STAY, _STAY_GROUP
            yield Verb.WATCH, _WATCH_GROUP
        case ThingKind.ENCLOSURE:
            yield Verb.CLEAN, _CLEAN_ENCLOSURE
            yield Verb.STAY, _STAY_ENCLOSURE
        case ThingKind.LINEN if contact.washes:
            yield Verb.SET_ASIDE, _SET_ASIDE
            yield Verb.WASH, _wash_words(contact.washes, suspicion)


def _wash_words(washes: int, suspicion: Suspicion) -> str:
    rules = washing_words(suspicion)
    if washes == washes_needed(suspicion):
        return message("Wash it apart: %(washes)s", washes=rules)
    return message(
        "Wash it apart: %(washes)s; %(number)d of them still missing", washes=rules, number=washes
    )
