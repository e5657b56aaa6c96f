"""How a thing of a trace was met, as a sentence: who was where, on which days."""

from collections.abc import Iterator, Mapping
from datetime import date

from habitats.rotation.trace import Contact, Meeting
from habitats.rotation.trace_facts import ContactKind, Thing, ThingKind

# What is said of a thing and what it met: of a meeting that is over, and of one that lasts.
_PHRASES = {
    (ContactKind.LAY_UNDER, ThingKind.LINEN): (
        "lay under {met} in {place}",
        "has lain under {met} in {place}",
    ),
    (ContactKind.LAY_UNDER, ThingKind.GROUP): (
        "lived on {met} in {place}",
        "have lived on {met} in {place}",
    ),
    (ContactKind.LAY_IN, ThingKind.LINEN): ("lay in {met}", "has lain in {met}"),
    (ContactKind.LIVED_IN, ThingKind.GROUP): ("lived in {met}", "have lived in {met}"),
    (ContactKind.BELONGED, ThingKind.ANIMAL): ("lived with {met}", "has lived with {met}"),
    (ContactKind.WASHED, ThingKind.LINEN): ("was washed with {met}", "is washed with {met}"),
}
# The other way round, where it is the other that came: {it} is then the thing that is told of.
_TURNED = {
    (ContactKind.LAY_IN, ThingKind.ENCLOSURE): ("{met} lay in {it}", "{met} has lain in {it}"),
    (ContactKind.LIVED_IN, ThingKind.ENCLOSURE): (
        "{met} lived in {it}",
        "{met} have lived in {it}",
    ),
    (ContactKind.BELONGED, ThingKind.GROUP): ("{met} lived with {it}", "{met} has lived with {it}"),
}
_ITSELF = {ThingKind.GROUP: "them"}


def days_words(first: date, last: date | None) -> str:
    """``on 3 March 2027``, ``3 to 9 March 2027``; ``since 3 March 2027`` for one that lasts."""
    if last is None:
        return f"since {first:%-d %B %Y}"
    if first == last:
        return f"on {first:%-d %B %Y}"
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day} to {last:%-d %B %Y}"
    if first.year == last.year:
        return f"{first:%-d %B} to {last:%-d %B %Y}"
    return f"{first:%-d %B %Y} to {last:%-d %B %Y}"


def how_words(contact: Contact, names: Mapping[Thing, str]) -> str:
    """The chain as one sentence, from the thing itself to the suspect; empty for the suspect.

    ``names``: of every thing that is met on the way, and of the enclosures they met in.
    """
    return _capital(" ".join(_links(contact, names)))


def _links(contact: Contact, names: Mapping[Thing, str]) -> Iterator[str]:
    taker, before = contact.thing, None
    for meeting in contact.chain:
        clause = _clause(taker, meeting, names, by_name=before is not None)
        if before is not None:
            clause = f"{'while' if _overlap(meeting, before) else 'after'} {clause}"
        is_last = meeting is contact.chain[-1]
        yield f"{clause} {days_words(meeting.first, meeting.last)}{'' if is_last else ','}"
        taker, before = meeting.met, meeting


def _clause(taker: Thing, meeting: Meeting, names: Mapping[Thing, str], *, by_name: bool) -> str:
    met = names[meeting.met]
    is_now = meeting.last is None
    if turned := _TURNED.get((meeting.how, taker.sort)):
        it = names[taker] if by_name else _ITSELF.get(taker.sort, "it")
        return turned[is_now].format(met=met, it=it)
    place = names.get(Thing(ThingKind.ENCLOSURE, meeting.place), "")
    phrase = _PHRASES[meeting.how, taker.sort][is_now].format(met=met, place=place)
    return f"{names[taker]} {phrase}" if by_name else phrase


def _overlap(one: Meeting, other: Meeting) -> bool:
    """Whether two meetings have a day in common."""
    ends = (one.last or date.max), (other.last or date.max)
    return max(one.first, other.first) <= min(ends)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
