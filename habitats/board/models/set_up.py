"""Set-up: what a new rescue does first, each step told done or open by what is recorded.

Nothing is ticked, so that a step done elsewhere, by import or by another person, is done here too.
"""

from dataclasses import dataclass
from functools import cache
from typing import Any

from django.db.models import Exists
from django.utils.functional import cached_property

from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Membership
from habitats.designs.models.designs import Design
from habitats.enclosures.models.enclosures import Enclosure
from habitats.homes.models.homes import Home
from habitats.linens.models.pools import Pool
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from habitats.wording import Message, message


@dataclass(frozen=True)
class SetUpWay:
    """A page that does a step; the first of a step is the usual one.

    ``until`` names a fact: once it is so, what comes after this way is more likely.
    ``at``: where on the page the step begins; empty: at its head.
    """

    label: Message
    name: str
    asked: str = ""
    until: str = ""
    at: str = ""


@dataclass(frozen=True)
class SetUpStep:
    """``code`` names the fact that tells whether it is done."""

    code: str
    title: Message
    why: Message
    ways: tuple[SetUpWay, ...]


SOME_ANIMALS = "some_animals"
STEPS = (
    SetUpStep(
        "standard",
        message("Space standard, currency"),
        message("Floors are checked against your country’s standard. Costs are in your currency."),
        (
            SetUpWay(message("Choose space standard"), "rescue", at="id_currency"),
            SetUpWay(message("Compare space standards"), "rule_sets"),
            SetUpWay(message("My units and paper"), "own_settings"),
        ),
    ),
    SetUpStep(
        "panel",
        message("Panel size"),
        message("Every cut depends on it. You need five panels in a row and a tape measure."),
        (SetUpWay(message("Enter panel size"), "panel_size"),),
    ),
    SetUpStep(
        "homes",
        message("Homes"),
        message("Enclosures stand in homes. If you have a list already, import it as one file."),
        (
            SetUpWay(message("Add home"), "new_home"),
            SetUpWay(message("Import homes"), "import_csv", "kind=homes"),
        ),
    ),
    SetUpStep(
        "design",
        message("First design"),
        message("A design tells you its floor area, parts, cuts and steps."),
        (
            SetUpWay(message("Choose starter design"), "builds:starter_designs"),
            SetUpWay(message("Draw design"), "builds:new_design"),
        ),
    ),
    SetUpStep(
        "enclosure",
        message("First build or enclosure"),
        message("Plan a build of your design for a home, or record an enclosure that stands."),
        (
            SetUpWay(message("Plan build"), "builds:new_build"),
            SetUpWay(message("Record enclosure"), "new_enclosure"),
            SetUpWay(message("Import enclosures"), "import_csv", "kind=enclosures"),
            SetUpWay(message("Import store items"), "import_csv", "kind=items"),
        ),
    ),
    SetUpStep(
        "animals",
        message("Animals and groups"),
        message("Groups show who lives together, so space and company can be checked."),
        (
            SetUpWay(message("New intake"), "new_intake", until=SOME_ANIMALS),
            SetUpWay(message("Import animals"), "import_csv", "kind=animals", SOME_ANIMALS),
            SetUpWay(message("Make group"), "new_group"),
        ),
    ),
    SetUpStep(
        "laundry",
        message("Laundry"),
        message("A pool has one cupboard and one machine. You see when clean linens run out."),
        (
            SetUpWay(message("New pool"), "new_pool"),
            SetUpWay(message("New kind of linens"), "new_linen_kind"),
            SetUpWay(message("Import linens"), "import_csv", "kind=linens"),
        ),
    ),
    SetUpStep(
        "people",
        message("People"),
        message("Builders, fosters and laundry volunteers each see their own work."),
        (
            SetUpWay(message("Add person"), "new_person"),
            SetUpWay(message("Import people"), "import_csv", "kind=people"),
        ),
    ),
)


@dataclass(frozen=True)
class SetUpProgress:
    """Which steps are done, and which other facts of ``SetUpWay`` are so."""

    done: frozenset[str]
    is_closed: bool
    facts: frozenset[str] = frozenset()

    def ways(self, step: SetUpStep) -> tuple[SetUpWay, ...]:
        """Of a step, the likeliest first."""
        return tuple(sorted(step.ways, key=lambda way: way.until in self.facts))

    @property
    def total(self) -> int:
        return len(STEPS)

    @property
    def number(self) -> int:
        return len(self.done)

    @cached_property
    def next(self) -> SetUpStep | None:
        return next((step for step in STEPS if step.code not in self.done), None)

    @property
    def is_due(self) -> bool:
        """Whether Today still carries it."""
        return self.next is not None and not self.is_closed


def progress() -> SetUpProgress:
    """By one query, since Today asks it each time."""
    ours = next(iter(Rescue.objects.raw(*_question())), None)
    if ours is None:  # nobody has opened the settings yet
        Rescue.ours()
        return progress()
    has_standard = bool(ours.guinea_pig_rules or ours.rabbit_rules)
    facts = {code for code in _FOUND if vars(ours)[code]}
    done = {step.code for step in STEPS} & facts
    done |= {"standard"} if has_standard and ours.currency else set()
    done |= {"panel"} if ours.panel else set()
    return SetUpProgress(frozenset(done), ours.is_set_up_closed, frozenset(facts))


@cache
def _question() -> tuple[str, tuple[Any, ...]]:
    """In SQL. It never changes, and Django takes longer to write it than a database to answer."""
    ours = Rescue.objects.filter(pk=1).annotate(**_FOUND)
    sql, values = ours.query.sql_with_params()
    return sql, tuple(values)


# By code of a step, or of a fact: what there is once it is so. A build is known here by name only,
# as in addresses.
_FOUND = {
    "homes": Exists(Home.objects.all()),
    "design": Exists(Design.objects.listed()),
    "enclosure": Exists(Enclosure.objects.all()) | Exists(Home.objects.exclude(builds=None)),
    "animals": Exists(Membership.objects.all()),
    SOME_ANIMALS: Exists(Animal.objects.all()),
    "laundry": Exists(Pool.objects.all()),
    "people": Exists(Person.objects.with_role(*Person.Role.values[1:])),
}
