"""How a thing of a trace was met, as a sentence: who was where, on which days."""

from collections.abc import Mapping
from datetime import date

from habitats.rotation.trace import Contact, Meeting
from habitats.rotation.trace_facts import ContactKind, Thing, ThingKind
from habitats.wording import MONTHS, message, message_in

# What is said of a thing and what it met: of a meeting that is over, and of one that lasts.
_PHRASES = {
    (ContactKind.LAY_UNDER, ThingKind.LINEN): (
        message("lay under %(met)s in %(place)s"),
        message("has lain under %(met)s in %(place)s"),
    ),
    (ContactKind.LAY_UNDER, ThingKind.GROUP): (
        message("lived on %(met)s in %(place)s"),
        message("have lived on %(met)s in %(place)s"),
    ),
    (ContactKind.LAY_IN, ThingKind.LINEN): (
        message("lay in %(met)s"),
        message("has lain in %(met)s"),
    ),
    (ContactKind.LIVED_IN, ThingKind.GROUP): (
        message("lived in %(met)s"),
        message("have lived in %(met)s"),
    ),
    (ContactKind.BELONGED, ThingKind.ANIMAL): (
        message("lived with %(met)s"),
        message("has lived with %(met)s"),
    ),
    (ContactKind.WASHED, ThingKind.LINEN): (
        message("was washed with %(met)s"),
        message("is washed with %(met)s"),
    ),
}
# The other way round, where it is the other that came: "it" is then the thing that is told of.
_TURNED = {
    (ContactKind.LAY_IN, ThingKind.ENCLOSURE): (
        message("%(met)s lay in %(it)s"),
        message("%(met)s has lain in %(it)s"),
    ),
    (ContactKind.LIVED_IN, ThingKind.ENCLOSURE): (
        message("%(met)s lived in %(it)s"),
        message("%(met)s have lived in %(it)s"),
    ),
    (ContactKind.BELONGED, ThingKind.GROUP): (
        message("%(met)s lived with %(it)s"),
        message("%(met)s has lived with %(it)s"),
    ),
}
_ITSELF = {ThingKind.GROUP: message_in("a group that others lived with", "them")}
_IT = message_in("an enclosure that others lived or lay in", "it")


def days_words(first: date, last: date | None) -> str:
    """``on 3 March 2027``, ``3 to 9 March 2027``; ``since 3 March 2027`` for one that lasts."""
    if last is None:
        return message("since %(day)s", day=_in_full(first))
    if first == last:
        return message("on %(day)s", day=_in_full(first))
    if (first.year, first.month) == (last.year, last.month):
        return message("%(number)d to %(last)s", number=first.day, last=_in_full(last))
    begin = _of_year(first) if first.year == last.year else _in_full(first)
    return message("%(first)s to %(last)s", first=begin, last=_in_full(last))


def _in_full(day: date) -> str:
    month = MONTHS[day.month - 1]
    return message("%(day)d %(month)s %(year)d", day=day.day, month=month, year=day.year)


def _of_year(day: date) -> str:
    return message("%(day)d %(month)s", day=day.day, month=MONTHS[day.month - 1])


def how_words(contact: Contact, names: Mapping[Thing, str]) -> str:
    """The chain as one sentence, from the thing itself to the suspect; empty for the suspect.

    ``names``: of every thing that is met on the way, and of the enclosures they met in. It is told
    in the language of the reader at hand.
    """
    told: str = ""
    taker, before = contact.thing, None
    for meeting in contact.chain:
        clause = message(
            "%(clause)s %(days)s",
            clause=_clause(taker, meeting, names, by_name=before is not None),
            days=days_words(meeting.first, meeting.last),
        )
        if before is None:
            told = clause
        elif _overlap(meeting, before):
            told = message("%(before)s, while %(clause)s", before=told, clause=clause)
        else:
            told = message("%(before)s, after %(clause)s", before=told, clause=clause)
        taker, before = meeting.met, meeting
    return _capital(str(told))


def _clause(taker: Thing, meeting: Meeting, names: Mapping[Thing, str], *, by_name: bool) -> str:
    met = names[meeting.met]
    is_now = meeting.last is None
    if turned := _TURNED.get((meeting.how, taker.sort)):
        it = names[taker] if by_name else _ITSELF.get(taker.sort, _IT)
        return turned[is_now].filled(met=met, it=it)
    place = names.get(Thing(ThingKind.ENCLOSURE, meeting.place), "")
    phrase = _PHRASES[meeting.how, taker.sort][is_now].filled(met=met, place=place)
    if not by_name:
        return phrase
    return message("%(thing)s %(what)s", thing=names[taker], what=phrase)


def _overlap(one: Meeting, other: Meeting) -> bool:
    """Whether two meetings have a day in common."""
    ends = (one.last or date.max), (other.last or date.max)
    return max(one.first, other.first) <= min(ends)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
