"""Readers of single cells: words, whole numbers, days, yes or no, one of several words."""

import re
from collections.abc import Mapping
from datetime import date

from habitats.csv_cells import FORMULA_MARKS
from habitats.imports.values import Reader, Refused
from habitats.welfare.words import day_words

EARLIEST_DAY = date(1990, 1, 1)
DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
WHOLE = re.compile(r"[0-9]{1,9}")
EMAIL = re.compile(r"[^@\s]+@[^@\s]+\.[^@\s.]+")
CODE = re.compile(r"[2-9BCDFGHJKMNPQRSTVWXZ]{6}")


def words(longest: int, *, lines: bool = False) -> Reader:
    """Text as it stands, in one line or in several; a formula is text like any other."""

    def read(text: str, _today: date) -> str:
        allowed = "\n\t" if lines else ""
        text = text.replace("\r\n", "\n").replace("\r", "\n") if lines else text
        if any(ord(mark) < 32 and mark not in allowed for mark in text):
            raise Refused("It holds a line break or another control sign. Write it in one line.")
        if len(text) > longest:
            raise Refused(f"It has {len(text)} signs; {longest} are allowed. Shorten it.")
        return text

    return read


def whole(low: int, high: int, unit: str) -> Reader:
    """A whole number within bounds."""

    def read(text: str, _today: date) -> int:
        _refuse_formula(text, "a whole number")
        if not WHOLE.fullmatch(text):
            raise Refused(f"This is no whole number. Write digits only, such as {low}.")
        if not low <= int(text) <= high:
            raise Refused(f"{low} to {high} {unit} are allowed. Correct the number.")
        return int(text)

    return read


def day(text: str, today: date) -> date:
    """A day that has come, written as ISO 8601 has it."""
    _refuse_formula(text, "a day")
    found = _day(text)
    if found > today:
        raise Refused(
            f"{day_words(found)} is in the future: today is {day_words(today)}. "
            "Write today or an earlier day."
        )
    if found < EARLIEST_DAY:
        raise Refused(
            f"{day_words(found)} is too long ago. Write {EARLIEST_DAY.isoformat()} or a later day."
        )
    return found


def yes_or_no(text: str, today: date) -> bool:
    found: bool = one_of({"yes": True, "no": False})(text, today)
    return found


def one_of(meanings: Mapping[str, object], *, instead: str = "") -> Reader:
    """One of these words, whatever their case. ``instead``: how to say which are allowed."""
    allowed = instead or " or ".join(meanings)

    def read(text: str, _today: date) -> object:
        word = " ".join(text.casefold().replace("_", " ").split())
        if word not in meanings:
            raise Refused(f"This word is not known here. Write {allowed}.")
        return meanings[word]

    return read


NO_CODE = "This is no code: one has six of the digits 2 to 9 and the letters without vowels."


def code(text: str, _today: date) -> str:
    """A code as this product gives it: six marks."""
    found = text.upper()
    if not CODE.fullmatch(found):
        raise Refused(
            f"{NO_CODE} Leave it empty for what is new, or write your own number under own_id."
        )
    return found


def code_of_design(text: str, _today: date) -> str:
    """The code of a design that is here: there is no other way to name one."""
    found = text.upper()
    if not CODE.fullmatch(found):
        raise Refused(f"{NO_CODE} Copy the code from the sheet of the design.")
    return found


def email(text: str, today: date) -> str:
    found: str = words(254)(text, today)
    if not EMAIL.fullmatch(found):
        raise Refused("This is no e-mail address. Write one such as name@example.org.")
    return found


def _refuse_formula(text: str, asked: str) -> None:
    if text.startswith(FORMULA_MARKS):
        raise Refused(
            f"It begins like a formula, and {asked} is asked for. Formulas are never worked out: "
            "paste the value itself."
        )


def _day(text: str) -> date:
    try:
        if not DAY.fullmatch(text):
            raise ValueError
        return date.fromisoformat(text)
    except ValueError:
        raise Refused(
            "This is not read as a day. Write year-month-day, such as 2026-04-03; no other order "
            "is understood."
        ) from None
