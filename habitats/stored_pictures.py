"""Pictures as they are kept in JSON: drawn once, and what they say told to each reader.

A picture is kept as markup and sentences in turn. Words take about the room of the English ones,
whichever language they are told in: the pen reckons letters wider than they are.
"""

import re
from collections.abc import Callable
from html import escape
from typing import TypeAlias

from habitats.stored_wording import AsJson, from_json, to_json
from habitats.wording import Said, written_by

# Markup and, at every second place, a sentence. A text alone is a picture of before.
StoredPicture: TypeAlias = "str | list[AsJson]"

NO_PICTURE: StoredPicture = [""]  # what `stored_picture` makes where nothing is drawn

# For private use in Unicode, so no letter of any language: around a sentence's number, and to fill.
_OPEN, _SHUT, _FILL = "\ue000", "\ue001", "\ue002"
_PLACE = re.compile(f"{_OPEN}(\\d+){_FILL}*{_SHUT}")


def stored_picture(draw: Callable[[], str]) -> list[AsJson]:
    """The picture that ``draw`` makes, with its sentences apart."""
    sentences: list[Said] = []

    def place(sentence: Said) -> str:
        """Stands for a sentence, and is as long, since layouts measure it."""
        number = f"{len(sentences)}"
        sentences.append(sentence)
        return _OPEN + number.ljust(len(sentence) - 2, _FILL) + _SHUT

    with written_by(place):
        markup = draw()
    pieces: list[AsJson] = list(_PLACE.split(markup))
    pieces[1::2] = [to_json(sentences[int(str(number))]) for number in pieces[1::2]]
    return pieces


def picture_told(kept: StoredPicture) -> str:
    """The picture in the reader's language; one of before as it was drawn."""
    if isinstance(kept, str):
        return kept
    told = [
        escape(str(from_json(piece))) if number % 2 else str(piece)
        for number, piece in enumerate(kept)
    ]
    return "".join(told)
