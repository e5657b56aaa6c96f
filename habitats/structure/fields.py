"""Reading fields out of a parsed document, collecting a sentence for everything that is wrong.

A reader goes on after a fault with a value that keeps the rest readable, so that one pass names
all faults; callers throw the result away when there are any.
"""

import unicodedata
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, TypeVar

from habitats.structure.faults import FileFault
from habitats.wording import counted, joined, listed, message

T = TypeVar("T")

_MISSING = object()
MOST_UNKNOWN = 20  # keys named one by one in one object


def shown(value: object) -> str:
    """A value as a sentence can quote it: short, and in the file's own notation."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if value is None:
        return "null"
    if isinstance(value, dict):
        return message("an object")
    if isinstance(value, list):
        return message("a list")
    if isinstance(value, str):
        text = on_one_line(value)
        return f'"{text}"'
    text = str(value)
    return f"{text[:20]}…" if len(text) > 20 else text


def _list_of(value: list[Any]) -> str:
    return message("a list of %(count)d", count=len(value))


def _marks(text: str) -> str:
    return counted("%(count)d mark", "%(count)d marks", len(text))


def _more_unknown(count: int) -> str:
    return counted("%(count)d more unknown key.", "%(count)d more unknown keys.", count)


def on_one_line(text: str, most: int = 40) -> str:
    """A text cut short, with what would break a line or move a terminal's cursor escaped."""
    short = text if len(text) <= most else f"{text[:most]}…"
    return "".join(repr(mark)[1:-1] if _breaks_a_line(mark) else mark for mark in short)


def is_one_line(text: str) -> bool:
    """Whether it says something, and nothing in it ends a line or moves a cursor."""
    return bool(text) and not any(map(_breaks_a_line, text))


def _breaks_a_line(mark: str) -> bool:
    """Whether a character is a control character or ends a line or paragraph (Unicode Cc, Z*)."""
    return unicodedata.category(mark) in ("Cc", "Zl", "Zp")


@dataclass(slots=True)
class Findings:
    """Faults so far. ``spoiled``: some value was refused, so that what was read is not usable."""

    faults: list[FileFault] = field(default_factory=list)
    spoiled: bool = False


class Fields:
    """One object of the document and its place in it."""

    def __init__(self, document: dict[str, Any], place: str, findings: Findings) -> None:
        self._document = document
        self._place = place
        self._findings = findings

    @property
    def spoiled(self) -> bool:
        return self._findings.spoiled

    def is_sound(self, key: str) -> bool:
        """Whether nothing was refused so far at the key or inside its object."""
        place = self._at(key)
        return not any(
            fault.place == place or fault.place.startswith(f"{place}.")
            for fault in self._findings.faults
        )

    def fault(self, key: str, message: str) -> None:
        """A fault that leaves nothing usable at the key."""
        self._findings.faults.append(FileFault(self._at(key), message))
        self._findings.spoiled = True

    def known(self, *keys: str) -> None:
        """Name keys that are not one of these, the first few of very many; others can be read."""
        strange = [key for key in self._document if key not in keys]
        sentence = message("Unknown key; allowed here are %(keys)s.", keys=", ".join(keys))
        for key in strange[:MOST_UNKNOWN]:
            self._findings.faults.append(FileFault(self._at(on_one_line(key)), sentence))
        if more := strange[MOST_UNKNOWN:]:
            self._findings.faults.append(FileFault(self._place, _more_unknown(len(more))))

    def whole(self, key: str, allowed: tuple[int, int], default: int | None = None) -> int:
        """A whole number within bounds, both included. ``default`` None: the key has to be there.

        What is refused is read as the least.
        """
        least, most = allowed
        value = self._document.get(key, _MISSING if default is None else default)
        if isinstance(value, int) and not isinstance(value, bool) and least <= value <= most:
            return value
        self._refuse(
            key,
            value,
            message("Give a whole number from %(least)s to %(most)s.", least=least, most=most),
        )
        return least

    def whole_or(self, key: str, word: str, allowed: tuple[int, int]) -> int | None:
        """A whole number within bounds, or None for the word, which a missing key stands for."""
        if self._document.get(key, word) == word:
            return None
        least, most = allowed
        value = self._document[key]
        if isinstance(value, int) and not isinstance(value, bool) and least <= value <= most:
            return value
        self._refuse(
            key,
            value,
            message(
                'Give a whole number from %(least)s to %(most)s, or "%(word)s".',
                least=least,
                most=most,
                word=word,
            ),
        )
        return None

    def maybe_whole(self, key: str, allowed: tuple[int, int]) -> int | None:
        """A whole number within bounds; None where the key is missing or null."""
        return None if self._document.get(key) is None else self.whole(key, allowed)

    def number(self, key: str, allowed: tuple[int, int]) -> float:
        """A number within bounds, whole or not, both included."""
        least, most = allowed
        value = self._document.get(key, _MISSING)
        if (
            isinstance(value, int | float)
            and not isinstance(value, bool)
            and least <= value <= most
        ):
            return value
        self._refuse(
            key, value, message("Give a number from %(least)s to %(most)s.", least=least, most=most)
        )
        return least

    def maybe_number(self, key: str, allowed: tuple[int, int]) -> float | None:
        """A number within bounds; None where the key is missing or null."""
        return None if self._document.get(key) is None else self.number(key, allowed)

    def read_as(self, key: str, read: Callable[[object], T | None], allowed: str) -> T | None:
        """What ``read`` makes of the value; None, and a fault, where that is None or it is missing.

        ``allowed`` is the sentence that says what to give.
        """
        value = self._document.get(key, _MISSING)
        made = None if value is _MISSING else read(value)
        if made is None:
            self._refuse(key, value, allowed)
        return made

    def maybe_read_as(self, key: str, read: Callable[[object], T | None], allowed: str) -> T | None:
        """The same; None without a fault where the key is missing or null."""
        return None if self._document.get(key) is None else self.read_as(key, read, allowed)

    def has(self, key: str) -> bool:
        return self._document.get(key) is not None

    def is_word(self, key: str, word: str, *, default: bool) -> bool:
        """Whether the key holds this word; ``default`` where the key is missing."""
        return self._document[key] == word if key in self._document else default

    def text(self, key: str, longest: int, default: str) -> str:
        """A text on one line; spaces round it are dropped."""
        value = self._document.get(key, default)
        if isinstance(value, str) and len(value) <= longest and is_one_line(value.strip()):
            return value.strip()
        self._refuse(
            key,
            value,
            message("Give a text of 1 to %(longest)s characters on one line.", longest=longest),
        )
        return default

    def texts(self, key: str, most: int, longest: int) -> list[str] | None:
        """A list of 1 to ``most`` strings of at most ``longest`` characters; None if it is not."""
        value = self._document.get(key, _MISSING)
        if not isinstance(value, list) or not 1 <= len(value) <= most:
            given = _list_of(value) if isinstance(value, list) else None
            self._refuse(
                key, value, message("Give a list of 1 to %(most)s rows.", most=most), given
            )
            return None
        for index, row in enumerate(value):
            if not isinstance(row, str) or not 1 <= len(row) <= longest:
                what = _marks(row) if isinstance(row, str) else shown(row)
                self.fault(
                    f"{key}[{index}]",
                    message(
                        "%(what)s given; give a text of 1 to %(longest)s marks.",
                        what=what,
                        longest=longest,
                    ),
                )
                return None
        return value

    def yes_no(self, key: str, *, default: bool) -> bool:
        value = self._document.get(key, default)
        if isinstance(value, bool):
            return value
        self._refuse(key, value, message("Give true or false."))
        return default

    def one_of(self, key: str, allowed: list[Any]) -> str:
        """One of the allowed words; the empty string after a fault."""
        value = self._document.get(key, _MISSING)
        words = [str(word) for word in allowed]
        if isinstance(value, str) and value in words:
            return value
        choice = joined(message(" or "), [shown(word) for word in words])
        self._refuse(key, value, message("Give %(choice)s.", choice=choice))
        return ""

    def maybe_one_of(self, key: str, allowed: list[Any]) -> str | None:
        """One of the allowed words; None where the key is missing or null, or after a fault."""
        return None if self._document.get(key) is None else self.one_of(key, allowed) or None

    def some_of(self, key: str, allowed: list[Any]) -> list[str]:
        """Some of the allowed words, each once; none where the key is missing, or after a fault."""
        value = self._document.get(key, [])
        words = [str(word) for word in allowed]
        if (
            isinstance(value, list)
            and all(isinstance(one, str) and one in words for one in value)
            and len(set(value)) == len(value)
        ):
            return value
        choice = listed([shown(word) for word in words])
        self._refuse(key, value, message("Give a list with some of %(choice)s.", choice=choice))
        return []

    def child(self, key: str, default: dict[str, Any] | None = None) -> "Fields":
        """The object under a key; ``default`` None: it has to be there.

        Of one that is refused nothing more is said, whatever is read of it.
        """
        value = self._document.get(key, _MISSING if default is None else default)
        if isinstance(value, dict):
            return Fields(value, self._at(key), self._findings)
        self._refuse(key, value, message("Give an object with its keys in braces."))
        return Fields({}, self._at(key), Findings())

    def children(
        self, key: str, most: int, least: int = 0, default: list[Any] | None = None
    ) -> list["Fields"]:
        """The objects in a list of ``least`` to ``most``; ``default`` None: it has to be there."""
        value = self._document.get(key, _MISSING if default is None else default)
        if not isinstance(value, list) or not least <= len(value) <= most:
            given = _list_of(value) if isinstance(value, list) else None
            self._refuse(
                key,
                value,
                message("Give a list of %(least)s to %(most)s objects.", least=least, most=most),
                given,
            )
            return []
        return [
            Fields(one, f"{self._at(key)}[{index}]", self._findings)
            for index, one in enumerate(value)
            if self._is_object(one, f"{key}[{index}]")
        ]

    def _is_object(self, value: object, key: str) -> bool:
        if isinstance(value, dict):
            return True
        self.fault(
            key,
            message("%(value)s given; give an object with its keys in braces.", value=shown(value)),
        )
        return False

    def _refuse(self, key: str, value: object, allowed: str, given: str | None = None) -> None:
        if value is _MISSING:
            what = message("This key is missing.")
        else:
            what = message("%(given)s given.", given=given or shown(value))
        self.fault(key, joined(" ", [what, allowed]))

    def _at(self, key: str) -> str:
        return f"{self._place}.{key}" if self._place else key
