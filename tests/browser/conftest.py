"""A browser over the page at `/`: these tests run where the path of a Chromium is set."""

import os
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tests.serving import RunningService, running_service

VARIABLE = "WEATHERSTRIP_TEST_BROWSER"


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    path = os.environ.get(VARIABLE)
    if not path:
        pytest.skip(f"{VARIABLE} is not set: it names a Chromium, such as /usr/bin/chromium")
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])
        yield started
        started.close()


@pytest.fixture(scope="session")
def service(browser: Browser) -> Iterator[RunningService]:
    with running_service() as running:
        yield running


@pytest.fixture
def page(browser: Browser, service: RunningService) -> Iterator[Page]:
    """The page, loaded; a script that fails, or a part that is refused, fails the test."""
    context = browser.new_context(viewport={"width": 1100, "height": 900}, accept_downloads=True)
    opened = context.new_page()
    opened.set_default_timeout(60_000)
    broken: list[str] = []
    opened.on("pageerror", lambda error: broken.append(str(error)))
    opened.on(
        "console",
        lambda line: broken.append(line.text) if "Content Security Policy" in line.text else None,
    )
    opened.goto(service.address)
    opened.wait_for_selector("#catalogue-choice option", state="attached")
    yield opened
    context.close()
    assert broken == []
