"""Suspected infection: how linens that were set aside are washed, and what releases them.

The figures of the programme decide, never its name: the temperature that the water itself holds,
in °C, and for how many minutes. Dry heat, as of a tumble dryer, releases nothing. These are
cautions for people who keep animals, not veterinary advice: what a vet says comes first.
"""

from collections.abc import Iterable, Sequence
from enum import StrEnum
from typing import NamedTuple

from habitats.source import Known, Source
from habitats.wording import counted, joined, listed, message


class Suspicion(StrEnum):
    """What linens are set aside for."""

    RINGWORM = "ringworm"
    OTHER = "other"
    UNKNOWN = "unknown"

    @property
    def words(self) -> str:
        """As it is told in a sentence."""
        return _SUSPECTED[self]


_SUSPECTED = {
    Suspicion.RINGWORM: message("ringworm"),
    Suspicion.OTHER: message("an infection other than ringworm"),
    Suspicion.UNKNOWN: message("an unknown infection"),
}


class WashRun(NamedTuple):
    """One run of a machine: so many minutes at this temperature.

    ``is_dry``: hot air instead of water, as in a tumble dryer.
    """

    name: str
    temperature_c: int
    minutes: int
    is_dry: bool = False

    @property
    def figures(self) -> str:
        return f"{self.temperature_c} °C, {self.minutes} min"


class WashHold(NamedTuple):
    """At least this temperature for at least so many minutes."""

    temperature_c: int
    minutes: int

    @property
    def words(self) -> str:
        return message(
            "%(celsius)d °C or more for at least %(minutes)d min",
            celsius=self.temperature_c,
            minutes=self.minutes,
        )

    def __str__(self) -> str:
        return str(self.words)

    def is_met_by(self, programme: WashRun) -> bool:
        """Whether a wash holds as much; both bounds are included."""
        return (
            not programme.is_dry
            and programme.temperature_c >= self.temperature_c
            and programme.minutes >= self.minutes
        )


class WashRule(NamedTuple):
    """So many washes, each of which meets one of the holds."""

    washes: int
    holds: tuple[WashHold, ...]
    source: Source

    @property
    def words(self) -> str:
        """The washes as a sentence lists them."""
        holds = [hold.words for hold in self.holds]
        at = holds[0] if len(holds) == 1 else _or(holds)
        return counted(
            "%(count)d wash at %(holds)s",
            "%(count)d washes, each at %(holds)s",
            self.washes,
            holds=at,
        )

    def __str__(self) -> str:
        return str(self.words)

    def counts(self, programme: WashRun) -> bool:
        """Whether the programme is one of the washes that the rule asks for."""
        return any(hold.is_met_by(programme) for hold in self.holds)

    def still(self, programmes: Iterable[WashRun]) -> int:
        """How many washes are still missing after these."""
        return max(0, self.washes - sum(map(self.counts, programmes)))


# Two washes of 14 minutes, even cold, freed towels of M. canis; 60 °C freed cloth of Trichophyton,
# dry heat of 60 °C did not. Nobody knows at home which of the two it is, so both are asked for.
RINGWORM_RULE = WashRule(
    2,
    (WashHold(60, 14),),
    Source(
        message(
            "J Feline Med Surg 18:457 (2016) asks for two washes of 14 min, J Fungi 8:546 (2022) "
            "for 60 °C; both together are the cautious rule"
        ),
        Known.RECKONED,
    ),
)
UK_HEAT_RULE = WashRule(
    1,
    (WashHold(65, 10), WashHold(71, 3)),
    Source(
        message(
            "HTM 01-04 (UK, linen in health care): held once the water has mixed, which takes "
            "longer (4 to 8 min, from memory)"
        ),
        Known.PRIMARY,
    ),
)
# Stricter, and shown beside the other; it decides nothing.
US_HEAT_RULE = WashRule(
    1, (WashHold(71, 25),), Source(message("US CDC guideline (2003)"), Known.SECOND_HAND)
)

_RULES = {
    Suspicion.RINGWORM: (RINGWORM_RULE,),
    Suspicion.OTHER: (UK_HEAT_RULE,),
    Suspicion.UNKNOWN: (RINGWORM_RULE, UK_HEAT_RULE),
}

# What no programme says. J Feline Med Surg 18:457: hair removed, drum not overloaded.
WASHING_ADVICE = message(
    "Take hair off first, do not overfill the drum, and wash nothing else with them. Tumble "
    "drying, dry heat or freezing alone releases nothing. What a vet says comes first."
)


class Release(NamedTuple):
    """Whether washed linens may go back to the others; ``still``: the washes missing at least.

    ``missing``: which washes these are, in words; empty if released.
    """

    released: bool
    sentence: str
    still: int
    missing: str
    sources: tuple[Source, ...]


def rules_for(suspicion: Suspicion) -> tuple[WashRule, ...]:
    """The rules of which every one has to be met; one wash may count for several."""
    return _RULES[suspicion]


def washes_needed(suspicion: Suspicion) -> int:
    """The least number of washes that can release."""
    return max(rule.washes for rule in rules_for(suspicion))


def releases(suspicion: Suspicion, programmes: Sequence[WashRun]) -> Release:
    """Whether these programmes, run since the linens were set aside, release them.

    Both words and figures say what is missing. The sentence is at most 300 marks long.
    """
    rules = rules_for(suspicion)
    missing = [(rule, still) for rule in rules if (still := rule.still(programmes))]
    return Release(
        released=not missing,
        sentence=_missing_words(suspicion, missing, programmes)
        if missing
        else _released_words(suspicion, programmes),
        still=max((still for _rule, still in missing), default=0),
        missing=_wanted_words(missing),
        sources=tuple(rule.source for rule in rules),
    )


def _released_words(suspicion: Suspicion, programmes: Sequence[WashRun]) -> str:
    washes = sum(any(rule.counts(one) for rule in rules_for(suspicion)) for one in programmes)
    done = counted(
        "Released: %(count)d wash hot and long enough for %(suspicion)s.",
        "Released: %(count)d washes, each hot and long enough for %(suspicion)s.",
        washes,
        suspicion=suspicion.words,
    )
    return joined(" ", (done, message("If a vet says otherwise, do as the vet says.")))


def _missing_words(
    suspicion: Suspicion, missing: Sequence[tuple[WashRule, int]], programmes: Sequence[WashRun]
) -> str:
    wanted = message(
        "Not released from %(suspicion)s: it still takes %(washes)s.",
        suspicion=suspicion.words,
        washes=_wanted_words(missing),
    )
    last = _why_the_last_does_not_count(missing, programmes)
    return joined(" ", (wanted, *last, message("Ask a vet when unsure.")))


def _wanted_words(missing: Sequence[tuple[WashRule, int]]) -> str:
    wanted = listed([rule._replace(washes=still).words for rule, still in missing])
    if len(missing) < 2:
        return wanted
    return message("%(washes)s; one wash may count for both", washes=wanted)


def _why_the_last_does_not_count(
    missing: Sequence[tuple[WashRule, int]], programmes: Sequence[WashRun]
) -> tuple[str, ...]:
    """Of the latest programme, since it was just run; empty if it counts."""
    if not programmes or all(rule.counts(programmes[-1]) for rule, _still in missing):
        return ()
    last = programmes[-1]
    if last.is_dry:
        return (message("Tumble drying does not count."),)
    return (message("The last wash (%(figures)s) does not count for it.", figures=last.figures),)


def _or(holds: Sequence[str]) -> str:
    *others, last = holds
    return message("%(others)s, or %(last)s", others=joined(", ", others), last=last)
