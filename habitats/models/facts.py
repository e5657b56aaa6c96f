"""What pages show of things that two people may change at once, as facts to compare."""

import json
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from django.db import models

from habitats.basis import Fact, plain
from habitats.models.animals import Animal
from habitats.models.enclosures import Enclosure, State
from habitats.models.faults import Fault
from habitats.models.groups import Group
from habitats.models.homes import Home, HomeContact
from habitats.models.linens import Linen, LinenKind
from habitats.models.loads import Load
from habitats.models.people import Person
from habitats.models.pools import Pool
from habitats.models.rescue import Rescue
from habitats.models.traces import Trace

LONGEST_WORDS = 120
NONE = "none"


def fact(row: models.Model, name: str, label: str, value: object, words: object = None) -> Fact:
    """A fact of a row; ``words`` None: the value in words."""
    said = _words(value) if words is None else str(words) or NONE
    return Fact(f"{row._meta.label_lower}.{row.pk}", name, label, plain(value), said)


def fields_of(row: models.Model, names: Iterable[str]) -> list[Fact]:
    """The fields of a row, each by its own name and label; names that are none of it are left out.

    For the forms that edit them: field and fact have the same name.
    """
    known = {field.name: field for field in row._meta.concrete_fields}
    found = [known[name] for name in names if name in known]
    return [
        fact(
            row,
            field.name,
            str(field.verbose_name).capitalize(),
            getattr(row, field.attname),
            _shown(row, field),
        )
        for field in found
    ]


def _shown(row: models.Model, field: "models.Field[Any, Any]") -> str:
    chosen = getattr(row, f"get_{field.name}_display", None)
    return str(chosen()) if chosen else _words(getattr(row, field.name))


def _words(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, date):
        return f"{value:%-d %B %Y}"
    text = NONE if value is None or value == "" else str(value)
    return text if len(text) <= LONGEST_WORDS else f"{text[:LONGEST_WORDS]} …"


# --- Animals and groups ---


def members(group: Group) -> Fact:
    living = group.memberships.open().order_by("animal__name", "animal")
    rows = list(living.values_list("animal", "animal__name"))
    return fact(
        group,
        "members",
        "Animals in the group",
        ",".join(str(key) for key, _name in rows),
        ", ".join(name for _key, name in rows),
    )


def place(group: Group) -> Fact:
    stay = group.stays.open().select_related("enclosure").first()
    enclosure = stay.enclosure if stay else None
    return fact(group, "place", "Lives in", enclosure.pk if enclosure else None, enclosure or NONE)


def company_and_place(group: Group) -> list[Fact]:
    return [members(group), place(group)]


def group_of(animal: Animal) -> Fact:
    membership = animal.memberships.open().select_related("group").first()
    group = membership.group if membership else None
    label = f"Group of {animal}"
    return fact(animal, "group", label, group.pk if group else None, group or "no group")


def groups_of(animals: Iterable[Animal]) -> list[Fact]:
    return [group_of(animal) for animal in animals]


def joining(group_and_animals: tuple[Group, Sequence[Animal]]) -> list[Fact]:
    """What counts when animals join a group: who and where it is, and where they are now."""
    group, animals = group_and_animals
    return [*company_and_place(group), *groups_of(animals)]


def in_care(animal: Animal) -> list[Fact]:
    words = animal.get_left_why_display() if animal.left_on else "in our care"
    return [fact(animal, "left_on", "In our care", animal.left_on, words), group_of(animal)]


def photo(animal: Animal) -> list[Fact]:
    words = "another photo" if animal.photo else "no photo"
    return [fact(animal, "photo", "Photo", animal.photo.name or "", words)]


def last_quarantine(animal: Animal) -> list[Fact]:
    last = animal.quarantines.order_by("-pk").first()
    words = f"since {last.since:%-d %B %Y}" if last else NONE
    if last and last.until:
        words += f" until {last.until:%-d %B %Y}"
    return [fact(animal, "quarantine", "Quarantine", last.pk if last else None, words)]


# --- Enclosures ---


def state(enclosure: Enclosure) -> Fact:
    now = enclosure.state_now()
    return fact(enclosure, "state", "State", now, State(now).label)


def home_of(enclosure: Enclosure) -> Fact:
    standing = enclosure.standings.open().select_related("home").first()
    home = standing.home if standing else None
    return fact(enclosure, "home", "Stands in", home.pk if home else None, home or "no home")


def resident(enclosure: Enclosure) -> Fact:
    stay = enclosure.stays.open().select_related("group").first()
    group = stay.group if stay else None
    return fact(
        enclosure, "group", "Who lives there", group.pk if group else None, group or "nobody"
    )


def as_built(enclosure: Enclosure) -> list[Fact]:
    revision = enclosure.revision
    return [fact(enclosure, "revision", "Design as built", revision.pk, revision)]


def use_of(enclosure: Enclosure) -> list[Fact]:
    return [state(enclosure), resident(enclosure)]


def where_it_stands(enclosure: Enclosure) -> list[Fact]:
    return [home_of(enclosure), resident(enclosure)]


def all_of(enclosure: Enclosure) -> list[Fact]:
    """For what changes the whole of it: an alteration, a retirement."""
    return [state(enclosure), home_of(enclosure), resident(enclosure), *as_built(enclosure)]


def open_faults(enclosure: Enclosure) -> list[Fact]:
    """Altered or mended meanwhile, a repair would be planned of what is not there."""
    faults = list(enclosure.faults.open().order_by("pk"))
    keys = ",".join(str(one.pk) for one in faults)
    words = "; ".join(str(one) for one in faults)
    return [*as_built(enclosure), fact(enclosure, "faults", "Open faults", keys, words)]


def mended(fault: Fault) -> list[Fact]:
    done = getattr(fault, "mended", None)
    words = f"mended on {done.on:%-d %B %Y}" if done else "open"
    return [fact(fault, "mended", "This fault", done.pk if done else None, words)]


def linens_in_it(enclosure: Enclosure) -> list[Fact]:
    """Which linen lies in which place: the next change takes those out."""
    lying = Linen.objects.filter(spot__enclosure=enclosure).order_by("spot")
    rows = list(lying.values_list("spot", "label"))
    return [
        fact(
            enclosure,
            "linens",
            "Linens in it",
            ",".join(f"{spot}:{label}" for spot, label in rows),
            ", ".join(label for _spot, label in rows),
        )
    ]


def change_plan(enclosure: Enclosure) -> list[Fact]:
    plan = getattr(enclosure, "change_plan", None)
    days = plan.interval_days if plan else None
    bare = enclosure.spots.filter(gone_on__isnull=True, is_lined=False).order_by("pk")
    names = list(bare.values_list("name", flat=True))
    keys = ",".join(str(key) for key in bare.values_list("pk", flat=True))
    return [
        fact(enclosure, "interval_days", "Days between changes", days),
        fact(enclosure, "bare", "Places without a linen", keys, ", ".join(names)),
    ]


# --- Homes, people, the rescue ---


def contact(found: HomeContact) -> list[Fact]:
    """Of the home, since a contact nobody has written yet has no row of its own."""
    of = f"contact of home {found.home_id}"
    names = ("full_name", "phone", "email", "address")
    return [one._replace(of=of) for one in fields_of(found, names)]


def closed(row: Home | Pool) -> list[Fact]:
    words = f"closed on {row.closed_on:%-d %B %Y}" if row.closed_on else "open"
    return [fact(row, "closed_on", "Open or closed", row.closed_on, words)]


def password(person: Person) -> list[Fact]:
    return [fact(person, "password", "Password", person.password, "changed")]


def own_figures(ours_and_species: tuple[Rescue, str]) -> list[Fact]:
    ours, species = ours_and_species
    figures = json.dumps(ours.own_rules.get(species, {}), sort_keys=True)
    rules = ours.rules_for(species)
    has_own = bool(ours.own_figures(species))  # type: ignore[arg-type]
    return [
        fact(ours, f"rules {species}", "Space standard", rules),
        fact(ours, f"own {species}", "Own figures", figures, "changed" if has_own else NONE),
    ]


# --- Linens ---


def drawing_homes(pool: Pool) -> list[Fact]:
    rows = list(pool.homes.order_by("name", "pk").values_list("pk", "name"))
    keys = ",".join(str(key) for key, _name in rows)
    return [fact(pool, "homes", "Homes that draw from it", keys, ", ".join(n for _k, n in rows))]


def clean_ones(pool: Pool) -> list[Fact]:
    found = pool.linens.in_state("clean").order_by().values("size")
    rows = sorted(found.annotate(count=models.Count("pk")).values_list("size", "count"))
    keys = ",".join(f"{size}:{count}" for size, count in rows)
    total = sum(count for _size, count in rows)
    return [fact(pool, "clean", "Clean linens", keys, f"{total} in all")]


def put_away(kind: LinenKind) -> list[Fact]:
    words = "put away" if kind.put_away_on else "in use"
    return [fact(kind, "put_away_on", "State", kind.put_away_on, words)]


def state_of_linen(linen: Linen) -> list[Fact]:
    where = linen.spot_id
    return [
        fact(linen, "state", "State", f"{linen.state} {where} {linen.pool_id}", linen.state),
    ]


def states_in(load: Load) -> list[Fact]:
    """How many linens of the load are how far."""
    found = list(load.linens().order_by("label").values_list("label", "state"))
    numbers: dict[str, int] = {}
    for _label, now in found:
        numbers[now] = numbers.get(now, 0) + 1
    words = ", ".join(f"{number} {now}" for now, number in sorted(numbers.items()))
    keys = ",".join(f"{label}:{now}" for label, now in found)
    return [fact(load, "linens", "Linens of the load", keys, words)]


def ended(trace: Trace) -> list[Fact]:
    end = trace.ended()
    words = f"over since {end.on:%-d %B %Y}" if end and end.on else "open"
    return [fact(trace, "end", "Contact tracing", end.pk if end else None, words)]
