"""What pages show of things that two people may change at once, as facts to compare."""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from django.db import models
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.basis import Fact, plain
from habitats.common import days

LONGEST_WORDS = 120
NONE = gettext_lazy("none")


def fact(row: models.Model, name: str, label: str, value: object, words: object = None) -> Fact:
    """A fact of a row; ``words`` None: the value in words."""
    shown = _words(value) if words is None else str(words) or str(NONE)
    return Fact(f"{row._meta.label_lower}.{row.pk}", name, label, plain(value), shown)


def fields_of(
    row: models.Model, names: Iterable[str], labels: Mapping[str, object] | None = None
) -> list[Fact]:
    """The fields of a row, each by its own name; names that are none of it are left out.

    For the forms that edit them: field and fact have the same name, and the same label if the
    form's are given.
    """
    labels = labels or {}
    known = {field.name: field for field in row._meta.concrete_fields}
    found = [known[name] for name in names if name in known]
    return [
        fact(
            row,
            field.name,
            capfirst(str(labels.get(field.name) or field.verbose_name)),
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
        return _("yes") if value else _("no")
    if isinstance(value, date):
        return days.in_full(value)
    text = str(NONE) if value is None or value == "" else str(value)
    return text if len(text) <= LONGEST_WORDS else f"{text[:LONGEST_WORDS]} …"


def closed(row: Any) -> list[Fact]:
    """Of whatever is closed on a day: ``closed_on``, None while it is open."""
    words = _("open")
    if row.closed_on:
        words = _("closed on %(day)s") % {"day": days.in_full(row.closed_on)}
    return [fact(row, "closed_on", _("Open or closed"), row.closed_on, words)]
