"""Facts of traces that two people may change at once."""

from django.utils.translation import gettext as _

from habitats.basis import Fact
from habitats.common.days import in_full
from habitats.common.facts import fact
from habitats.traces.models.traces import Trace


def ended(trace: Trace) -> list[Fact]:
    end = trace.ended()
    words = _("open")
    if end and end.on:
        words = _("closed on %(day)s") % {"day": in_full(end.on)}
    return [fact(trace, "end", _("Contact tracing"), end.pk if end else None, words)]
