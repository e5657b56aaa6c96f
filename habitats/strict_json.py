"""JSON that came from somewhere else, read strictly.

The standard reader accepts more than the standard (RFC 8259) allows: `NaN`, a key given twice,
numbers too large to be anything but a mistake, texts no database can store, and nesting that ends
in a RecursionError. Here each of these is one clear sentence, and time and memory stay bounded:
the size is looked at before the text, and the nesting before the values.
"""

import json
import math
import re
import sys
from collections.abc import Iterator
from typing import NoReturn

from habitats.decimals import grouped
from habitats.wording import message

LIMIT_BYTES = 2_000_000
LIMIT_DEPTH = 40
LIMIT_DIGITS = 18

# Possessive, and the closing quote is optional: each character is looked at once, whatever is fed.
# Strings side by side are no JSON, but may be fed by the million: they are taken as one.
_STRING_OR_BRACKET = re.compile(r'(?:"(?:[^"\\]|\\.)*+"?)++|[\[\]{}]', re.DOTALL)


class NotReadable(ValueError):
    """The bytes are not JSON we accept; `str()` is one sentence for the person who gave them."""


def load(data: bytes, limit_bytes: int = LIMIT_BYTES) -> object:
    """Read one JSON value from UTF-8 bytes (a byte order mark is ignored).

    Raises NotReadable, and nothing else, whatever the bytes are.

    >>> load(b'{"kerf": 2}')
    {'kerf': 2}
    """
    if len(data) > limit_bytes:
        raise NotReadable(
            message(
                "The file is larger than %(limit)s bytes, which is the limit.",
                limit=grouped(limit_bytes),
            )
        )
    text = _decoded(data)
    _refuse_deep_nesting(text)
    value = _parsed(text)
    for string in _strings_in(value):
        _refuse_unstorable(string)
    return value


def load_file(path: str, limit_bytes: int = LIMIT_BYTES) -> object:
    """Read one JSON value from the file at `path`, or from standard input if `path` is `-`.

    No more than the limit is ever read into memory. Raises NotReadable.
    """
    try:
        if path == "-":
            return load(sys.stdin.buffer.read(limit_bytes + 1), limit_bytes)
        with open(path, "rb") as file:
            return load(file.read(limit_bytes + 1), limit_bytes)
    except OSError as error:
        reason = error.strerror or message("it cannot be opened")
        raise NotReadable(
            message("The file %(path)s cannot be read: %(reason)s.", path=repr(path), reason=reason)
        ) from error


def _decoded(data: bytes) -> str:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise NotReadable(
            message(
                "Byte %(number)d is not UTF-8 text. Save the file as JSON in UTF-8.",
                number=error.start + 1,
            )
        ) from error
    if not text.strip():
        raise NotReadable(message("The file is empty. It must contain JSON."))
    return text


def _refuse_deep_nesting(text: str) -> None:
    depth = 0
    for match in _STRING_OR_BRACKET.finditer(text):
        if match[0] in "[{":
            depth += 1
        elif match[0] in "]}":
            depth -= 1
        if depth > LIMIT_DEPTH:
            raise NotReadable(
                message(
                    "Lists and objects are nested deeper than %(limit)d, which is the limit.",
                    limit=LIMIT_DEPTH,
                )
            )


def _parsed(text: str) -> object:
    try:
        value: object = json.loads(
            text,
            object_pairs_hook=_object_without_repeats,
            parse_int=_int,
            parse_float=_float,
            parse_constant=_refuse_constant,
        )
    except json.JSONDecodeError as error:
        raise NotReadable(
            message(
                "Line %(line)d, column %(column)d is not JSON: %(reason)s.",
                line=error.lineno,
                column=error.colno,
                reason=error.msg,
            )
        ) from error
    return value


def _object_without_repeats(pairs: list[tuple[str, object]]) -> dict[str, object]:
    result: dict[str, object] = {}
    for key, value in pairs:
        if key in result:
            raise NotReadable(
                message("The key %(key)s is given twice in one object. Keep one.", key=_short(key))
            )
        result[key] = value
    return result


def _int(digits: str) -> int:
    if len(digits.lstrip("-")) > LIMIT_DIGITS:
        raise NotReadable(
            message(
                "The number %(number)s has more than %(limit)d digits.",
                number=_short(digits),
                limit=LIMIT_DIGITS,
            )
        )
    return int(digits)


def _float(digits: str) -> float:
    value = float(digits)
    if math.isinf(value):
        raise NotReadable(message("The number %(number)s is too large.", number=_short(digits)))
    return value


def _refuse_constant(name: str) -> NoReturn:
    raise NotReadable(message("%(name)s is not a number in JSON. Write a plain number.", name=name))


def _strings_in(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, list):
        for item in value:
            yield from _strings_in(item)
    elif isinstance(value, dict):
        for key, item in value.items():
            yield key
            yield from _strings_in(item)


def _refuse_unstorable(string: str) -> None:
    """Refuse what UTF-8 (half a surrogate pair) or PostgreSQL (NUL) cannot hold."""
    if any(character == "\0" or "\ud800" <= character <= "\udfff" for character in string):
        raise NotReadable(
            message(
                "The text %(text)s has a character that cannot be stored. Delete it.",
                text=_short(string),
            )
        )


def _short(text: str, most: int = 30) -> str:
    """The text as it is safe to print: escaped, and cut where it is long."""
    return repr(text if len(text) <= most else text[:most] + "...")
