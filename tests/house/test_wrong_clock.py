"""Each page that links lead to answers, and says nothing odd, where the server's clock is wrong.

Slow by an hour: what was written last lies ahead of it. Fast by a day or a month: nobody did
anything since. What is written under a wrong clock is tested where it belongs.
"""

import re

import pytest

from habitats.people.models.people import Person
from tests.house.test_names_by_role import addresses_from

# Time that is counted below nothing; a code such as 2026-017 is none.
BELOW_NOTHING = re.compile(
    r"(?<!\w)[-−]\d+\s*(?:days?|d|hours?|h|minutes?|min|weeks?|months?|years?)\b|(?<!\w)[-−]\d+ ago"
)
NO_WORDS = re.compile(r"<(script|style|svg)\b.*?</\1>|<[^>]+>", re.DOTALL)


def told_below_nothing(page: str) -> list[str]:
    words = " ".join(NO_WORDS.sub(" ", page).split())
    return [words[max(0, one.start() - 60) : one.end()] for one in BELOW_NOTHING.finditer(words)]


@pytest.mark.parametrize(
    ("words", "is_odd"),
    [("due −3 days ago", True), ("in -1 day", True), ("2026-017 day", False), ("2-3 days", False)],
)
def test_time_below_nothing_is_found(words, is_odd):
    assert bool(told_below_nothing(f"<p>{words}</p>")) is is_odd


@pytest.mark.nightly
@pytest.mark.parametrize("by", [{"hours": -1}, {"days": 1}, {"days": 31}], ids=str)
@pytest.mark.parametrize("name", ["odile", "marek", "ines", "tobi"])
def test_every_page_answers_and_counts_no_time_below_nothing(name, by, demo, client_of, clock):
    clock(**by)
    client, odd, seen = client_of(Person.objects.get(username=name)), [], 0

    for address, response in addresses_from(client, "/"):
        seen += 1
        if response.status_code >= 500:
            odd.append(f"{address}: {response.status_code}")
        if "html" in response.headers.get("Content-Type", ""):
            told = told_below_nothing(response.content.decode())
            odd += [f"{address}: {words}" for words in told]

    assert seen > 20
    assert not odd, "\n".join(odd)
