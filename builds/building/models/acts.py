"""An act as it was sent, by a page or as JSON by a phone, read into values.

It is ``{"once", "kind", "step", "at"}`` and what its kind asks for: a note its ``text``;
a photo its ``image`` and ``note``; a shortage ``what``, ``count``, ``is_damaged`` and ``note``.
An image is base64 from a phone, or bytes that a form of ours made anew already.
A phone adds ``sent``: what its clock said on sending; and ``ahead``: how many milliseconds its
clock was ahead of ours when it asked us just before.
"""

import base64
import binascii
import json
import math
import uuid
from collections.abc import Callable, Mapping
from datetime import UTC, datetime, timedelta
from io import BytesIO
from typing import Any, NamedTuple

from builds.making.part_names import part_code
from builds.making.step_keys import KEY_LENGTH
from builds.plans.models.build_acts import BuildAct, BuildNote, BuildPhoto, Shortage, Start, Tick
from habitats.common import photo_queue
from habitats.photos import NoPhoto
from habitats.wording import counted, message

LONGEST_NOTE, LONGEST_REMARK, LONGEST_WHAT = 1000, 300, 120
MOST_MISSING = 10_000
LONGEST_KEPT = 20_000
DEEPEST_KEPT = 3
# A clock that is less wrong than this is no trouble to anybody.
CLOCK_PLAY = timedelta(minutes=10)
# A clock that is further off than a century was not measured.
MOST_AHEAD_MS = 100 * 366 * 86_400_000
# What no text in a database may hold: NUL, and halves of a pair of surrogates.
UNSTORABLE = {0: "\ufffd", **dict.fromkeys(range(0xD800, 0xE000), "\ufffd")}
# Names for acts that came without a name of their own.
NAMELESS = uuid.UUID("6f0f6a38-0c0c-5a44-9a3e-1f0d5e1c7f52")


class BadAct(ValueError):
    """This says nothing that can be taken; its one argument is the sentence for people."""

    @property
    def sentence(self) -> str:
        """Able to be said in any language; ``str()`` gives the reader's."""
        return self.args[0]  # type: ignore[no-any-return]


class ActContent(NamedTuple):
    """What an act says: the row to be kept, and what stands in it."""

    kind: str
    step: str
    row: type[BuildAct]
    values: dict[str, Any]


def idempotency_key_of(act: Mapping[str, Any]) -> uuid.UUID:
    """Its UUID. Raises ``BadAct``."""
    given = act.get("once")
    try:
        return given if isinstance(given, uuid.UUID) else uuid.UUID(given)
    except (ValueError, TypeError, AttributeError):
        raise BadAct(
            message("It came without a UUID of its own, so it could be applied twice.")
        ) from None


def name_for(act: Mapping[str, Any], base: uuid.UUID = NAMELESS) -> uuid.UUID:
    """A UUID made of all that the act says, the same each time it is sent."""
    said = {name: value for name, value in as_sent(act).items() if name != "sent"}
    return uuid.uuid5(base, json.dumps(said, sort_keys=True, ensure_ascii=False))


def read(act: Mapping[str, Any]) -> ActContent:
    """Raises ``BadAct`` for what cannot be taken as it is, ``PhotosWaiting`` for what can later."""
    kind = act.get("kind")
    if not isinstance(kind, str) or kind not in _VALUES:
        raise BadAct(
            message(
                "Its kind is %(given)s; the kinds allowed are %(known)s.",
                given=_short(kind),
                known=", ".join(_VALUES),
            )
        )
    row, values = _VALUES[kind]
    step = _text(act, "step", KEY_LENGTH)
    if row in (Tick, Start) and not step:
        raise BadAct(message("It names no step."))
    return ActContent(kind, step, row, values(act))


def moment(given: object) -> datetime | None:
    """A time with its zone, from ISO 8601; None for what is none."""
    try:
        read = given if isinstance(given, datetime) else datetime.fromisoformat(given)  # type: ignore[arg-type]
        return read.astimezone(UTC) if read.tzinfo else None
    except (TypeError, ValueError, OverflowError):
        return None


def wrong_by(act: Mapping[str, Any], now: datetime) -> timedelta:
    """How far the phone's clock is ahead of ours; nothing where nobody knows.

    What it measured counts for more than the time of sending, which a slow line delays.
    """
    ahead = act.get("ahead")
    if type(ahead) is int and abs(ahead) <= MOST_AHEAD_MS:
        return timedelta(milliseconds=ahead)
    sent = moment(act.get("sent"))
    return sent - now if sent else timedelta(0)


def done_at(act: Mapping[str, Any], now: datetime) -> datetime:
    """When it was done by our clock: never later than now."""
    said = moment(act.get("at"))
    try:
        return min(said - wrong_by(act, now), now) if said else now
    except OverflowError:
        return now


def clock_fault(act: Mapping[str, Any], now: datetime) -> str:
    """A sentence where the phone's clock is wrong; empty where it is right, or nobody knows."""
    wrong = wrong_by(act, now)
    if not wrong and (said := moment(act.get("at"))):
        wrong = max(said - now, wrong)
    if abs(wrong) <= CLOCK_PLAY:
        return ""
    span = _span(abs(wrong))
    if wrong > timedelta(0):
        return message(
            "The clock of this phone is %(span)s ahead, so the time was corrected. Set the clock.",
            span=span,
        )
    return message(
        "The clock of this phone is %(span)s behind, so the time was corrected. Set the clock.",
        span=span,
    )


def as_sent(act: Mapping[str, Any]) -> dict[str, Any]:
    """The act so that any database keeps it: of pictures only how large they are."""
    kept = {_stored(name): _stored(value) for name, value in act.items() if name != "image"}
    if "image" in act:
        image = act["image"]
        size = len(image) if isinstance(image, bytes | str) else 0
        kept["image"] = f"{size} {'bytes' if isinstance(image, bytes) else 'characters'}"
    if len(json.dumps(kept)) > LONGEST_KEPT:
        return {"kind": _short(act.get("kind")), "beginning": json.dumps(kept)[:LONGEST_KEPT]}
    return kept


def _stored(value: object, depth: int = 0) -> Any:
    match value:
        case list() | dict() if depth > DEEPEST_KEPT:
            return "…"
        case str():
            return value.translate(UNSTORABLE)
        case None | bool():
            return value
        case int() if abs(value) < 10**15:
            return value
        case float() if math.isfinite(value):
            return value
        case list():
            return [_stored(one, depth + 1) for one in value]
        case dict():
            return {_stored(str(name)): _stored(one, depth + 1) for name, one in value.items()}
    return f"{value!s:.100}"


def _text(act: Mapping[str, Any], name: str, longest: int, *, needed: bool = False) -> str:
    given = act.get(name, "")
    if not isinstance(given, str):
        raise BadAct(message("Its %(field)s is not text.", field=name))
    if given.translate(UNSTORABLE) != given:
        raise BadAct(message("Its %(field)s holds a character that cannot be saved.", field=name))
    if len(given) > longest:
        raise BadAct(
            message(
                "Its %(field)s has %(number)d characters; at most %(most)d are allowed.",
                field=name,
                number=len(given),
                most=longest,
            )
        )
    if needed and not given.strip():
        raise BadAct(message("Its %(field)s is empty.", field=name))
    return given.strip()


def _note(act: Mapping[str, Any]) -> dict[str, Any]:
    return {"text": _text(act, "text", LONGEST_NOTE, needed=True)}


def _photo(act: Mapping[str, Any]) -> dict[str, Any]:
    return {"note": _text(act, "note", LONGEST_REMARK), "image": _image(act.get("image"))}


def _image(given: object) -> bytes:
    if isinstance(given, bytes):
        return given
    try:
        sent = BytesIO(base64.b64decode(given, validate=True))  # type: ignore[arg-type]
        return photo_queue.taken_in(sent)
    except photo_queue.PhotosWaiting:
        raise  # no fault of the act's: whoever sent it sends it again
    except NoPhoto as fault:
        raise BadAct(fault.args[0]) from None
    except (TypeError, ValueError, binascii.Error):
        raise BadAct(message("Its picture is not in base64.")) from None


def _shortage(act: Mapping[str, Any]) -> dict[str, Any]:
    is_damaged, count = act.get("is_damaged"), act.get("count")
    if not isinstance(is_damaged, bool):
        raise BadAct(message("It does not say whether the part is missing or damaged."))
    if type(count) is not int or not 1 <= count <= MOST_MISSING:
        raise BadAct(
            message(
                "Its count is %(given)s; give a number from 1 to %(most)d.",
                given=_short(count),
                most=MOST_MISSING,
            )
        )
    return {
        "kind": Shortage.Kind.DAMAGED if is_damaged else Shortage.Kind.MISSING,
        "what": part_code(_text(act, "what", LONGEST_WHAT, needed=True)),
        "count": count,
        "note": _text(act, "note", LONGEST_REMARK),
    }


_Values = Callable[[Mapping[str, Any]], dict[str, Any]]
_VALUES: dict[str, tuple[type[BuildAct], _Values]] = {
    "tick": (Tick, lambda act: {"is_done": True}),
    "untick": (Tick, lambda act: {"is_done": False}),
    "start": (Start, lambda act: {}),
    "note": (BuildNote, _note),
    "photo": (BuildPhoto, _photo),
    "shortage": (Shortage, _shortage),
}


def _short(value: object) -> str:
    return f"“{value!s:.30}”".translate(UNSTORABLE)


def _span(wrong: timedelta) -> str:
    """A day or an hour is near enough for people."""
    seconds = wrong.total_seconds()
    if (days := round(seconds / 86_400)) >= 1:
        return counted("about %(count)d day", "about %(count)d days", days)
    if (hours := round(seconds / 3_600)) >= 1:
        return counted("about %(count)d hour", "about %(count)d hours", hours)
    if (minutes := round(seconds / 60)) >= 1:
        return counted("about %(count)d minute", "about %(count)d minutes", minutes)
    return message("a little")
