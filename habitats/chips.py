"""The number of a transponder ("chip"): the code of ISO 11784 as it is printed, 15 digits.

Three digits name a country (ISO 3166) or, from 900 on, a maker; 999 is for trials. Twelve digits
are the animal's own, which the chip holds in 38 bits. Not from the standard itself, which was not
read: a register's slides and makers' manuals agree on both.
"""

import re

from habitats.wording import message

DIGITS = 15
OF_THE_COUNTRY = 3
MOST_OWN = 2**38 - 1
TRIALS = 999
# As labels and readers print it: in groups.
BETWEEN = re.compile(r"[\s.\-]+")
PLAIN = re.compile(r"[0-9]{15}", re.ASCII)

ALLOWED = message(
    "A chip number has 15 digits: three of a country or a maker, 001 to 998, and twelve more, up "
    "to 274877906943. Another kind of number goes into “Your own number”."
)


class NoChip(ValueError):
    """What was typed is no chip number; ``sentence`` says what is allowed."""

    sentence = ALLOWED


def chip_number(text: str) -> str:
    """Its 15 digits, however they are grouped; empty for nothing. Raises ``NoChip``.

    >>> chip_number("276 0981 0002 1417")
    '276098100021417'
    """
    plain = BETWEEN.sub("", text)
    if not plain:
        return ""
    if not PLAIN.fullmatch(plain):
        raise NoChip
    country, own = int(plain[:OF_THE_COUNTRY]), int(plain[OF_THE_COUNTRY:])
    if not 0 < country < TRIALS or own > MOST_OWN:
        raise NoChip
    return plain


def in_groups(number: str) -> str:
    """As people read it aloud.

    >>> in_groups("276098100021417")
    '276 0981 0002 1417'
    """
    country, own = number[:OF_THE_COUNTRY], number[OF_THE_COUNTRY:]
    return " ".join([country, *(own[at : at + 4] for at in range(0, len(own), 4))])
