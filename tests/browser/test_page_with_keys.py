"""The page where keys are needed."""

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from playwright.sync_api import Browser, expect

from tests.serving import running_service
from tests.store.serving import make_keys, settings_for


def key_of(store_url: str) -> str:
    # In a thread: the one of the test has the browser's event loop.
    with ThreadPoolExecutor(1) as aside:
        (made,) = aside.submit(make_keys, store_url, {"tenant": "harbour-row"}).result()
    return made.key


def test_a_reader_is_asked_for_a_key_once(browser: Browser, tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path}/kept.sqlite"
    key = key_of(url)
    with running_service(settings_for(url)) as service:
        page = browser.new_context().new_page()
        page.set_default_timeout(60_000)
        page.goto(service.address)
        page.wait_for_selector("#key-dialog[open]")
        page.fill("#key-value", key)
        page.click("text=Use it")
        page.click("text=Put in rows of Harbour Row")
        expect(page.locator("#schedule-rows")).not_to_have_value("")
        page.click("text=Read the schedule")
        page.wait_for_selector("#plan-button:enabled")
        page.click("#plan-button")
        page.wait_for_selector("#plan-total")
        assert not page.is_visible("#key-dialog")


def test_a_reader_without_a_key_is_told_what_is_missing(browser: Browser, tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path}/kept.sqlite"
    key_of(url)
    with running_service(settings_for(url)) as service:
        page = browser.new_context().new_page()
        page.set_default_timeout(60_000)
        page.goto(service.address)
        page.click("text=Leave it")
        page.wait_for_selector("#catalogue-outcome .refused")
        assert "API key" in page.inner_text("#catalogue-outcome")
