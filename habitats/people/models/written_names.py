"""Where somebody types the name of a person, such as who gave a dose: found when they are erased.

What stands there is a name and no link, since not everybody has an account. Once the person is
erased it is the mark of their account, and is read as “former member”.
"""

import re
from collections.abc import Iterator
from typing import Any

from django.apps import apps
from django.db import models
from django.utils.translation import gettext

from habitats.people.models.people import Person

MARK = re.compile(r"former-[0-9]+", re.ASCII)


def mark_of(person: Person) -> str:
    """Names nobody; also the log-in name of an account that was erased."""
    return f"former-{person.pk}"


def name_written(text: str) -> str:
    """What was typed; of a person who was erased “former member”, in the reader's language."""
    return gettext("former member") if MARK.fullmatch(text) else text


class PersonNameField(models.CharField[str, str]):
    """A name that somebody typed. It is read by ``name_written``."""

    def from_db_value(self, value: str | None, *_more: object) -> str | None:
        return value and name_written(value)

    def deconstruct(self) -> Any:
        name, _path, args, kwargs = super().deconstruct()
        return name, "django.db.models.CharField", args, kwargs  # the same column


def names_of(person: Person) -> set[str]:
    """As somebody may have typed them, as ``plain`` writes them. What is the first name of another
    of the team too is not among them: nobody knows then who was meant.
    """
    same = (person.pk, person.same_as_id or person.pk)
    others = Person.objects.filter(erased_on=None).exclude(pk__in=same).exclude(same_as=person)
    shared = {plain(one) for one in others.values_list("first_name", flat=True)}
    names = (person.get_full_name(), person.username, person.first_name)
    return {plain(one) for one in names} - shared - {""}


def replace_names(person: Person) -> None:
    """Wherever one of their names is all that was typed, the mark of the account stands instead."""
    names = names_of(person)
    for field, typed in _columns():
        found = [text for text in typed if plain(text) in names]
        rows = field.model._base_manager.filter(**{f"{field.name}__in": found})
        if found:
            rows.update(**{field.name: mark_of(person)})


def times_named(person: Person) -> dict[str, int]:
    """By table and column, how often one of their names was typed."""
    names = names_of(person)
    counts = {
        f"{field.model._meta.db_table}.{field.column}": field.model._base_manager.filter(
            **{f"{field.name}__in": [text for text in typed if plain(text) in names]}
        ).count()
        for field, typed in _columns()
    }
    return {column: count for column, count in counts.items() if count}


def _columns() -> Iterator[tuple[PersonNameField, list[str]]]:
    """Each of these columns of any table, and what is typed there."""
    for model in apps.get_models():
        for field in model._meta.local_concrete_fields:
            if isinstance(field, PersonNameField):
                rows = model._base_manager.exclude(**{field.name: ""}).order_by()
                yield field, list(rows.values_list(field.name, flat=True).distinct())


def plain(name: str) -> str:
    """In small letters, with one space between words."""
    return " ".join(name.split()).casefold()
