"""Numbers as people read them: digits in threes and one decimal mark, written here alone.

Whoever shows a number to a person calls one of these; files, addresses and drawings' coordinates
keep the point. What has decimals is `Figures`: a language that writes a comma does so where it is
read.

    >>> grouped(10_000), fixed(110, 2), fixed(-1_234_567, 2)
    ('10\\xa0000', '1.10', '−12\\xa0345.67')
    >>> trimmed(2_440_000, 6), trimmed(750_000, 6, least=2), percent(Fraction(2, 3))
    ('2.44', '0.75', '67\\xa0%')
    >>> tenths(24.96), trimmed_tenths(3.5), percent_at_most(Fraction(1, 3000), 1)
    ('25.0', '3.5', '0.1\\xa0%')
"""

import math
from decimal import Decimal
from fractions import Fraction

from habitats.wording import Figures, joined

# Figures and their unit stay on one line, and so do the thousands of one number.
NO_BREAK = "\N{NO-BREAK SPACE}"
MINUS = "\N{MINUS SIGN}"
DECIMAL_MARK = "."
Number = int | float | Decimal | Fraction


def nearest(exact: Fraction) -> int:
    """The nearest whole number; a half goes up, as on paper, not to the even neighbour."""
    return math.floor(exact + Fraction(1, 2))


def grouped(number: int) -> str:
    """A whole number, its digits in threes (ISO 80000-1, 7.3.1)."""
    if number < 0:
        return MINUS + grouped(-number)
    return f"{number:,}".replace(",", NO_BREAK)


def fixed(steps: int, decimals: int) -> str:
    """So many steps of the last decimal: with exactly so many decimals."""
    whole, rest = divmod(abs(steps), 10**decimals)
    sign = MINUS if steps < 0 else ""
    if not decimals:
        return sign + grouped(whole)
    return Figures(f"{sign}{grouped(whole)}{DECIMAL_MARK}{rest:0{decimals}}")


def trimmed(steps: int, decimals: int, *, least: int = 0) -> str:
    """The same without the zeros at its end; ``least`` decimals are always there."""
    while decimals > least and steps % 10 == 0:
        steps, decimals = steps // 10, decimals - 1
    return fixed(steps, decimals)


def tenths(number: Number) -> str:
    """With one decimal, the nearest: a slope, a change of weight."""
    return fixed(nearest(10 * Fraction(number)), 1)


def trimmed_tenths(number: Number) -> str:
    """The same, whole numbers without a decimal: a limit, a thickness."""
    return trimmed(nearest(10 * Fraction(number)), 1)


def percent(share: Fraction) -> str:
    """A share in whole percent."""
    return _percent(nearest(100 * share), 0)


def percent_at_most(share: Number, decimals: int) -> str:
    """A share that is no more than told: rounded up."""
    return _percent(math.ceil(100 * 10**decimals * Fraction(share)), decimals)


def _percent(steps: int, decimals: int) -> str:
    """The sign apart (ISO 80000-1, 7.3.3)."""
    return joined(NO_BREAK, [fixed(steps, decimals), "%"])
