"""Sentences as they are kept in JSON, so that whoever reads them later is told in their language.

A plain text stays a text. A sentence becomes an object: its pattern and values, and beside them
its English text. What cannot be said again from these, word for word, is read as that text.

    >>> from habitats.wording import message
    >>> to_json(message("Level %(number)d.", number=2))
    {'pattern': 'Level %(number)d.', 'values': {'number': 2}, 'text': 'Level 2.'}
    >>> from_json({"pattern": "Level %(number)d.", "values": {"number": 2}, "text": "Level 2."})
    'Level 2.'
"""

from collections.abc import Iterable
from typing import Any, TypeAlias

from habitats.wording import Counted, Figures, Joined, Message, Said

# What `json.dumps` writes: a text, or an object that is known by one of its names.
AsJson: TypeAlias = "str | dict[str, Any]"
TEXT = "text"
_PATTERN, _ONE, _FIGURES, _JOINED = "pattern", "one", "figures", "joined"
_BROKEN = (KeyError, TypeError, ValueError, AttributeError, RecursionError)


def to_json(text: str) -> AsJson:
    """The text, as `from_json` reads it."""
    english, told = str.__str__(text), _told(text)
    if isinstance(told, str) or told.get(_PATTERN) == english:
        return told
    return {**told, TEXT: english}


def from_json(kept: object) -> str:
    """The sentence again. What was kept before sentences were, or is broken, stays as it is.

    Never raises: what is no text and has none is empty.
    """
    if isinstance(kept, str):
        return kept
    if not isinstance(kept, dict):
        return ""
    english = kept.get(TEXT, kept.get(_PATTERN))
    if not isinstance(english, str):
        return ""
    try:
        said = _said(kept)
    except _BROKEN:
        return english
    return said if isinstance(said, str) and said == english else english


def all_to_json(texts: Iterable[str]) -> list[AsJson]:
    """Several sentences, as `all_from_json` reads them."""
    return [to_json(text) for text in texts]


def all_from_json(kept: object) -> list[str]:
    """The sentences again; none where no list was kept."""
    return [from_json(one) for one in kept] if isinstance(kept, list) else []


def _told(value: object) -> Any:
    """Without the English text, which the outermost sentence has."""
    match value:
        case Message():
            context = {"context": value.context} if value.context else {}
            return {_PATTERN: value.pattern, **context, **_values(value.values)}
        case Counted():
            counted = {_ONE: value.one, "many": value.many, "count": value.number}
            return {**counted, **_values(value.values)}
        case Figures():
            return {_FIGURES: str.__str__(value)}
        case Joined():
            return {_JOINED: [_told(one) for one in value.texts], "between": _told(value.between)}
        case Said():
            return str.__str__(value)
        case str():
            return str.__str__(value)
        case int() | float() | None:
            return value
    return str(value)


def _values(values: dict[str, object]) -> dict[str, Any]:
    return {"values": {name: _told(one) for name, one in values.items()}} if values else {}


def _said(kept: Any) -> Any:
    """What was told, again. Raises one of ``_BROKEN`` where it was not told so."""
    match kept:
        case {"pattern": str(pattern)}:
            return Message(pattern, str(kept.get("context", "")), _read(kept))
        case {"one": str(one), "many": str(many), "count": int(count)}:
            return Counted(one, many, count, _read(kept))
        case {"figures": str(figures)}:
            return Figures(figures)
        case {"joined": list(texts), "between": between}:
            return Joined(_said(between), [_said(text) for text in texts])
        case str() | int() | float() | None:
            return kept
    raise ValueError("This is no sentence that was kept.")


def _read(kept: dict[str, Any]) -> dict[str, object]:
    return {name: _said(one) for name, one in kept.get("values", {}).items()}
