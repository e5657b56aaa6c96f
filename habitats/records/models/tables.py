"""Tables of the archive: a file a noun, with what each of its columns is read from."""

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from django.db import models

AT_ONCE = 2_000  # rows read in one go

Rows = Iterator[Iterable[object]]


class TableOf(NamedTuple):
    """One file of the archive. ``rows`` gives its rows, one value a column."""

    name: str
    about: str
    columns: tuple[str, ...]
    rows: Callable[[], Rows]


def table_of(
    name: str, about: str, rows: "models.QuerySet[Any]", fields: Mapping[str, str]
) -> TableOf:
    """``fields`` says for each column which field is in it."""

    def values() -> Rows:
        ordered = rows.order_by("pk").values_list(*fields.values())
        return (map(plain, row) for row in ordered.iterator(AT_ONCE))

    return TableOf(name, about, tuple(fields), values)


def plain(value: object) -> object:
    if isinstance(value, (list, dict)):
        return json.dumps(value, ensure_ascii=False)
    return ("yes" if value else "no") if isinstance(value, bool) else value


def same(*names: str) -> dict[str, str]:
    return {name: name for name in names}


def kept() -> dict[str, str]:
    """Who wrote it down, and when."""
    return {"written_by": "made_by__username", "written_at": "made_at"}


def span(**fields: str) -> dict[str, str]:
    return {**fields, **same("since", "until"), "ended_by": "ended_by__username", **kept()}
