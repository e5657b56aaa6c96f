"""How much one step of a build weighs on its way to a phone, and how soon it can be used there.

    python -m tests.benchmarks.step_screen

The demo in a database of its own, served by gunicorn with the files that ``make install``
collected, opened in Chromium with its network held back. Told are the bytes that came over the
line, headers among them, and the milliseconds until the page was painted and its tick could be
pressed: first with nothing at hand, then as a builder comes to it, from the overview, whose style
sheets and lettering are the same.

The profiles are those of WebPageTest (3G Slow: 400 kbit/s, 400 ms; 3G Fast: 1.6 Mbit/s, 150 ms)
and Chromium's own tools (their slow 3G: 400 kbit/s, and 2 s before anything comes), from memory.
"""

import os
import socket
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any, NamedTuple

from playwright.sync_api import Page, sync_playwright

from tests.conftest import CHROMIUM, QUIET_CHROMIUM, SCREENS

NAME, PASSWORD = "marek", "hay-before-breakfast"
TIMES = 5


class Profile(NamedTuple):
    name: str
    bytes_a_second: int
    latency_ms: int


PROFILES = (
    Profile("3G Slow", 50_000, 400),
    Profile("3G Fast", 200_000, 150),
    Profile("slow 3G of Chromium’s tools", 50_000, 2000),
)


PAINTED = """() => new Promise(tell => {
  const way = performance.getEntriesByType("navigation")[0];
  new PerformanceObserver(list => {
    for (const one of list.getEntries()) {
      if (one.name === "first-contentful-paint") tell([one.startTime, way.domInteractive]);
    }
  }).observe({type: "paint", buffered: true});
})"""


class Seen(NamedTuple):
    bytes: int
    painted_ms: float
    usable_ms: float


def main() -> None:
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        server, base = _server(Path(folder))
        try:
            browser = playwright.chromium.launch(executable_path=CHROMIUM, args=QUIET_CHROMIUM)
            for profile in PROFILES:
                _tell(profile, browser, base)
        finally:
            server.terminate()
            server.wait()


def _tell(profile: Profile, browser: Any, base: str) -> None:
    runs: dict[str, list[Seen]] = {"with nothing at hand": [], "from the overview": []}
    for _ in range(TIMES):
        context = browser.new_context(base_url=base, **SCREENS["phone"])
        page = context.new_page()
        step = _logged_in(page)
        session = context.new_cdp_session(page)
        session.send("Network.enable")
        session.send("Network.clearBrowserCache")
        session.send(
            "Network.emulateNetworkConditions",
            {
                "offline": False,
                "latency": profile.latency_ms,
                "downloadThroughput": profile.bytes_a_second,
                "uploadThroughput": profile.bytes_a_second,
            },
        )
        for how in runs:
            runs[how].append(_seen(page, session, step))
        context.close()
    print(profile.name)
    for how, seen in runs.items():
        middle = sorted(seen, key=lambda one: one.usable_ms)[TIMES // 2]
        print(
            f"  {how:22}{middle.bytes:8} bytes, painted after {middle.painted_ms:5.0f} ms, "
            f"usable after {middle.usable_ms:5.0f} ms"
        )


def _logged_in(page: Page) -> str:
    """The address of the heaviest step of the build that is under way."""
    page.goto("/log-in/")
    page.fill("[name=username]", NAME)
    page.fill("[name=password]", PASSWORD)
    page.click("main button[type=submit]")
    page.goto("/builds/?whose=all&state=building")
    page.goto(page.locator(".builds a").last.get_attribute("href") or "")
    links = [one.get_attribute("href") or "" for one in page.locator(".steps a").all()]
    sizes = {link: len(page.request.get(link).body()) for link in links}
    return max(sizes, key=lambda link: sizes[link])


def _seen(page: Page, session: Any, step: str) -> Seen:
    page.goto("about:blank")
    came: list[float] = []
    session.on("Network.loadingFinished", lambda one: came.append(one["encodedDataLength"]))
    page.goto(step, wait_until="commit")
    page.get_by_role("button", name="done").wait_for()
    painted, parsed = page.evaluate(PAINTED)
    page.wait_for_load_state("networkidle")
    return Seen(round(sum(came)), painted, max(painted, parsed))


def _server(folder: Path) -> tuple[subprocess.Popen[bytes], str]:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    env = os.environ | {
        "DATABASE_URL": f"sqlite:///{folder / 'demo.sqlite3'}",
        "DJANGO_SETTINGS_MODULE": "habitats.settings",
        "SECRET_KEY": "only-to-measure-with",
        "HTTPS": "off",
        "DEBUG": "off",
    }
    for words in (["migrate", "-v0"], ["demo"]):
        subprocess.run(
            [sys.executable, "manage.py", *words], env=env, check=True, stdout=subprocess.DEVNULL
        )
    server = subprocess.Popen(
        [
            sys.executable,
            "-m",
            "gunicorn",
            "habitats.wsgi",
            "--bind",
            f"127.0.0.1:{port}",
            "--threads",
            "4",
            "--no-control-socket",
            "--log-level",
            "warning",
        ],
        env=env,
    )
    _wait_for(port)
    return server, f"http://127.0.0.1:{port}"


def _wait_for(port: int) -> None:
    for _ in range(100):
        with socket.socket() as knock:
            if knock.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.2)
    raise SystemExit("The server did not start.")


if __name__ == "__main__":
    main()
