"""Where people would still read words that the product does not use.

    python -m tests.support.words              every place, by room
    python -m tests.support.words linens       those of one room
    python -m tests.support.words --count      counts them again, into words_still.py

Templates are read without their tags, Python by its string literals without docstrings, scripts
by their strings. What a program puts in reads "…".
"""

import ast
import re
import sys
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple, TypeGuard

from tests.support.words_not_said import IN_CODE, LABELS, PHRASES

ROOT = Path(__file__).resolve().parents[2]
STILL = Path(__file__).with_name("words_still.py")
INSERTED = "…"
# Tags inside a sentence; all others end one.
INLINE = r"(?:a|abbr|b|bdi|em|i|kbd|small|span|strong|time|wbr)"
# Attributes that are for machines.
UNREAD = re.compile(r"(?:class|id|name|href|src|for|type|action|method|rel|hx-\S+|d|role)")
ATTRIBUTE = re.compile(r"""([\w-]+)=("[^"]*"|'[^']*')""")
QUOTED = re.compile(r'"(?:\\.|[^"\\\n])*"|\'(?:\\.|[^\'\\\n])*\'|`(?:\\.|[^`\\])*`')
ENDS = " \n\t.:…·,!?"


class Text(NamedTuple):
    """A stretch that people may read; ``line`` is where it begins."""

    line: int
    words: str


class Place(NamedTuple):
    """Where a phrase stands; ``words`` are those around it."""

    path: str
    line: int
    phrase: str
    words: str

    @property
    def room(self) -> str:
        top, *inner = Path(self.path).parts
        if top in ("habitats", "builds", "templates") and len(inner) > 1:
            return inner[0]
        return "/".join([top, *inner[:-1]])

    def __str__(self) -> str:
        return (
            f"{self.path}:{self.line}  “{self.phrase}” → {instead_of(self.phrase)}  | {self.words}"
        )


def instead_of(phrase: str) -> str:
    return (LABELS | PHRASES | IN_CODE)[phrase]


def _pattern(phrase: str) -> re.Pattern[str]:
    any_words = r"(?:\S+\s+){0,5}\S+"
    words = r"\s+".join(
        any_words if word == INSERTED else re.escape(word) for word in phrase.split()
    )
    # A phrase with a capital is one that begins a sentence: "part" is a noun, too.
    flags = 0 if phrase[0].isupper() else re.IGNORECASE
    return re.compile(rf"(?<![\w-]){words}(?![\w-])", flags)


PATTERNS = {phrase: _pattern(phrase) for phrase in PHRASES}


def phrases_in(text: str) -> Iterator[tuple[int, str]]:
    """Offsets and phrases; the text is a whole label, or one in a row of several."""
    if (label := text.strip(ENDS)) in LABELS:
        yield text.index(label), label
    for phrase, pattern in PATTERNS.items():
        for match in pattern.finditer(text):
            yield match.start(), phrase


def found_in(texts: Iterable["Text"]) -> list[tuple[int, str]]:
    """Lines and phrases."""
    return [(text.line, phrase) for text in texts for _at, phrase in phrases_in(text.words)]


# --- What people read of a page or a template ---


def of_markup(markup: str) -> Iterator[Text]:
    """Texts between tags and in attributes; what Django puts in is "…"."""
    markup = _blank(r"\{#.*?#\}|\{% comment.*?endcomment %\}|<!--.*?-->", markup)
    markup = _blank(r"<(script|style)\b.*?</\1>", markup)
    for match in re.finditer(r"<[a-zA-Z][^<>]*>|\{%.*?%\}", markup, re.S):
        yield from _of_tag(match[0], _line(markup, match.start()))
    text = re.sub(r"\{\{.*?\}\}", lambda one: INSERTED + _lines(one[0]), markup, flags=re.S)
    text = _blank(rf"</?{INLINE}\b[^<>]*>", text)
    text = re.sub(r"<[^<>]*>|\{%.*?%\}", lambda one: "\0" + _lines(one[0]), text, flags=re.S)
    begun = 0
    for piece in text.split("\0"):
        lead = len(piece) - len(piece.lstrip())
        if piece.strip():
            yield Text(_line(text, begun + lead), piece.strip())
        begun += len(piece) + 1


def _of_tag(tag: str, line: int) -> Iterator[Text]:
    if tag.startswith("{%"):
        for quoted in re.findall(r'"([^"]*)"', tag):
            yield Text(line, quoted)
        return
    for name, value in ATTRIBUTE.findall(tag):
        if not UNREAD.fullmatch(name):
            yield Text(line, re.sub(r"\{\{.*?\}\}", INSERTED, value[1:-1]))


def _blank(pattern: str, text: str) -> str:
    """The text without what matches, its lines kept."""
    return re.sub(pattern, lambda one: " " + _lines(one[0]), text, flags=re.S)


def _lines(text: str) -> str:
    return "\n" * text.count("\n")


def _line(text: str, offset: int) -> int:
    return text.count("\n", 0, offset) + 1


# --- What people read of a program ---


def of_python(source: str) -> Iterator[Text]:
    """Literals that are no docstrings; f-strings are one text."""
    tree = ast.parse(source)
    unread = {id(one) for node in ast.walk(tree) for one in _unread_in(node)}
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            parts = (
                part.value if isinstance(part, ast.Constant) else INSERTED for part in node.values
            )
            yield Text(node.lineno, "".join(map(str, parts)))
        elif _is_text(node) and id(node) not in unread:
            yield Text(node.lineno, node.value)


def _is_text(node: ast.AST) -> TypeGuard[ast.Constant]:
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def _unread_in(node: ast.AST) -> Iterable[ast.AST]:
    """Docstrings, annotations in quotes, and the pieces of an f-string, which is read whole."""
    if isinstance(node, ast.Expr):
        return [node.value]
    if isinstance(node, ast.JoinedStr):
        return node.values
    annotations = (getattr(node, name, None) for name in ("annotation", "returns"))
    return [one for given in annotations if given for one in ast.walk(given)]


def of_script(source: str) -> Iterator[Text]:
    source = _blank(r"/\*.*?\*/|(?<!:)//[^\n]*", source)
    for match in QUOTED.finditer(source):
        yield Text(_line(source, match.start()), match[0][1:-1])


# --- All of it ---


def places() -> list[Place]:
    found = [place for path in _files() for place in _of_file(path)]
    return sorted(found, key=lambda one: (one.room, one.path, one.line, one.phrase))


def _files() -> Iterator[Path]:
    for pattern in ("habitats/**/*.py", "builds/**/*.py", "templates/**/*.html", "static/js/*.js"):
        for path in sorted(ROOT.glob(pattern)):
            if "migrations" not in path.parts:
                yield path


def _of_file(path: Path) -> Iterator[Place]:
    source, name = path.read_text(), str(path.relative_to(ROOT))
    read = {".py": of_python, ".html": of_markup, ".js": of_script}[path.suffix]
    seen = set()
    for text in read(source):
        for offset, phrase in phrases_in(text.words):
            words = " ".join(text.words[max(0, offset - 30) : offset + 50].split())
            place = Place(name, text.line + text.words.count("\n", 0, offset), phrase, words)
            if place not in seen:
                seen.add(place)
                yield place
    for number, line in enumerate(source.splitlines(), start=1):
        for phrase in IN_CODE:
            if phrase in line.lower():
                yield Place(name, number, phrase, line.strip()[:80])


def counted(found: Iterable[Place]) -> dict[str, int]:
    counts = Counter(one.phrase for one in found)
    return {phrase: counts[phrase] for phrase in sorted(counts, key=str.lower)}


def _write_still(counts: dict[str, int]) -> None:
    rows = "".join(f'    "{phrase}": {count},\n' for phrase, count in counts.items())
    body = f"STILL: dict[str, int] = {{\n{rows}}}\n" if rows else "STILL: dict[str, int] = {}\n"
    STILL.write_text(
        '"""Phrases that are still somewhere, and in how many places: it only gets less.\n\n'
        'Written by ``python -m tests.support.words --count``.\n"""\n\n' + body
    )


def main(arguments: list[str]) -> None:
    found = places()
    if arguments == ["--count"]:
        _write_still(counted(found))
        return
    room = ""
    for place in found:
        if arguments and place.room not in arguments:
            continue
        if place.room != room:
            room = place.room
            print(f"\n== {room} ({sum(one.room == room for one in found)})")
        print(place)
    print(f"\n{len(found)} places, {len(counted(found))} phrases")


if __name__ == "__main__":
    main(sys.argv[1:])
