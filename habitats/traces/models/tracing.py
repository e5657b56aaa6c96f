"""What traces are reckoned from, what an open trace says of a thing, and setting linens aside."""

import uuid
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from typing import Any

from django.db import transaction
from django.db.models import F, OuterRef, Q, QuerySet, Subquery

from habitats.animals.models.groups import Membership
from habitats.animals.models.stays import Stay
from habitats.enclosures.models.standing import Standing
from habitats.linens.models.linens import Linen, LinenEvent
from habitats.linens.models.turns import lock_linens
from habitats.people.models.people import Person
from habitats.rotation import trace as pure
from habitats.rotation import trace_facts as facts
from habitats.rotation.infection import WashRun
from habitats.rotation.states import State
from habitats.rotation.trace_facts import Facts, Thing
from habitats.traces.models.traces import Trace
from habitats.wording import message

# Where a linen is wet, gone, or set aside already: it is not set aside from there.
_NOT_AT_HAND = (
    State.WASHING,
    State.DRYING,
    State.DRY,
    State.RETIRED,
    State.LOST,
)


def facts_since(since: date, today: date) -> Facts:
    """All that was together on a day from the one to the other: six queries, however much it is.

    Groups, enclosures, homes and animals go by their codes, linens by their labels.
    """
    return Facts(
        livings=_spans(Membership.objects, facts.LivingSpan, ("animal", "group"), since, today),
        stayings=_spans(Stay.objects, facts.StaySpan, ("group", "enclosure"), since, today),
        lyings=tuple(_lyings(since, today)),
        standings=_spans(Standing.objects, facts.StandingSpan, ("enclosure", "home"), since, today),
        washings=tuple(_washings(since, today)),
    )


def trace_contacts(trace: Trace, today: date) -> tuple[pure.TraceResult, Facts]:
    """What the trace's suspect met until today, with what it was reckoned from."""
    found = facts_since(trace.since, today)
    return pure.trace(trace.thing, trace.since, trace.suspected, found, today), found


def suspected_now(today: date) -> dict[Thing, list[Trace]]:
    """By group, enclosure or linen, the open traces that it is a contact of and not free from.

    One query while no trace is open.
    """
    found: dict[Thing, list[Trace]] = defaultdict(list)
    for trace in Trace.objects.open().with_suspect().order_by("pk"):
        for contact in trace_contacts(trace, today)[0].contacts:
            if contact.washes != 0:
                found[contact.thing].append(trace)
    return found


def at_hand(linens: Iterable[Linen]) -> list[Linen]:
    """Those that can be set aside now: neither in the wash nor gone, nor set aside before."""
    return [one for one in linens if not one.suspicion and one.state not in _NOT_AT_HAND]


def set_aside(
    trace: Trace, linens: Sequence[Linen], on: date, *, by: Person, idempotency_key: uuid.UUID
) -> int:
    """Set linens of the trace aside for what it suspects. How many that were.

    The same key again sets none aside. Raises ``InvalidTransition`` for a linen
    that was seen later, and then sets none aside.
    """
    with transaction.atomic():
        lock_linens(linens)
        for linen in linens:
            linen.set_state(
                State.SET_ASIDE,
                on,
                by=by,
                suspicion=trace.suspicion,
                note=message("Met in the trace %(code)s.", code=trace.code),
                idempotency_key=uuid.uuid5(idempotency_key, linen.label),
            )
    return len(linens)


def _spans(
    rows: Any, fact: type[Any], ends: tuple[str, str], since: date, today: date
) -> tuple[Any, ...]:
    there = rows.filter(Q(until__isnull=True) | Q(until__gt=since), since__lte=today)
    real = there.exclude(until=F("since")).order_by("pk")
    columns = (*(f"{end}__code" for end in ends), "since", "until")
    return tuple(fact(*row) for row in real.values_list(*columns))


def _lyings(since: date, today: date) -> Iterator[facts.LyingSpan]:
    """Where linens lay on those days. What was laid and taken out on one day lay there on it."""
    columns = "linen__label", "spot__enclosure__code", "spot__key", "on", "out_on"
    for events in (_lying_then(since), _laid_since(since, today)):
        for label, enclosure, spot, on, out_on in events.order_by("pk").values_list(*columns):
            until = on + timedelta(days=1) if on == out_on else out_on
            yield facts.LyingSpan(label, enclosure, spot, on, until)


def _lying_then(since: date) -> QuerySet[LinenEvent]:
    """The events by which linens lay somewhere at the beginning of that day."""
    before = LinenEvent.objects.filter(linen=OuterRef("pk"), on__lt=since).order_by("-pk")
    last = Linen.objects.annotate(was=Subquery(before.values("pk")[:1])).values("was")
    return _with_end(LinenEvent.objects.filter(pk__in=last, state=State.IN_USE))


def _laid_since(since: date, today: date) -> QuerySet[LinenEvent]:
    laid = LinenEvent.objects.filter(state=State.IN_USE, on__gte=since, on__lte=today)
    return _with_end(laid)


def _with_end(events: QuerySet[LinenEvent]) -> QuerySet[LinenEvent]:
    """Adds ``out_on``: the day of what happened to the linen next; None if nothing did yet."""
    following = LinenEvent.objects.filter(linen=OuterRef("linen"), pk__gt=OuterRef("pk"))
    return events.annotate(out_on=Subquery(following.order_by("pk").values("on")[:1]))


def _washings(since: date, today: date) -> Iterator[facts.Washing]:
    """The washes of those days, in the order in which loads were started.

    Where a load was washed several times in a row it is told as often.
    """
    columns = (
        "load__code",
        "on",
        "load__programme__name",
        "load__programme__temperature_c",
        "load__programme__minutes",
        "linen__label",
    )
    washed = LinenEvent.objects.filter(
        state=State.WASHING, load__isnull=False, on__gte=since, on__lte=today
    )
    times: Counter[tuple[str, str]] = Counter()
    washes: dict[tuple[str, int], facts.Washing] = {}
    for code, on, *programme, label in washed.order_by("load", "pk").values_list(*columns):
        times[code, label] += 1
        key = code, times[code, label]
        known = washes.get(key) or facts.Washing(code, (), on, WashRun(*programme))
        washes[key] = known._replace(linens=(*known.linens, label))
    yield from washes.values()
