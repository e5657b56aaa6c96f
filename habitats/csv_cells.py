"""Cells of CSV files that go out: plain UTF-8 that a spreadsheet opens without running anything."""

import csv
from collections.abc import Iterable, Iterator
from io import StringIO

# A spreadsheet takes a cell that begins with one of these for a formula (OWASP, "CSV Injection").
FORMULA_MARKS = ("=", "+", "-", "@", "\t", "\r")
BYTE_ORDER_MARK = "\N{ZERO WIDTH NO-BREAK SPACE}"  # by which a spreadsheet knows UTF-8


def cell(value: object) -> str:
    """What is written for a value; None is an empty cell, numbers stay numbers.

    >>> cell("=HYPERLINK(1)")
    "'=HYPERLINK(1)"
    >>> cell(-3)
    '-3'
    """
    if value is None:
        return ""
    text = str(value)
    return f"'{text}" if isinstance(value, str) and _needs_a_mark(text) else text


def plain(text: str) -> str:
    """A cell of ours as it was before ``cell``: what goes out can come in again.

    >>> plain("'=HYPERLINK(1)")
    '=HYPERLINK(1)'
    """
    return text[1:] if text.startswith("'") and _needs_a_mark(text) else text


def _needs_a_mark(text: str) -> bool:
    """A formula, and what could be taken for one that was marked before."""
    return text.lstrip("'").startswith(FORMULA_MARKS)


def csv_lines(rows: Iterable[Iterable[object]]) -> Iterator[str]:
    """The file line by line, as RFC 4180 has it, so that any length of it can be sent."""
    yield BYTE_ORDER_MARK
    for row in rows:
        line = StringIO()
        csv.writer(line).writerow([cell(value) for value in row])
        yield line.getvalue()
