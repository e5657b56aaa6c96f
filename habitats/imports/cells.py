"""Readers of single cells: words, whole numbers, days, yes or no, one of several words.

Each gives what reads one cell, or raises ``Refused`` with the sentence for its line.
"""

import re
from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal

from habitats.csv_cells import FORMULA_MARKS
from habitats.imports.values import Reader, Refused
from habitats.welfare.words import day_words
from habitats.wording import joined, message

EARLIEST_DAY = date(1990, 1, 1)
DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
WHOLE = re.compile(r"[0-9]{1,9}")
PRICE = re.compile(r"[0-9]{1,9}([.,][0-9]{1,2})?")
EMAIL = re.compile(r"[^@\s]+@[^@\s]+\.[^@\s.]+")
CODE = re.compile(r"[2-9BCDFGHJKMNPQRSTVWXZ]{6}")


def words(longest: int, *, lines: bool = False) -> Reader:
    """Text as it stands, in one line or in several; a formula is text like any other."""

    def read(text: str, _today: date) -> str:
        allowed = "\n\t" if lines else ""
        text = text.replace("\r\n", "\n").replace("\r", "\n") if lines else text
        if any(ord(mark) < 32 and mark not in allowed for mark in text):
            raise Refused(
                message("It has a line break or another control character. Write it on one line.")
            )
        if len(text) > longest:
            raise Refused(
                message(
                    "It has %(length)d characters; %(longest)d are allowed. Shorten it.",
                    length=len(text),
                    longest=longest,
                )
            )
        return text

    return read


def whole(low: int, high: int) -> Reader:
    """A whole number within bounds."""

    def read(text: str, _today: date) -> int:
        _refuse_formula(text)
        if not WHOLE.fullmatch(text):
            raise Refused(
                message(
                    "This is not a whole number. Write digits only, such as %(number)d.",
                    number=low,
                )
            )
        if not low <= int(text) <= high:
            raise Refused(
                message(
                    "Numbers from %(low)d to %(high)d are allowed. Correct the number.",
                    low=low,
                    high=high,
                )
            )
        return int(text)

    return read


def price(most: Decimal) -> Reader:
    """An amount of money without its sign, with a point or a comma before two decimals at most."""

    def read(text: str, _today: date) -> Decimal:
        _refuse_formula(text)
        if not PRICE.fullmatch(text):
            raise Refused(
                message(
                    "This is not a price. Write digits only, with two decimals at most, such as "
                    "4.90."
                )
            )
        amount = Decimal(text.replace(",", "."))
        if amount > most:
            raise Refused(
                message("Prices up to %(most)s are allowed. Correct the price.", most=str(most))
            )
        return amount

    return read


def day(text: str, today: date) -> date:
    """A day that has come, written as ISO 8601 has it."""
    _refuse_formula(text)
    found = _day(text)
    if found > today:
        raise Refused(
            message(
                "%(day)s is in the future: today is %(today)s. Write today or an earlier day.",
                day=day_words(found),
                today=day_words(today),
            )
        )
    if found < EARLIEST_DAY:
        raise Refused(
            message(
                "%(day)s is too long ago. Write %(earliest)s or a later day.",
                day=day_words(found),
                earliest=EARLIEST_DAY.isoformat(),
            )
        )
    return found


def yes_or_no(text: str, today: date) -> bool:
    found: bool = one_of({"yes": True, "no": False})(text, today)
    return found


def one_of(meanings: Mapping[str, object], *, refusal: str = "") -> Reader:
    """One of these words, whatever their case. ``refusal``: what to write, if not just these."""
    instead = refusal or allowed(meanings)

    def read(text: str, _today: date) -> object:
        word = " ".join(text.casefold().replace("_", " ").split())
        if word not in meanings:
            raise Refused(joined(" ", [message("This word is not allowed here."), instead]))
        return meanings[word]

    return read


def some_of(meanings: Mapping[str, str]) -> Reader:
    """Any of these words with commas between them; their codes likewise, in the usual order."""
    read_one = one_of(meanings)

    def read(text: str, today: date) -> str:
        given = {read_one(word, today) for word in text.replace(";", ",").split(",")}
        return ",".join(code for code in meanings.values() if code in given)

    return read


def allowed(words: Iterable[str]) -> str:
    """The words themselves stay as they are in every language: they are those of the file."""
    return message("Allowed: %(words)s.", words=", ".join(words))


def empty_means(word: str) -> str:
    return message("Empty means %(word)s.", word=word)


SEVERAL = message("Several with commas between them.")
YES_AND_NO = allowed(("yes", "no"))
YES_OR_NO = joined(" ", [YES_AND_NO, empty_means("no")])
WHERE_CODES_ARE = message("Copy the code from the sheet of the design.")
NO_CODE = message(
    "This is not a code. A code has six characters: digits from 2 to 9 and letters, but no vowels."
)


def code(text: str, _today: date) -> str:
    """A code as this product gives it: six characters."""
    found = text.upper()
    if not CODE.fullmatch(found):
        or_own = message("Leave it empty if the row is new, or write your own number in own_id.")
        raise Refused(joined(" ", [NO_CODE, or_own]))
    return found


def code_of_design(text: str, _today: date) -> str:
    """The code of a design that is here: there is no other way to name one."""
    found = text.upper()
    if not CODE.fullmatch(found):
        raise Refused(joined(" ", [NO_CODE, WHERE_CODES_ARE]))
    return found


def email(text: str, today: date) -> str:
    """An address as it stands; whether mail reaches it is not asked."""
    found: str = words(254)(text, today)
    if not EMAIL.fullmatch(found):
        raise Refused(
            message(
                "This is not an e-mail address. Write one such as %(example)s.",
                example="name@example.org",
            )
        )
    return found


def _refuse_formula(text: str) -> None:
    if text.startswith(FORMULA_MARKS):
        raise Refused(
            message(
                "It begins like a formula. Formulas are never calculated: paste the value itself."
            )
        )


def _day(text: str) -> date:
    try:
        if not DAY.fullmatch(text):
            raise ValueError
        return date.fromisoformat(text)
    except ValueError:
        raise Refused(
            message("This is not a valid day. Write year-month-day only, such as 2026-04-03.")
        ) from None
