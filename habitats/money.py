"""Money as people read it: in the rescue's currency, with its sign.

Codes and decimals: ISO 4217, "minor unit" of its list one. Signs: the narrow symbols of Unicode
CLDR. Both are written from memory; a browser's own tables check them in the tests.

    >>> money(Decimal("23.8"), "EUR"), money(Decimal(1250), "CHF"), money(Decimal(900), "JPY")
    ('€23.80', 'CHF\\xa01\\xa0250.00', '¥900')
    >>> money(Decimal("4.5"), "")
    '4.50'
"""

from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from habitats.decimals import MINUS, NO_BREAK, fixed, nearest
from habitats.wording import joined, message, message_in

DECIMALS_KEPT = 2  # no currency below has more


class Currency(NamedTuple):
    sign: str
    decimals: int
    name: str


UNKNOWN = Currency("", DECIMALS_KEPT, "")  # nobody has chosen one yet
CURRENCIES = {
    "AUD": Currency("$", 2, message("Australian dollar")),
    "BRL": Currency("R$", 2, message("Brazilian real")),
    "CAD": Currency("$", 2, message("Canadian dollar")),
    "CHF": Currency("CHF", 2, message("Swiss franc")),
    "CZK": Currency("Kč", 2, message("Czech koruna")),
    "DKK": Currency("kr", 2, message("Danish krone")),
    "EUR": Currency("€", 2, message("Euro")),
    "GBP": Currency("£", 2, message("Pound sterling")),
    "HUF": Currency("Ft", 2, message("Hungarian forint")),
    "INR": Currency("₹", 2, message("Indian rupee")),
    "ISK": Currency("kr", 0, message("Icelandic króna")),
    "JPY": Currency("¥", 0, message("Japanese yen")),
    "KRW": Currency("₩", 0, message("South Korean won")),
    "MXN": Currency("$", 2, message("Mexican peso")),
    "NOK": Currency("kr", 2, message("Norwegian krone")),
    "NZD": Currency("$", 2, message("New Zealand dollar")),
    "PLN": Currency("zł", 2, message("Polish zloty")),
    "RON": Currency("lei", 2, message("Romanian leu")),
    "SEK": Currency("kr", 2, message("Swedish krona")),
    "SGD": Currency("$", 2, message("Singapore dollar")),
    "TRY": Currency("₺", 2, message("Turkish lira")),
    "USD": Currency("$", 2, message("US dollar")),
    "ZAR": Currency("R", 2, message("South African rand")),
}


def currency(code: str) -> Currency:
    return CURRENCIES.get(code, UNKNOWN)


def money(amount: Decimal, code: str) -> str:
    """An amount for reading; ``code`` empty: without a sign, for none is chosen.

    What was written down in smaller parts than the currency has is told with them, not rounded.
    """
    if amount < 0:
        return joined("", [MINUS, money(-amount, code)])
    kind = currency(code)
    decimals = kind.decimals if amount == round(amount, kind.decimals) else DECIMALS_KEPT
    figure = fixed(nearest(Fraction(amount) * 10**decimals), decimals)
    shown = {"sign": kind.sign, "figure": figure}
    if not kind.sign:
        return figure
    if kind.sign[-1].isalpha():
        return message_in("money", "%(sign)s%(no_break)s%(figure)s", **shown, no_break=NO_BREAK)
    return message_in("money", "%(sign)s%(figure)s", **shown)
