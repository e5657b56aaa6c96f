"""Facts of traces that two people may change at once."""

from habitats.basis import Fact
from habitats.common.facts import fact
from habitats.traces.models.traces import Trace


def ended(trace: Trace) -> list[Fact]:
    end = trace.ended()
    words = f"over since {end.on:%-d %B %Y}" if end and end.on else "open"
    return [fact(trace, "end", "Contact tracing", end.pk if end else None, words)]
