"""Every row that points at one row, whichever feature it belongs to."""

from collections.abc import Iterator
from typing import Any

from django.db import models
from django.db.models.fields.reverse_related import ForeignObjectRel


def relations_to(model: type[models.Model]) -> list[ForeignObjectRel]:
    """Each foreign key of any table that points at the model, also those of its many-to-many."""
    found = model._meta.get_fields(include_hidden=True)
    return [
        one
        for one in found
        if isinstance(one, ForeignObjectRel) and (one.one_to_many or one.one_to_one)
    ]


def rows_about(row: models.Model) -> Iterator["models.QuerySet[Any]"]:
    """For each of these relations the rows that point at this one."""
    for relation in relations_to(type(row)):
        manager = relation.related_model._base_manager  # type: ignore[union-attr]
        yield manager.filter(**{relation.field.name: row.pk})
