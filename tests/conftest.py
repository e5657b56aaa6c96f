"""What all tests share: the cast, a database file, a browser, a private PostgreSQL."""

import datetime
import gc
import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from itertools import count
from pathlib import Path
from threading import Barrier
from zlib import crc32

import pytest
from hypothesis import HealthCheck, settings
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Page,
    expect,
    sync_playwright,
)
from xdist.scheduler import LoadGroupScheduling

# A small rescue (make_home, make_animal, make_enclosure, make_group, days counted from `today`),
# its linens, photos, and how pages and papers are read.
pytest_plugins = [
    "tests.support.rescue",
    "tests.support.demo",
    "tests.support.linens",
    "tests.support.photos",
    "tests.support.reading",
    "tests.support.surnames",
    "tests.support.clocks",
    "tests.support.buckets",
    "tests.support.disks",
]

# The same examples on every machine and every run; `HYPOTHESIS_PROFILE=deep` looks further.
settings.register_profile(
    "house",
    max_examples=40,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
settings.register_profile("deep", settings.get_profile("house"), max_examples=400)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "house"))
BY_NIGHT = os.environ.get("HYPOTHESIS_PROFILE") == "deep"

THEMES = ("light", "dark")
PASSWORD = "joint-disc-41"
# Chromium without a window: the same engine, at about three quarters of the processor time.
CHROMIUM = "/usr/bin/chromium-headless-shell"
# Fixtures of tests that take a browser or a started server.
BROWSERS = {"chromium", "server"}
QUIET_CHROMIUM = [
    "--no-sandbox",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-default-apps",
    "--disable-sync",
    "--no-first-run",
]
# Chromium's background sync sends from its service worker past a loss of signal that is only
# emulated. Other browsers have none, and pages send by themselves.
NO_BACKGROUND_SYNC = (
    "self.ServiceWorkerRegistration && delete ServiceWorkerRegistration.prototype.sync"
)
# A page is waited for so long: what else goes on on the machine makes no test fail.
PATIENCE_MS = 60_000
expect.set_options(timeout=PATIENCE_MS)
SCREENS = {
    "phone": {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True},
    "desktop": {"viewport": {"width": 1400, "height": 900}},
}


# --- What runs when ---

# Which share of what is spread over days; said once, for all processes of a run.
DAY = int(os.environ.setdefault("TESTS_OF_DAY", str(datetime.date.today().toordinal())))
# Days over which a whole run spreads what opens a browser, and what tries random examples.
DAYS_OF_BROWSERS, DAYS_OF_EXAMPLES = 2, 3
EACH_DAY = "tests/installed/"  # though they open a browser


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Mark what opens a browser; leave what is for the night out, unless `-m` or a name asks it.

    A whole run takes this day's share of what is spread; who names a file has all that is in it.
    """
    is_whole = all(Path(one).name == "tests" for one in config.args)
    for item in items:
        fixtures = getattr(item, "fixturenames", ())
        if not BROWSERS.isdisjoint(fixtures):
            item.add_marker("browser")
        if is_whole and not _is_todays(item):
            item.add_marker("nightly")
    if not config.option.markexpr and not any("::" in one for one in config.args):
        nightly = [item for item in items if item.get_closest_marker("nightly")]
        config.hook.pytest_deselected(items=nightly)
        items[:] = [item for item in items if not item.get_closest_marker("nightly")]


def _is_todays(item: pytest.Item) -> bool:
    """Of what is spread over so many days, each has its day; so has a file, or a parameter."""
    of, days = item.nodeid, 1
    if spread := item.get_closest_marker("spread"):
        days, by = spread.kwargs["days"], spread.kwargs.get("by")
        if by == "file":
            of = of.partition("::")[0]
        elif by:
            of = str(item.callspec.params[by])
    elif getattr(item.obj, "is_hypothesis_test", False):
        days = DAYS_OF_EXAMPLES
    elif item.get_closest_marker("browser") and not item.nodeid.startswith(EACH_DAY):
        days = DAYS_OF_BROWSERS
    return (crc32(of.encode()) + DAY) % days == 0


def pytest_collection_finish() -> None:
    """Leave alone what stays to the end, and look for garbage seldom: a fifth of the time."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 50)


# Folders and files whose tests share what takes long to begin: one process each.
TOGETHER = (
    "tests/installed/",
    "tests/house/test_older.py",
    "tests/house/test_postgresql.py",
    "tests/backups/test_move_to.py",
    "tests/backups/test_round_trip.py",
    "tests/house/test_catalogues.py",
    "tests/house/test_words_are_no_identity.py",
    "tests/demo/test_dues.py",
    "tests/drawing/test_altering.py",
    "tests/leaflets/",
    "tests/packet/",
)


class TogetherOrOneByOne(LoadGroupScheduling):
    """Deals tests out one by one, but those of TOGETHER all to one process.

    By where they stand: marks no longer reach the scheduler since pytest 9.1 keeps names of tests
    elsewhere than pytest-xdist 3.8 writes them. Two started servers would collect static files at
    once, into the same folder.
    """

    def _split_scope(self, nodeid: str) -> str:
        return next((one for one in TOGETHER if nodeid.startswith(one)), nodeid)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: object) -> TogetherOrOneByOne:
    return TogetherOrOneByOne(config, log)


# --- The database: a file, since one in memory would hide faults of locking ---


@pytest.fixture(scope="session")
def django_db_modify_db_settings(
    tmp_path_factory: pytest.TempPathFactory,
    django_db_modify_db_settings_parallel_suffix: None,  # on PostgreSQL, one for each process
) -> None:
    from django.db import connections

    database = connections["default"].settings_dict
    if database["ENGINE"] == "django.db.backends.sqlite3":
        database["TEST"]["NAME"] = str(tmp_path_factory.mktemp("database") / "test.sqlite3")


# --- The cast: one person of each role ---


@pytest.fixture
def make_person(db: None) -> Callable[..., object]:
    """`make_person("cora", role="coordinator", units="inches")`; all have the same password."""
    from habitats.people.models.people import Person

    def make(username: str, role: str = "builder", **changes: object) -> Person:
        return Person.objects.create_user(username, password=PASSWORD, roles=role, **changes)

    return make


@pytest.fixture
def coordinator(make_person):
    return make_person("cora", first_name="Cora", last_name="Lind", role="coordinator")


@pytest.fixture
def builder(make_person):
    return make_person("bertil", first_name="Bertil", last_name="Moss", role="builder")


@pytest.fixture
def foster(make_person):
    return make_person("fay", first_name="Fay", last_name="Odell", role="foster")


@pytest.fixture
def laundry(make_person):
    return make_person("lou", first_name="Lou", last_name="Abara", role="laundry")


@pytest.fixture
def cast(coordinator, builder, foster, laundry):
    """The person for each role."""
    return {person.roles: person for person in (coordinator, builder, foster, laundry)}


@pytest.fixture
def client_of() -> Callable[..., object]:
    """`client_of(person)`: a test client with that person logged in; None logs nobody in."""
    from django.test import Client

    def make(person: object) -> Client:
        # Browsers say which language they speak.
        client = Client(headers={"Accept-Language": "en-GB"})
        if person is not None:
            # django-axes wants a request to log in with; force_login needs none.
            client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
        return client

    return make


@pytest.fixture
def coordinating(client_of, coordinator, this_day):
    """The coordinator's client, on the small rescue's day; so too the three below."""
    return client_of(coordinator)


@pytest.fixture
def building(client_of, builder, this_day):
    return client_of(builder)


@pytest.fixture
def fostering(client_of, foster, this_day):
    return client_of(foster)


@pytest.fixture
def washing(client_of, laundry, this_day):
    return client_of(laundry)


# --- Papers ---


@pytest.fixture
def at_once():
    """`at_once(one, other)`: both are called in threads of their own, begun together."""

    def run(*calls):
        from django.db import connection

        gate = Barrier(len(calls))

        def call(one):
            gate.wait()
            try:
                return one()
            finally:
                connection.close()

        with ThreadPoolExecutor(len(calls)) as threads:
            return [done.result() for done in [threads.submit(call, one) for one in calls]]

    return run


@pytest.fixture
def unprinted(monkeypatch: pytest.MonkeyPatch) -> None:
    """A paper comes as the page that would be printed: to print takes seconds.

    For tests of who may have a paper, and of the words in it; each is printed in its own.
    """

    class Page:
        def __init__(self, *, string: str, **more: object) -> None:
            self.string = string

        def write_pdf(self, **more: object) -> bytes:
            return self.string.encode()

    monkeypatch.setattr("weasyprint.HTML", Page)


# --- The browser: Debian's Chromium, without a window ---


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    if not Path(CHROMIUM).exists():
        pytest.fail(
            f"There is no {CHROMIUM}. `make test` brings it; "
            "or apt-get install chromium-headless-shell."
        )
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=QUIET_CHROMIUM)
        yield browser
        browser.close()


@pytest.fixture
def said() -> list[str]:
    """What the browser's console said. A test that provokes it looks here, and clears it."""
    return []


@pytest.fixture
def open_page(chromium: Browser, live_server, client_of, said) -> Iterator[Callable[..., Page]]:
    """`open_page(person, screen="phone", theme="light", script=True)`: a page of a new browser.

    Addresses are relative to the live server: `page.goto("/log-in/")`. At the end of the test
    nothing may have been said on the console: a refused script or style says so only there.
    """
    contexts: list[BrowserContext] = []

    def open_(person=None, screen="desktop", theme="light", script=True) -> Page:
        context = chromium.new_context(
            base_url=live_server.url,
            color_scheme=theme,
            java_script_enabled=script,
            **SCREENS[screen],
        )
        contexts.append(context)
        context.add_init_script(NO_BACKGROUND_SYNC)
        if person is not None:
            session = client_of(person).cookies["sessionid"].value
            context.add_cookies([{"name": "sessionid", "value": session, "url": live_server.url}])
        page = context.new_page()
        page.set_default_timeout(PATIENCE_MS)
        page.on("console", lambda message: said.append(message.text) if _bad(message) else None)
        page.on("pageerror", lambda fault: said.append(str(fault)))
        return page

    yield open_
    for context in contexts:
        context.close()
    assert not said, f"The browser's console says: {said}"


def _bad(message: ConsoleMessage) -> bool:
    # An answer such as 403 or 422 is logged as a failed load; tests ask for those on purpose.
    return message.type in ("error", "warning") and "Failed to load resource" not in message.text


@pytest.fixture
def phone(open_page, coordinator) -> Page:
    """A page 360 px wide, touched, with the coordinator logged in."""
    return open_page(coordinator, screen="phone")


@pytest.fixture
def phone_in_german(phone, coordinator) -> Page:
    """The same for a reader of German, whose words are longer."""
    coordinator.language = "de"
    coordinator.save()
    return phone


@pytest.fixture
def desktop(open_page, coordinator) -> Page:
    """A page 1400 px wide with the coordinator logged in."""
    return open_page(coordinator, screen="desktop")


@pytest.fixture
def axe(request: pytest.FixtureRequest) -> Callable[..., None]:
    """`axe(page)`: no accessibility fault that axe-core knows.

    By day it judges every other page, the rest tomorrow, in light and dark by turns; by night each
    in both themes.
    """
    from axe_playwright_python.sync_playwright import Axe

    checker = Axe()
    turns = count(DAY + crc32(request.node.nodeid.encode()))

    def check(page: Page, themes: Sequence[str] = ()) -> None:
        turn = next(turns)
        if turn % 2 and not BY_NIGHT:
            return
        for theme in themes or (THEMES if BY_NIGHT else [THEMES[turn // 2 % 2]]):
            page.emulate_media(color_scheme=theme)
            found = checker.run(page, options={"resultTypes": ["violations"], "preload": False})
            assert found.violations_count == 0, f"{theme}: {found.generate_report()}"

    return check


# --- PostgreSQL: a private server for the tests that need the other database ---


@pytest.fixture(scope="session")
def postgresql_url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The DATABASE_URL of an empty database on a server of our own."""
    from tests.support.postgresql import running_server

    with running_server() as url:
        yield url
