"""What a paper is made of, told in one text: from the same facts the same paper is made.

Sentences are told as the reader at hand reads them. A set has no order and a figure one way to be
written, so two processes tell the same. What is no value cannot be told: ``TypeError``.
"""

import json
from collections.abc import Mapping, Set
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from enum import Enum
from functools import cache
from hashlib import sha256
from pathlib import Path

from django.conf import settings
from django.db.models import Model

# What makes papers: the program, its words, its pictures and its styles.
ROOMS = ("habitats", "builds", "templates", "static")
KINDS = {".py", ".toml", ".mo", ".html", ".svg", ".css", ".ttf", ".otf", ".woff2", ".png"}


def told(facts: object) -> str:
    return json.dumps(_plain(facts), ensure_ascii=False, separators=(",", ":"))


@cache
def program() -> str:
    """A mark of the program's files: another version makes other papers.

    By names, sizes and moments of change, at the first paper of a process. One that was running
    when they changed makes old papers of today; most carry their day, so tomorrow asks for others.
    """
    whole = sha256()
    for room in ROOMS:
        for path in sorted((Path(settings.BASE_DIR) / room).rglob("*")):
            if path.suffix in KINDS:
                facts = path.stat()
                whole.update(f"{path} {facts.st_size} {facts.st_mtime_ns}\n".encode())
    return whole.hexdigest()


def _plain(value: object) -> object:
    if isinstance(value, Enum):  # before text and numbers, which some are too
        return [type(value).__name__, _plain(value.value)]
    if value is None or isinstance(value, (bool, int, float)):
        return value
    if isinstance(value, str):
        return str(value)
    if isinstance(value, (date, Decimal)):
        return [type(value).__name__, str(value)]
    if isinstance(value, Mapping):
        return {"pairs": sorted(told(pair) for pair in value.items())}
    if isinstance(value, Set):
        return {"set": sorted(told(one) for one in value)}
    if isinstance(value, (tuple, list)):
        return [type(value).__name__, *(_plain(one) for one in value)]
    if is_dataclass(value) and not isinstance(value, type):
        told_fields = [_plain(getattr(value, one.name)) for one in fields(value)]
        return [type(value).__qualname__, *told_fields]
    if isinstance(value, Model):
        columns = [getattr(value, one.attname) for one in value._meta.concrete_fields]
        return [value._meta.label, *map(_plain, columns)]
    raise TypeError(f"{type(value).__qualname__} is no value.")
