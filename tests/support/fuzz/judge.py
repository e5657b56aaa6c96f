"""What is wrong with an answer: a 500, or a row that changed although nothing was taken."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass

LEAST_FAULT = 500
REFUSED_FORM = 422
SAFE = ("GET", "HEAD", "OPTIONS", "TRACE")
# What any request may write: who is logged in, what is noted of tries at that and of access, and
# what is only kept at hand to be told sooner (a reading is worked out again from what happened).
ALWAYS = frozenset(
    {
        "django_session",
        "axes_accessattempt",
        "axes_accessattemptexpiration",
        "axes_accessfailurelog",
        "axes_accesslog",
        "habitats_accessevent",
        "habitats_reading",
        "habitats_duerow",
        "habitats_pooldates",
        "habitats_unhoused",
        "habitats_unhousedsearch",
    }
)
# What may be written where somebody only asks: when the papers of a kit's link were printed last.
ASKED = frozenset({"builds_kitlink"})


@dataclass(frozen=True, slots=True)
class Answered:
    """``written``: how many rows of each table were added, changed or removed for good."""

    status: int
    location: str
    written: Mapping[str, int]
    fault: str = ""
    # Whether a form that is refused says why: beside a field, or above them all.
    says_why: bool = True


def faults_in(method: str, answered: Answered, *, log_in: str) -> list[str]:
    """A sentence for each thing that may not be; none if the answer is in order.

    ``log_in``: the address to which those are sent who are not logged in.
    """
    found = []
    if answered.status >= LEAST_FAULT:
        found.append(f"answered {answered.status}: {answered.fault or 'nothing more is known'}")
    elif answered.fault:
        found.append(f"answered {answered.status}, and broke off: {answered.fault}")
    if answered.status == REFUSED_FORM and not answered.says_why:
        found.append(f"was refused with {REFUSED_FORM}, and does not say why")
    if why := _why_nothing_may_change(method, answered, log_in):
        allowed = ALWAYS | ASKED if _only_asked(method, answered) else ALWAYS
        found += [
            f"{why}, and {count} of {table} changed"
            for table, count in _changed(answered.written, allowed)
        ]
    return found


def _why_nothing_may_change(method: str, answered: Answered, log_in: str) -> str:
    if answered.status >= 400:
        return f"was refused with {answered.status}"
    if _only_asked(method, answered):
        return f"only asked, with {method}"
    if answered.location.partition("?")[0] == log_in:
        return "was sent to log in"
    return ""


def _only_asked(method: str, answered: Answered) -> bool:
    return answered.status < 400 and method in SAFE


def _changed(written: Mapping[str, int], allowed: Collection[str]) -> list[tuple[str, int]]:
    return sorted((table, count) for table, count in written.items() if table not in allowed)
