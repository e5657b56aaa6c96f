"""What speaks against animals living together: a value with its reason, source and dates."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from habitats.source import Source


class Severity(StrEnum):
    """A block stands in the way; a warning is for people to weigh."""

    BLOCK = "block"
    WARNING = "warning"


class OverrideTerms(StrEnum):
    """What it takes to go against an objection: a recorded reason, and for some a second look.

    ``NEVER``: what stands in the way ends by itself or with a better record, not by a decision.
    """

    REASON = "reason"
    SECOND_CONFIRMATION = "second_confirmation"
    NEVER = "never"


@dataclass(frozen=True, slots=True)
class Objection:
    """One reason against, between the ``animals`` named by their refs (the one it is about first).

    ``sentence`` ends with the day on which it changes, if there is one. From ``changes_on`` on it
    is gone (``becomes`` None) or of another severity. ``changes_on`` None: time alone does
    not end it.
    ``basis`` is the day of the fact it rests on, so that an override of one quarantine is none
    of the next.
    """

    code: str
    severity: Severity
    animals: tuple[str, ...]
    sentence: str
    source: Source
    override: OverrideTerms
    basis: date | None = None
    changes_on: date | None = None
    becomes: Severity | None = None

    @property
    def key(self) -> str:
        """Stable from day to day while the facts stay: store it with an override, and match it."""
        return " ".join([self.code, *self.animals, self.basis.isoformat() if self.basis else "-"])


def block(
    code: str,
    animals: tuple[str, ...],
    sentence: str,
    source: Source,
    *,
    basis: date | None = None,
    override: OverrideTerms = OverrideTerms.NEVER,
) -> Objection:
    """What stands in the way, with no day on which it changes yet.

    ``basis``: the day since which it holds, by which an override of this one is none of the next;
    None: it is the same one whenever it is said.
    """
    return Objection(code, Severity.BLOCK, animals, sentence, source, override, basis)


def warning(
    code: str,
    animals: tuple[str, ...],
    sentence: str,
    source: Source,
    *,
    basis: date | None = None,
) -> Objection:
    """What people should weigh, with no day on which it changes yet; ``basis`` as for a block."""
    return Objection(code, Severity.WARNING, animals, sentence, source, OverrideTerms.REASON, basis)
