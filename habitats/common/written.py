"""Questions of the database that are written once, and asked many times with other values.

Django takes ten times longer to write a question than a database to answer it, and Today asks
thirty. So what every page asks, or a page that grows with the rescue, is made a query once:

    _OPEN = written(lambda: Fault.objects.open().filter(on__lte=given("day", date)))
    faults = _OPEN(day=today)

Only the text is kept, never an answer. It may not hang on who asks, on the language or on a
setting: what differs is given, or is a question of its own.
"""

import json
import uuid
from collections.abc import Callable, Collection, Mapping, Sequence
from copy import copy
from datetime import date, datetime
from typing import Any, Generic, NamedTuple, TypeVar, cast

from django.db import DEFAULT_DB_ALIAS, connections, models
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models.expressions import Expression
from django.db.models.sql.compiler import SQLCompiler
from django.utils import timezone

T = TypeVar("T")
Row = TypeVar("Row")
_FIELDS: Mapping[type, Callable[[], "models.Field[Any, Any]"]] = {
    date: models.DateField,
    datetime: models.DateTimeField,
    int: models.BigIntegerField,
    str: models.TextField,
    uuid.UUID: models.UUIDField,
}
_EACH_OF_JSON = "value FROM json_each(%s)"


class _Blank(NamedTuple):
    """The place of a value among a question's parameters."""

    name: str
    field: "models.Field[Any, Any]"

    def filled(self, value: Any, connection: BaseDatabaseWrapper) -> Any:
        key = value.pk if isinstance(value, models.Model) else value
        return self.field.get_db_prep_value(key, connection)


class _Keys(_Blank):
    """The place of several keys, which are one parameter: each database reads a list of its own."""

    def filled(self, value: Any, connection: BaseDatabaseWrapper) -> Any:
        keys = list(value)
        return keys if connection.vendor == "postgresql" else json.dumps(keys)


class _Given(Expression):
    def __init__(self, name: str, output_field: "models.Field[Any, Any]") -> None:
        super().__init__(output_field=output_field)
        self.name = name

    def as_sql(self, compiler: Any, connection: Any) -> Any:
        return "%s", [_Blank(self.name, self.output_field)]

    def get_group_by_cols(self) -> list[Any]:
        return []


class _GivenWords(_Given):
    def upper(self) -> _Given:
        return _Given("upper", self.output_field)

    def lower(self) -> _Given:
        return _Given("lower", self.output_field)


class _GivenKeys(_Given):
    def as_sql(self, compiler: Any, connection: Any) -> Any:
        each = "unnest(%s::bigint[])" if connection.vendor == "postgresql" else _EACH_OF_JSON
        return f"(SELECT {each})", [_Keys(self.name, self.output_field)]


def given(name: str, kind: type[T]) -> T:
    """Stands where the value of that name stands once it is asked; what it is compared with only.

    Declared as that value, so that the methods of query sets take it as they take a value. A row
    is compared by its key.
    """
    of_row = issubclass(kind, models.Model)
    return cast(T, _Given(name, _FIELDS[int if of_row else kind]()))


def given_words(name: str) -> str:
    """The same for words that somebody typed, for ``icontains`` too. Where a question asks for
    ``words.upper()`` or ``words.lower()``, it is given these as ``upper`` and ``lower``.
    """
    return cast(str, _GivenWords(name, models.TextField()))


def given_keys(name: str) -> Collection[int]:
    """The same for ``__in``: any number of keys.

    Of several indexes SQLite may then take another one than for keys in a row: look at the plan.
    """
    return cast(Collection[int], _GivenKeys(name, models.BigIntegerField()))


class _Text(NamedTuple):
    """A question as one kind of database is asked it, with what makes rows of the answer."""

    rows: "models.QuerySet[Any, Any]"
    compiler: SQLCompiler
    sql: str
    parameters: Sequence[Any]
    # By their place among those that are asked, the few whose values the database's differ from.
    converted: Mapping[int, Any]

    def converters(self, connection: BaseDatabaseWrapper) -> dict[int, tuple[list[Any], Any]]:
        """As Django's ``get_converters`` gives them, which looks through all columns."""
        return {
            at: (
                connection.ops.get_db_converters(one) + one.get_db_converters(connection),
                one,
            )
            for at, one in self.converted.items()
        }


class Written(Generic[Row]):
    """A question as a function of its values, made when it is first asked."""

    def __init__(self, question: Callable[[], "models.QuerySet[Any, Row]"]) -> None:
        self._question = question
        self._texts: dict[tuple[str, str], _Text] = {}
        _ALL.append(self)

    def __call__(self, **values: Any) -> list[Row]:
        connection, text = connections[DEFAULT_DB_ALIAS], self.text
        parameters = tuple(
            one.filled(values[one.name], connection) if isinstance(one, _Blank) else one
            for one in text.parameters
        )
        # Each thread has a connection of its own, so each asks by a compiler of its own.
        compiler = copy(text.compiler)
        compiler.connection = connection
        vars(compiler)["as_sql"] = lambda *_some, **_more: (text.sql, parameters)
        vars(compiler)["get_converters"] = lambda _fields: text.converters(connection)
        rows = text.rows.all()
        vars(rows.query)["get_compiler"] = lambda *_some, **_more: compiler
        return list(rows)

    def first(self, **values: Any) -> Row | None:
        return next(iter(self(**values)), None)

    @property
    def text(self) -> _Text:
        # The days of moments are days of a time zone.
        key = connections[DEFAULT_DB_ALIAS].vendor, timezone.get_current_timezone_name()
        return self._texts.get(key) or self._texts.setdefault(key, self._write())

    def _write(self) -> _Text:
        rows = self._question().all()
        compiler = rows.query.get_compiler(DEFAULT_DB_ALIAS)
        sql, parameters = compiler.as_sql()
        asked = [one for one, *_how in compiler.select[: compiler.col_count]]
        converters = compiler.get_converters(asked)
        converted = {at: one for at, (_how, one) in converters.items()}
        return _Text(rows, compiler, sql, parameters, converted)


_ALL: list[Written[Any]] = []


def write_all() -> None:
    """Every question that the project knows, before anybody asks one."""
    for one in _ALL:
        _text = one.text


def written(question: Callable[[], "models.QuerySet[Any, Row]"]) -> Written[Row]:
    return Written(question)
