"""A column of sentences: what people typed as it is, and what the program says to each reader."""

import json
from typing import Any

from django.db import models

from habitats.stored_wording import TEXT, from_json, to_json

_OBJECT = "{"  # how JSON of a sentence begins


class SentenceField(models.TextField):  # type: ignore[type-arg]
    """Text, or a ``Message`` with its values, which is told in the reader's language.

    To a migration, and to SQL, it is text: a sentence of ours is the JSON of ``stored_wording``.
    """

    def from_db_value(self, kept: str | None, *_: object) -> str | None:
        return None if kept is None else read_sentence(kept)

    def get_prep_value(self, value: Any) -> Any:
        return kept_sentence(value) if isinstance(value, str) else super().get_prep_value(value)

    def deconstruct(self) -> Any:
        name, _path, args, kwargs = super().deconstruct()
        return name, "django.db.models.TextField", args, kwargs


def kept_sentence(text: str) -> str:
    """As it stands in the column. A text that looks like one of ours is wrapped, and stays text."""
    told = to_json(text)
    if isinstance(told, str):
        if not told.startswith(_OBJECT):
            return told
        told = {TEXT: told}
    return json.dumps(told, ensure_ascii=False)


def read_sentence(kept: str) -> str:
    """What ``kept_sentence`` was given. What is no sentence of ours is text that was typed."""
    if not kept.startswith(_OBJECT):
        return kept
    try:
        told = json.loads(kept)
    except ValueError:
        return kept
    return from_json(told) or kept
