"""The line under a page's heading that says to a newcomer what the page is for."""

import re
from html import unescape

HEADING = re.compile(r"<h1\b[^>]*>(.*?)</h1>", re.S)
LINE = re.compile(r'<p class="purpose">(.*?)</p>', re.S)
MOST_WORDS = 20
# A word, or figures: signs by themselves are none.
WORD = re.compile(r"\w[\w’'-]*")


def wrong_with_its_line(page: str) -> str:
    """What is amiss with the page's line; empty for a good one, and for what is no page."""
    if "<main" not in page:
        return ""
    lines = [_words(one) for one in LINE.findall(page)]
    if len(lines) != 1:
        return f"{len(lines)} lines"
    line = lines[0]
    if not line:
        return "an empty line"
    if len(line) > MOST_WORDS:
        return f"{len(line)} words: {' '.join(line)}"
    if any(line == _words(heading) for heading in HEADING.findall(page)):
        return "repeats the heading"
    return ""


def _words(html: str) -> list[str]:
    return WORD.findall(unescape(re.sub(r"<[^>]+>", " ", html)))
