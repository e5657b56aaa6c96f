"""A language that nobody speaks: every sentence of a catalogue in brackets, with a decimal comma.

What a page says outside the brackets was never marked for translation, unless it is data.
"""

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from gettext import NullTranslations
from html.parser import HTMLParser

from django.apps import apps
from django.db import models
from django.test import override_settings
from django.utils import translation
from django.utils.translation import trans_real
from django.utils.translation.trans_real import CONTEXT_SEPARATOR

CODE = "xx"
OPEN, SHUT = "⟦", "⟧"
# Texts that are no page's words: of elements, and of attributes that are read or read aloud.
SILENT = {"script", "style", "code"}
READ = {"title", "alt", "aria-label", "aria-description", "placeholder", "label", "data-name"}
# Signs of units, paper sizes, formats, the product's own name, languages' own names, layers of a
# cutter's file: the same in every language.
ALIKE = re.compile(
    r"\b(?:mm|cm|m|in|ft|g|kg|oz|lb|min|h|A4|Letter|PDF|SVG|DXF|CSV|JSON|QR|Habitats|EUR|GBP|USD)\b"
    r"|\b(?:English|Bracketed)\b"
    r"|\b(?:CUT|SLIT|SCORE-(?:THIS|OTHER)-SIDE|HOLES|MARKS|LEGEND)\b"
    r"|[cm]?m²|ft²|in²|\b(?:[A-Z]{1,3}-?\d[\w-]*)\b|\b[2-9A-Z]{4}-[2-9A-Z]\b|#[\w-]+|https?://\S+"
)
ADDRESS = re.compile(r"https?://\S+")  # with codes of rows in it
WORD = re.compile(r"[^\W\d_]{2,}")
# What a browser reads as a number; a path may part its points by commas.
MEASURED = re.compile(
    r"\s(?:[xyr]|[xy][12]|[cr][xy]|width|height|stroke-width|font-size|min|max|step|low|high"
    r'|optimum)="([^"]*)"'
)
COMMA = re.compile(r"^-?\d+,\d+$")
POINT = re.compile(r"(?<![\d.])\d+\.\d+(?![\d.])")
DECIMAL_COMMA = re.compile(r"(?<![\d,])\d+,\d+(?![\d,])")


class _Bracketed(NullTranslations):
    """Stands where Django keeps a language's catalogue."""

    def language(self) -> str:
        return CODE

    def to_language(self) -> str:
        return CODE

    def gettext(self, message: str) -> str:
        said = message.rpartition(CONTEXT_SEPARATOR)[2]  # Django asks for both in one
        return f"{OPEN}{said}{SHUT}" if said else ""

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)

    def pgettext(self, context: str, message: str) -> str:
        return self.gettext(message)

    def npgettext(self, context: str, msgid1: str, msgid2: str, n: int) -> str:
        return self.ngettext(msgid1, msgid2, n)


@contextmanager
def spoken() -> Iterator[None]:
    """While it lasts, the product speaks the language to whoever chose `CODE`."""
    languages = [("en-gb", "English"), (CODE, "Bracketed")]
    with override_settings(LANGUAGES=languages, DECIMAL_SEPARATOR=","):
        # Now, since Django forgets catalogues where that setting changes.
        trans_real._translations[CODE] = _Bracketed()  # type: ignore[attr-defined]
        with translation.override(CODE):
            yield
    trans_real._translations.pop(CODE, None)  # type: ignore[attr-defined]


class _Texts(HTMLParser):
    """Texts of a page in their order, and those of attributes apart."""

    def __init__(self, silent: set[str] = SILENT) -> None:
        super().__init__()
        self._silent_tags = silent
        self.stream: list[str] = []
        self.apart: list[str] = []
        self._silent: list[str] = []  # elements that are open, from a silent one on

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        begins = tag in self._silent_tags or _is_quoted(tag, attrs)
        if begins or (self._silent and tag == self._silent[0]):
            self._silent.append(tag)
        if not self._silent:
            self.apart += [text for name, text in attrs if name in READ and text]

    def handle_endtag(self, tag: str) -> None:
        if self._silent and tag == self._silent[-1]:
            self._silent.pop()

    def handle_data(self, data: str) -> None:
        if not self._silent:
            self.stream.append(data)


def _is_quoted(tag: str, attrs: list[tuple[str, str | None]]) -> bool:
    """A title in its own language, such as a publication's."""
    return tag != "html" and any(name == "lang" for name, _ in attrs)


def unsaid(page: str, data: Callable[[], list[str]]) -> list[str]:
    """What the page says outside brackets, and English numbers; `data` gives what rows hold."""
    texts = _Texts()
    texts.feed(page)
    outside = [*_outside("\n".join(texts.stream)), *(o for t in texts.apart for o in _outside(t))]
    if not any(WORD.search(ALIKE.sub(" ", text)) for text in outside):
        return [text for text in outside if POINT.search(text)]
    held = re.compile("|".join(map(re.escape, data())) or "(?!)")
    return [
        " ".join(text.split())
        for text in outside
        if WORD.search(ALIKE.sub(" ", held.sub(" ", ADDRESS.sub(" ", text)))) or POINT.search(text)
    ]


def _outside(text: str) -> list[str]:
    """The pieces of a text that stand in no brackets, line by line."""
    pieces, depth, piece = [], 0, ""
    for sign in text:
        if sign == OPEN:
            depth += 1
        elif sign == SHUT:
            depth -= 1
        elif not depth and sign != "\n":
            piece += sign
            continue
        if depth or sign == "\n":
            pieces.append(piece)
            piece = ""
    return [one for one in [*pieces, piece] if one.strip()]


def numbers_written_with(mark: str, page: str) -> list[str]:
    """What is read on a page and has a number with this decimal mark; names of publications
    keep theirs.
    """
    texts = _Texts(SILENT | {"cite"})
    texts.feed(page)
    number = POINT if mark == "." else DECIMAL_COMMA
    return [text for text in (*texts.stream, *texts.apart) if number.search(text)]


def numbers_with_a_comma(page: str) -> list[str]:
    """Attributes of figures that hold a number with a comma for its point."""
    return [one[0] for one in MEASURED.finditer(page) if COMMA.search(one[1])]


def data_of_all_rows() -> list[str]:
    """Every text that some row holds, the longest first."""
    held: set[str] = set()
    for model in apps.get_models():
        names = [
            field.attname
            for field in model._meta.concrete_fields
            if isinstance(field, (models.CharField, models.TextField)) and not field.choices
        ]
        for row in model._base_manager.values_list(*names) if names else ():
            held |= {str(text) for text in row if text and len(str(text)) > 1}
    return sorted(held, key=lambda text: (-len(text), text))
