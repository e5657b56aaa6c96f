"""How many lines words take on paper, before they are set.

Widths are those of Liberation Sans, which has the measures of Helvetica, in thousandths of the size
of its letters. Letters that are not in the table are as wide as a capital.
"""

from functools import lru_cache

POINT_MM = 25.4 / 72
OTHER = 722
WIDTHS = {
    letter: width
    for width, letters in {
        222: "ijl'’|",
        278: "ftI.,:;/!·[] \N{NO-BREAK SPACE}",
        333: "r()-",
        500: "ckszvxyJ",
        556: "abdeghnopquäöü0123456789L?–",
        584: "+=×°",
        611: "FTZß",
        667: "ABEKPSVXYÄ",
        722: "CDHNRUwÜ",
        778: "GOQÖ",
        833: "mM",
        944: "W",
    }.items()
    for letter in letters
}
BLANK = WIDTHS[" "]


@lru_cache(maxsize=4096)  # words of people are among them, so not without an end
def _width_of(word: str) -> int:
    return sum(WIDTHS.get(letter, OTHER) for letter in word)


def lines_of(words: str, width_mm: float, points: float) -> int:
    """Broken between words, as a browser does; at least one."""
    room = 1000 * width_mm / (points * POINT_MM)
    lines, used = 1, 0
    for word in str(words).split(" "):
        needs = _width_of(word)
        if used and used + BLANK + needs > room:
            lines, used = lines + 1, needs
        else:
            used += needs + (BLANK if used else 0)
    return lines
