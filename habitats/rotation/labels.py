"""Labels of linens: short, read aloud and typed by hand, with a check mark at the end.

A label is four marks and a fifth that checks them, as the pure systems of ISO/IEC 7064 do: read
as digits to base 23, weighted with powers of 2, the five sum to 1 modulo 23. As 23 is prime and no
two weights of neighbours are alike, every single mark that is mistyped is caught, and every two
neighbours that are exchanged.

Of marks that look alike in print or on worn cloth only one is used, so that the other can be read
as it; vowels are left out, so that no label spells a word.

    >>> made_label("K3F7"), read_label("k3f7-h"), shown("K3F7H")
    ('K3F7H', 'K3F7H', 'K3F7-H')
"""

import re

from habitats.wording import counted, message

LABEL_MARKS = "23456789CDFHJKMNPQRTVWX"  # 23, a prime number
BODY_LENGTH = 4
LABEL_LENGTH = BODY_LENGTH + 1

# What people write or read for a mark that looks like it, where only one mark does.
_MEANT = str.maketrans({"B": "8", "G": "6", "S": "5", "U": "V", "Z": "2"})
# Marks that are in no label, and more than one of ours looks like them.
_LOOKS_LIKE = {"0": "DQ", "O": "DQ", "1": "7J", "I": "7J", "L": "7J"}

_BETWEEN = re.compile(
    r"[\s\-\N{HYPHEN}\N{NON-BREAKING HYPHEN}\N{EN DASH}\N{EM DASH}\N{MINUS SIGN}]+"
)
_EXAMPLE = "K3F7-H"
_LONGEST_QUOTED = 20


class NotALabel(ValueError):
    """This is no label of a linen; says in one sentence what was given and what to do."""


def made_label(body: str) -> str:
    """The label with these four marks, its check mark at the end.

    Raises ``ValueError`` unless they are four of ``LABEL_MARKS``.
    """
    if len(body) != BODY_LENGTH or not set(body) <= set(LABEL_MARKS):
        raise ValueError(f"{body!r} is not {BODY_LENGTH} of the marks {LABEL_MARKS}")
    return body + LABEL_MARKS[(1 - _weighed(body)) % len(LABEL_MARKS)]


def read_label(text: str) -> str:
    """The label that somebody typed or scanned, as it is stored.

    Lower case, spaces and hyphens are forgiven, and marks that look like just one of ours.
    Raises ``NotALabel`` with a sentence for all else: a mark mistyped, two exchanged, one missing.
    """
    marks = _BETWEEN.sub("", text).upper().translate(_MEANT)
    if fault := _fault(marks, _quoted(text)):
        raise NotALabel(fault)
    return marks


def shown(label: str) -> str:
    """A label in groups, as people read it: ``K3F7-H``."""
    return f"{label[:BODY_LENGTH]}-{label[BODY_LENGTH:]}"


def _fault(marks: str, given: str) -> str | None:
    """What is wrong with the marks of a label; None if nothing is."""
    if not marks:
        return message(
            "No label was entered. Type its %(length)d characters, as in %(example)s.",
            length=LABEL_LENGTH,
            example=_EXAMPLE,
        )
    if strange := next((mark for mark in marks if mark not in LABEL_MARKS), None):
        return _strange(strange, given)
    if len(marks) != LABEL_LENGTH:
        return counted(
            "%(given)s has %(count)d character; a label has %(length)d, as in %(example)s. Read "
            "it again and type all of them.",
            "%(given)s has %(count)d characters; a label has %(length)d, as in %(example)s. Read "
            "it again and type all of them.",
            len(marks),
            given=given,
            length=LABEL_LENGTH,
            example=_EXAMPLE,
        )
    if (_weighed(marks[:BODY_LENGTH]) + LABEL_MARKS.index(marks[-1])) % len(LABEL_MARKS) != 1:
        return message(
            "%(given)s looks mistyped: its last character does not fit the others. Read it again, "
            "one by one.",
            given=given,
        )
    return None


def _strange(mark: str, given: str) -> str:
    """A mark that is in no label."""
    if alike := _LOOKS_LIKE.get(mark):
        return message(
            "%(given)s looks mistyped: no label has “%(mark)s” in it. "
            "Check whether it is %(one)s or %(other)s.",
            given=given,
            mark=mark,
            one=alike[0],
            other=alike[1],
        )
    return message(
        "%(given)s looks mistyped: no label has “%(mark)s” in it. Read the label again.",
        given=given,
        mark=mark,
    )


def _weighed(body: str) -> int:
    """The sum of the marks before the check mark, the last weighted with 2, then 4, 8, ..."""
    total = 0
    for mark in body:
        total = 2 * (total + LABEL_MARKS.index(mark))
    return total


def _quoted(text: str) -> str:
    text = " ".join(text.split())
    return f"“{text[:_LONGEST_QUOTED]}…”" if len(text) > _LONGEST_QUOTED else f"“{text}”"
