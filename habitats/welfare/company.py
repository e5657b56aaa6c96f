"""Who may live together: every objection to a group on a day, with its reason and its dates.

Cautions for people who keep animals, not veterinary advice: a vet's word comes before any of them.
"""

from collections.abc import Sequence
from datetime import date

from habitats.welfare.companion import Companion
from habitats.welfare.limits import DEFAULTS, Limits
from habitats.welfare.objection import Objection
from habitats.welfare.source import Source


def company(
    animals: Sequence[Companion],
    today: date,
    *,
    never_singly: Source | None = None,
    limits: Limits = DEFAULTS,
) -> tuple[Objection, ...]:
    """All that speaks against these animals living together today; blocks first.

    ``never_singly`` is the source of the rule set that forbids keeping one alone, None if the
    chosen one does not: then one alone is a warning. Raises ``ValueError`` if two share a ref.
    """
    raise NotImplementedError


def allowed_from(
    animals: Sequence[Companion],
    today: date,
    *,
    never_singly: Source | None = None,
    limits: Limits = DEFAULTS,
) -> date | None:
    """The first day, today or later, on which nothing blocks this group; None if time cannot help.

    Warnings may remain. A later block may come again: ask ``company`` on that day.
    """
    raise NotImplementedError
