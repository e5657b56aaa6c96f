"""Sentences that pure packages say: in English, and able to be said in another language.

A pure package knows no language but English. What it says to people is a `Message`: English text
that remembers its pattern and what was put in. As a value it is that text: it compares, sorts and
goes into JSON in English, whoever reads. Only where it is turned into text for somebody, by
`str()`, in an f-string or in a template, it is said in the language of the reader at hand, whom
the project names once with `read_by`. Without a reader it stays English.

    >>> message("Level %(number)d has no ramp.", number=2)
    'Level 2 has no ramp.'

`makemessages` collects what stands in `message`, `message_in` and `counted`: so only literals go
in, never an f-string or a variable. Joining with `+`, `"".join` or `.lower()` takes the English
text alone: put whole sentences into patterns, or join with `joined` and `listed`.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from html import escape
from typing import Any, Protocol, Self
from unicodedata import combining, normalize

A_NUMBER = re.compile("([0-9]+)")


class Language(Protocol):
    """A language other than English, as a reader has it."""

    def sentence(self, pattern: str, context: str) -> str:
        """The pattern in this language; `context` tells two meanings of one word apart."""

    def counted(self, one: str, many: str, count: int) -> str:
        """The pattern that goes with this count in this language."""

    def number(self, figures: str) -> str:
        """English figures ("1.10") with its decimal mark."""


_reader: Callable[[], Language | None] = lambda: None  # noqa: E731


def read_by(reader: Callable[[], Language | None]) -> None:
    """Name who reads: asked at each sentence; None for a reader of English."""
    global _reader
    _reader = reader


_writer: ContextVar["Callable[[Said], str] | None"] = ContextVar("writer", default=None)


@contextmanager
def written_by(writer: "Callable[[Said], str]") -> Iterator[None]:
    """While it lasts, sentences become the text that this makes of them, whoever reads."""
    before = _writer.set(writer)
    try:
        yield
    finally:
        _writer.reset(before)


class Said(str):
    """English text that can be said in another language."""

    def said_to(self, reader: Language) -> str:
        raise NotImplementedError

    def __str__(self) -> str:
        writer = _writer.get()
        if writer is not None:
            return writer(self)
        reader = _reader()
        return str.__str__(self) if reader is None else self.said_to(reader)

    def __format__(self, how: str) -> str:
        return format(str(self), how)

    def __html__(self) -> str:
        """What a template shows; escaped here, since it asks no further."""
        return escape(str(self))


class Message(Said):
    """One sentence, label or word. Make it with `message`, `message_in` or `counted`."""

    pattern: str
    context: str
    values: dict[str, object]

    def __new__(
        cls, pattern: str, context: str = "", values: dict[str, object] | None = None
    ) -> Self:
        values = values or {}
        made = super().__new__(cls, _filled(pattern, _in_english(values)))
        made.pattern, made.context, made.values = pattern, context, values
        return made

    def said_to(self, reader: Language) -> str:
        return _filled(reader.sentence(self.pattern, self.context), _for(reader, self.values))

    def filled(self, **values: object) -> "Message":
        """The sentence with its values, for one that stood in a table without them."""
        return Message(self.pattern, self.context, self.values | values)


class Counted(Said):
    """A sentence about a number of things, in the plural form that each language has for it."""

    one: str
    many: str
    number: int
    values: dict[str, object]

    def __new__(
        cls, one: str, many: str = "", count: int = 1, values: dict[str, object] | None = None
    ) -> Self:
        values = values or {}
        said = one if count == 1 else many
        made = super().__new__(cls, _filled(said, _in_english({"count": count} | values)))
        made.one, made.many, made.number, made.values = one, many, count, values
        return made

    def said_to(self, reader: Language) -> str:
        pattern = reader.counted(self.one, self.many, self.number)
        return _filled(pattern, _for(reader, {"count": self.number} | self.values))


class Figures(Said):
    """Figures with a decimal point, which other languages write as a comma."""

    def said_to(self, reader: Language) -> str:
        return reader.number(str.__str__(self))


class Joined(Said):
    """Texts one after the other, each said by itself."""

    texts: tuple[str, ...]
    between: str

    def __new__(cls, between: str, texts: Sequence[str] = ()) -> Self:
        made = super().__new__(cls, str.join(between, texts))
        made.texts, made.between = tuple(texts), between
        return made

    def __getnewargs__(self) -> tuple[str, tuple[str, ...]]:  # type: ignore[override]
        """For copies: made of its text alone, it would have none."""
        return self.between, self.texts

    def said_to(self, reader: Language) -> str:
        said = _said_to(reader, self.between)
        return said.join(_said_to(reader, text) for text in self.texts)


def message(pattern: str, /, **values: object) -> Message:
    """A sentence; `%(name)s` stands for a value. A `%` itself is doubled where there are values."""
    return Message(pattern, "", values)


def message_in(context: str, pattern: str, /, **values: object) -> Message:
    """A word that has other meanings elsewhere; `context` says which it has here."""
    return Message(pattern, context, values)


def counted(one: str, many: str, count: int, /, **values: object) -> Counted:
    """`counted("%(count)d panel", "%(count)d panels", 3)`; the count is among the values."""
    return Counted(one, many, count, values)


def joined(between: str, texts: Sequence[str]) -> Joined:
    """As `between.join(texts)`, in any language."""
    return Joined(between, texts)


def listed(words: Sequence[str]) -> str:
    """Words or names as a sentence lists them; empty for none.

    >>> listed(["Ida", "Nut", "Bo"])
    'Ida, Nut and Bo'
    """
    if len(words) < 2:
        return words[0] if words else ""
    return message("%(words)s and %(last)s", words=joined(", ", words[:-1]), last=words[-1])


def by_number(name: str) -> tuple[tuple[str | int, ...], str]:
    """For ``sorted``: names as people look them up, and those with a number by that number.

    Capitals and accents stand with their letter.

    >>> sorted(["Nova10", "nova2", "Zoe", "Äpfelchen", "Ada"], key=by_number)
    ['Ada', 'Äpfelchen', 'nova2', 'Nova10', 'Zoe']
    """
    # Words and figures take turns, so that no word is compared with a number.
    plain = A_NUMBER.split(name if name.isascii() else _without_accents(name))
    parts = (int(one) if at % 2 else one.casefold() for at, one in enumerate(plain))
    return tuple(parts), name


def _without_accents(name: str) -> str:
    return "".join(one for one in normalize("NFKD", name) if not combining(one))


def _filled(pattern: str, values: dict[str, object]) -> str:
    return pattern % values if values else pattern


def _in_english(values: dict[str, object]) -> dict[str, object]:
    return {name: _plain(value) for name, value in values.items()}


def _plain(value: object) -> object:
    return str.__str__(value) if isinstance(value, Said) else value


def _for(reader: Language, values: dict[str, Any]) -> dict[str, object]:
    return {name: _said_to(reader, value) for name, value in values.items()}


def _said_to(reader: Language, value: Any) -> Any:
    return value.said_to(reader) if isinstance(value, Said) else value


# Not the calendar module's: its names follow the machine's language, and ours the reader's.
MONTHS = (
    message("January"),
    message("February"),
    message("March"),
    message("April"),
    message("May"),
    message("June"),
    message("July"),
    message("August"),
    message("September"),
    message("October"),
    message("November"),
    message("December"),
)
