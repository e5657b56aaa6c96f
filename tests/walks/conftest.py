"""People's ways through the whole product: a hand that clicks and is counted, and its pictures.

Each walk goes, on its days, on one screen and theme, by night on the others. What was seen on the
way is kept in `artefacts/walks/`, a picture of each page, to be looked at.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pytest
from django.conf import settings
from playwright.sync_api import Locator, Page

from tests.support.reading import fits

ARTEFACTS = Path(settings.BASE_DIR) / "artefacts" / "walks"
# How a walk may be gone; a test takes those that are for it from `ways`.
WAYS = [(screen, theme) for screen in ("phone", "desktop") for theme in ("light", "dark")]


def ways(by_day: tuple[str, str]) -> list:
    """The four screens and themes, for `parametrize`: one by day, the others by night."""
    return [
        pytest.param(way, id="-".join(way), marks=() if way == by_day else pytest.mark.nightly)
        for way in WAYS
    ]


@dataclass
class Hand:
    """Clicks and chooses on a page, and counts it; keystrokes are not counted."""

    page: Page
    pictures: Path
    check: Callable[[Page], None]
    clicks: int = 0
    seen: int = 0

    def press(self, target: Locator) -> None:
        self.clicks += 1
        target.first.click()
        self.page.wait_for_load_state()

    def click(self, role: str, name: str, exact: bool = True) -> None:
        self.press(self.page.get_by_role(role, name=name, exact=exact))

    def tick(self, name: str, value: str) -> None:
        self.clicks += 1
        self.page.locator(f"[name={name}][value='{value}']").check()

    def choose(self, label: str, value: str) -> None:
        self.clicks += 1
        self.page.get_by_label(label, exact=True).select_option(value)

    def write(self, label: str, words: str) -> None:
        self.page.get_by_label(label, exact=True).fill(words)

    def upload(self, name: str, lines: list[str]) -> None:
        self.clicks += 1
        content = "\n".join(lines).encode()
        self.page.get_by_label("File", exact=True).set_input_files(
            {"name": name, "mimeType": "text/csv", "buffer": content}
        )

    def log_in(self, username: str, password: str) -> None:
        self.page.goto("/")
        self.write("Log-in name", username)
        self.write("Password", password)
        self.click("button", "Log in")

    def look(self, heading: str) -> None:
        """Keep a picture of the page with that heading; it fits the screen, and is accessible."""
        self.page.get_by_role("heading", name=heading).first.wait_for()
        self.seen += 1
        name = f"{self.seen:02} {heading.replace('/', ' ')}.png"
        self.page.screenshot(path=self.pictures / name, full_page=True)
        assert fits(self.page), heading
        self.check(self.page)


@pytest.fixture
def hand_of(open_page, request) -> Callable[..., Hand]:
    """`hand_of(way, walk, person)`: on that screen; None has yet to log in.

    By night axe looks at each page too; by day it does in the tests of the pages.
    """
    by_night = request.node.get_closest_marker("nightly")

    def make(way: tuple[str, str], walk: str, person: object = None) -> Hand:
        screen, theme = way
        pictures = ARTEFACTS / f"{walk}, {screen}, {theme}"
        pictures.mkdir(parents=True, exist_ok=True)
        for former in pictures.glob("*.png"):
            former.unlink()
        axe = request.getfixturevalue("axe") if by_night else None

        def check(page: Page) -> None:
            if axe is not None:
                axe(page, themes=(theme,))

        return Hand(open_page(person, screen=screen, theme=theme), pictures, check)

    return make


@pytest.fixture
def calendar(monkeypatch: pytest.MonkeyPatch) -> Callable[[date], None]:
    """`calendar(date(2027, 3, 8))`: from now on it is that day, for pages too."""
    from django.utils import timezone

    real = timezone.localdate

    def turn(to: date) -> None:
        monkeypatch.setattr(
            "django.utils.timezone.localdate",
            lambda value=None, *zone: to if value is None else real(value, *zone),
        )

    return turn
