"""Facts of animals and groups that two people may change at once."""

from collections.abc import Iterable, Sequence

from django.utils.translation import gettext as _

from habitats.animals.models.animals import Animal
from habitats.animals.models.climbing import ClimbingBan
from habitats.animals.models.groups import Group
from habitats.animals.models.quarantines import Quarantine
from habitats.basis import Fact
from habitats.common.days import in_full
from habitats.common.facts import NONE, fact


def members(group: Group) -> Fact:
    living = group.memberships.open().order_by("animal__name", "animal")
    rows = list(living.values_list("animal", "animal__name"))
    return fact(
        group,
        "members",
        _("Animals in the group"),
        ",".join(str(key) for key, _name in rows),
        ", ".join(name for _key, name in rows),
    )


def place(group: Group) -> Fact:
    stay = group.stays.open().select_related("enclosure").first()
    enclosure = stay.enclosure if stay else None
    return fact(
        group, "place", _("Lives in"), enclosure.pk if enclosure else None, enclosure or NONE
    )


def company_and_place(group: Group) -> list[Fact]:
    return [members(group), place(group)]


def group_of(animal: Animal) -> Fact:
    membership = animal.memberships.open().select_related("group").first()
    group = membership.group if membership else None
    label = _("Group of %(animal)s") % {"animal": animal}
    return fact(animal, "group", label, group.pk if group else None, group or _("no group"))


def groups_of(animals: Iterable[Animal]) -> list[Fact]:
    return [group_of(animal) for animal in animals]


def joining(group_and_animals: tuple[Group, Sequence[Animal]]) -> list[Fact]:
    """What counts when animals join a group: who and where it is, and where they are now."""
    group, animals = group_and_animals
    return [*company_and_place(group), *groups_of(animals)]


def in_care(animal: Animal) -> list[Fact]:
    words = animal.get_left_why_display() if animal.left_on else _("in our care")
    return [fact(animal, "left_on", _("In our care"), animal.left_on, words), group_of(animal)]


def photo(animal: Animal) -> list[Fact]:
    words = _("another photo") if animal.photo else _("no photo")
    return [fact(animal, "photo", _("Photo"), animal.photo.name or "", words)]


def last_quarantine(animal: Animal) -> list[Fact]:
    last = animal.quarantines.order_by("-pk").first()
    return [
        fact(
            animal,
            "quarantine",
            _("Quarantine"),
            last.pk if last else None,
            _span_words(last) if last else NONE,
        )
    ]


def last_climbing_ban(animal: Animal) -> list[Fact]:
    last = animal.climbing_bans.order_by("-pk").first()
    key, words = (last.pk, _ban_words(last)) if last else (None, NONE)
    return [fact(animal, "climbing", _("Must not climb"), key, words)]


def _ban_words(ban: ClimbingBan) -> str:
    values = {"person": ban.said_by, "day": in_full(ban.until or ban.since)}
    told = _("%(person)s, until %(day)s") if ban.until else _("%(person)s, since %(day)s")
    return told % values


def _span_words(quarantine: Quarantine) -> str:
    since = in_full(quarantine.since)
    if quarantine.until is None:
        return _("since %(since)s") % {"since": since}
    return _("since %(since)s until %(until)s") % {
        "since": since,
        "until": in_full(quarantine.until),
    }
