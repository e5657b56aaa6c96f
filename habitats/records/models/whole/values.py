"""The value of a column as JSON, and back; what cannot be read is told with what is wanted."""

import base64
import binascii
import ipaddress
import math
from collections.abc import Callable
from datetime import date, datetime, time
from decimal import Decimal, InvalidOperation
from typing import Any, NamedTuple, NoReturn
from uuid import UUID

from django.db import models
from django.db.backends.base.operations import BaseDatabaseOperations

from habitats.backups.models.archive import is_in_media
from habitats.records.models.whole.tables import MEDIA

_RANGES = BaseDatabaseOperations.integer_field_ranges


class NotThis(ValueError):
    """The value is not one of the column's; ``str()`` says what it has to be."""


class Kind(NamedTuple):
    """``told`` gives what JSON has; ``read`` the value of it again, else it raises ``NotThis``."""

    name: str
    told: Callable[[Any], object]
    read: Callable[[Any, Any], object]


def stored_field(field: Any) -> Any:
    """The column's own field, or that of the row which it names."""
    while field.remote_field:
        field = field.target_field
    return field


def kind_of(field: Any) -> Kind:
    stored = stored_field(field)
    return next(kind for one, kind in _KINDS if isinstance(stored, one))


def told(field: Any, value: Any) -> object:
    return None if value is None else kind_of(field).told(value)


def read(field: Any, value: object) -> object:
    if value is None and field.null:
        return None
    kind = kind_of(field)
    if value is None and not isinstance(stored_field(field), models.JSONField):
        raise NotThis("null, where a value is wanted")
    return kind.read(stored_field(field), value)


def _no(value: object, wanted: str) -> NoReturn:
    shown = repr(value)
    raise NotThis(f"{shown if len(shown) < 40 else shown[:36] + '...'}, where {wanted} is wanted")


def _text(field: Any, value: object) -> str:
    if not isinstance(value, str):
        _no(value, "a text")
    if field.max_length and len(value) > field.max_length:
        _no(value, f"a text of at most {field.max_length} characters")
    return value


def _photo(field: Any, value: object) -> str:
    """As rows name it, or empty; no name leads out of the media folder."""
    name = _text(field, value)
    return name if not name or is_in_media(f"{MEDIA}/{name}") else _no(value, "a name of a photo")


def _integer(field: Any, value: object) -> int:
    least, most = _RANGES[field.get_internal_type()]
    if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= most:
        _no(value, f"a whole number from {least} to {most}")
    return value


def _boolean(_field: Any, value: object) -> bool:
    return value if isinstance(value, bool) else _no(value, "true or false")


def _float(_field: Any, value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        _no(value, "a number")
    return float(value)


def _decimal(field: Any, value: object) -> Decimal:
    wanted = f"a number in quotes, of {field.max_digits} digits, {field.decimal_places} behind"
    try:
        number = Decimal(value if isinstance(value, str) else "nothing")
    except InvalidOperation:
        _no(value, wanted)
    if not number.is_finite() or _is_too_long(number, field):
        _no(value, wanted)
    return number


def _is_too_long(number: Decimal, field: Any) -> bool:
    places = -int(number.as_tuple().exponent)
    before = number.adjusted() + 1
    return places > field.decimal_places or before > field.max_digits - field.decimal_places


def _date(_field: Any, value: object) -> date:
    return _by(date.fromisoformat, value, "a day as year-month-day")


def _time(_field: Any, value: object) -> time:
    return _by(time.fromisoformat, value, "a time as hour:minute:second")


def _moment(_field: Any, value: object) -> datetime:
    wanted = "a moment as year-month-dayThour:minute:second+00:00"
    moment = _by(datetime.fromisoformat, value, wanted)
    return moment if moment.tzinfo else _no(value, wanted)


def _uuid(_field: Any, value: object) -> UUID:
    return _by(UUID, value, "a UUID")


def _address(_field: Any, value: object) -> str:
    return str(_by(ipaddress.ip_address, value, "an address of the network"))


def _bytes(_field: Any, value: object) -> bytes:
    return _by(lambda text: base64.b64decode(text, validate=True), value, "Base64")


def _by(reader: Callable[[str], Any], value: object, wanted: str) -> Any:
    try:
        return reader(value) if isinstance(value, str) else _no(value, wanted)
    except (ValueError, binascii.Error) as fault:
        if isinstance(fault, NotThis):
            raise
        _no(value, wanted)


def _as_it_is(value: object) -> object:
    return value


# The first that a field is an instance of: a moment is a day to Django.
_KINDS: tuple[tuple[Any, Kind], ...] = (
    (models.BinaryField, Kind("base64", lambda one: base64.b64encode(one).decode(), _bytes)),
    (models.BooleanField, Kind("true or false", _as_it_is, _boolean)),
    (models.DateTimeField, Kind("moment", lambda one: one.isoformat(), _moment)),
    (models.DateField, Kind("day", lambda one: one.isoformat(), _date)),
    (models.TimeField, Kind("time", lambda one: one.isoformat(), _time)),
    (models.DecimalField, Kind("decimal", str, _decimal)),
    (models.UUIDField, Kind("uuid", str, _uuid)),
    (models.JSONField, Kind("json", _as_it_is, lambda _field, value: value)),
    (models.FloatField, Kind("number", _as_it_is, _float)),
    (models.IntegerField, Kind("integer", _as_it_is, _integer)),
    (models.GenericIPAddressField, Kind("address", _as_it_is, _address)),
    (models.FileField, Kind("text", str, _photo)),
    (models.Field, Kind("text", str, _text)),
)
