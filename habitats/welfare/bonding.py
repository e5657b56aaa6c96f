"""Two that were brought together and would not bear each other."""

from datetime import date

from habitats.source import PRACTICE
from habitats.welfare.companion import Companion, Refusal
from habitats.welfare.limits import WelfareLimits
from habitats.welfare.objection import Objection, warning
from habitats.welfare.words import day_words
from habitats.wording import message

__all__ = ["Refusal", "bonding_refused"]


def bonding_refused(
    one: Companion, other: Companion, day: date, limits: WelfareLimits
) -> Objection | None:
    """They fought, or were parted to prevent it, and did not bond since; None where they did.

    That it is remembered until they bond is common practice, no source.
    """
    if one.ref > other.ref:
        return None
    days = [refusal.on for refusal in one.refusals if refusal.other == other.ref]
    if not days or days[-1] > day:
        return None
    return warning(
        "bonding_refused",
        (one.ref, other.ref),
        message(
            "%(one)s and %(other)s refused each other on %(day)s and have not bonded since. Bring "
            "them together on neutral ground and watched, or keep them apart.",
            one=one.name,
            other=other.name,
            day=day_words(days[-1]),
        ),
        PRACTICE,
        basis=days[-1],
    )
