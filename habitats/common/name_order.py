"""Rows in the order in which people look up their names, for lists that are told in pages.

A database puts B10 before B2 and small letters apart, each in its own way, so the order is found
here: of all rows the names are read, and of a page the rows.
"""

from collections.abc import Sequence
from typing import Any, TypeVar, overload

from django.db import models

from habitats.wording import by_number

Row = TypeVar("Row", bound=models.Model)


class InNameOrder(Sequence[Row]):
    """What a ``Paginator`` or a slice takes: two queries, however many rows there are.

    ``fields``: what they stand by, one after the other; rows that are equal stand as they came.
    """

    def __init__(self, rows: "models.QuerySet[Row]", *fields: str) -> None:
        self._rows, self._fields = rows, fields or ("name",)
        self._sorted: list[Any] | None = None

    def __len__(self) -> int:
        return len(self._keys)

    @overload
    def __getitem__(self, at: int) -> Row: ...
    @overload
    def __getitem__(self, at: slice) -> list[Row]: ...
    def __getitem__(self, at: int | slice) -> Row | list[Row]:
        if isinstance(at, int):
            return self._rows.get(pk=self._keys[at])
        keys = self._keys[at]
        found = {one.pk: one for one in self._rows.filter(pk__in=keys).order_by()}
        return [found[key] for key in keys if key in found]

    @property
    def _keys(self) -> list[Any]:
        if self._sorted is None:
            named = sorted(self._rows.order_by("pk").values_list("pk", *self._fields), key=_order)
            self._sorted = [row[0] for row in named]
        return self._sorted


def _order(row: tuple[Any, ...]) -> list[Any]:
    return [by_number(name) for name in row[1:]]
