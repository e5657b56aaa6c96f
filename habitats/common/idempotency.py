"""What is sent twice happens once: a row keeps the idempotency key of the request that made it."""

import uuid
from functools import cache
from typing import Any, TypeVar

from django.db import models

from habitats.common.written import Written, given, written

_Row = TypeVar("_Row", bound=models.Model)


class Idempotent(models.Model):
    """Made by a request that may come again; its key is made by the client, with the page.

    Forms post the key as ``once``, and so is its column called.
    """

    idempotency_key = models.UUIDField(
        unique=True, default=uuid.uuid4, editable=False, db_column="once"
    )

    class Meta:
        abstract = True


def made_before(
    rows: "models.Manager[_Row] | models.QuerySet[_Row]", idempotency_key: uuid.UUID | None
) -> _Row | None:
    """The one of these rows that this key made; None where the key is new."""
    if not idempotency_key:
        return None
    if rows is rows.model._default_manager:
        return _of_key(rows.model).first(key=idempotency_key)
    return rows.filter(idempotency_key=idempotency_key).first()


@cache
def _of_key(model: type[_Row]) -> Written[_Row]:
    return written(lambda: model._default_manager.filter(idempotency_key=given("key", uuid.UUID)))


def get_or_make(
    rows: "models.Manager[_Row] | models.QuerySet[_Row]",
    idempotency_key: uuid.UUID | None,
    **values: Any,
) -> _Row:
    """The one of these rows that this key made; where the key is new, it is made of the values."""
    if idempotency_key is None:
        return rows.create(**values)  # with a key that nobody else has
    row, _is_new = rows.get_or_create(idempotency_key=idempotency_key, defaults=values)
    return row
