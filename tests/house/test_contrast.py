"""Every pair of colours that meet can be told apart.

Source: Web Content Accessibility Guidelines (WCAG) 2.2, W3C Recommendation: "relative luminance"
and "contrast ratio" in section 6, success criteria 1.4.3 (text, 4.5 : 1) and 1.4.11 (marks, 3 : 1).
"""

import re
from pathlib import Path

import pytest

TOKENS = Path(__file__).parents[2] / "static" / "css" / "tokens.css"

TEXT = [
    *(
        (ink, paper)
        for ink in ("ink", "ink-soft", "new", "warn", "ok")
        for paper in ("paper", "paper-raised", "paper-sunk")
    ),
    ("ink", "new-wash"),
    ("ink", "warn-wash"),
    ("ink", "ok-wash"),
    ("new", "new-wash"),
    ("warn", "warn-wash"),
    ("ok", "ok-wash"),
    ("paper", "ink"),
    ("paper", "ink-soft"),
]
MARKS = [("line", "paper"), ("line", "paper-raised"), ("hatch", "paper"), ("hatch", "paper-raised")]


def colours(selector: str) -> dict[str, str]:
    """The colour tokens of the first rule with this selector."""
    css = TOKENS.read_text()
    rule = css[css.index(selector + " {") :]
    return dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", rule[: rule.index("}")]))


THEMES = {
    "light": colours(":root"),
    "dark by choice": colours(':root[data-theme="dark"]'),
    "dark by device": colours(':root:not([data-theme="light"])'),
    "print": colours(":root, :root[data-theme]"),
}


def luminance(colour: str) -> float:
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def test_the_formula_gives_the_published_extremes():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#777777") == pytest.approx(1)


def test_the_formula_gives_a_well_known_grey():
    # #767676 is the lightest grey that passes 4.5 on white, #777777 is the first to fail:
    # from W3C's Understanding 1.4.3 and common practice, from memory.
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize(("ink", "ground"), TEXT)
def test_words_are_readable(theme, ink, ground):
    assert contrast(THEMES[theme][ink], THEMES[theme][ground]) >= 4.5


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize(("mark", "ground"), MARKS)
def test_lines_and_hatching_are_seen(theme, mark, ground):
    assert contrast(THEMES[theme][mark], THEMES[theme][ground]) >= 3


def test_both_ways_to_the_dark_theme_give_the_same_one():
    assert THEMES["dark by choice"] == THEMES["dark by device"]


@pytest.mark.parametrize("theme", THEMES)
def test_every_theme_has_every_colour(theme):
    assert THEMES[theme].keys() == THEMES["light"].keys()
