"""HEAD, OPTIONS, Allow, request identifiers, headers that protect, pages."""

import re

import httpx
import pytest

from service.routes.pages import PARTS

GETS = (
    "/",
    "/docs",
    "/docs/style.css",
    "/openapi.json",
    "/v1/rule-sets",
    "/v1/rule-sets/interlocking-strip",
    "/health/live",
    "/health/ready",
)
POSTS = ("/v1/bench-sheets", "/v1/takeoffs")


@pytest.mark.parametrize("path", GETS)
def test_head_answers_as_get_without_a_body(client: httpx.Client, path: str) -> None:
    got, headed = client.get(path), client.head(path)
    assert headed.status_code == got.status_code == 200
    assert headed.content == b""
    for name in ("content-type", "content-length"):
        assert headed.headers[name] == got.headers[name]


@pytest.mark.parametrize("path", POSTS)
def test_head_is_not_taken_where_get_is_not(client: httpx.Client, path: str) -> None:
    answer = client.head(path)
    assert answer.status_code == 405
    assert answer.headers["allow"] == "OPTIONS, POST"
    assert answer.content == b""


@pytest.mark.parametrize("path", GETS)
def test_options_lists_every_method_of_a_get(client: httpx.Client, path: str) -> None:
    answer = client.options(path)
    assert answer.status_code == 204
    assert answer.headers["allow"] == "GET, HEAD, OPTIONS"


@pytest.mark.parametrize("path", POSTS)
def test_options_lists_every_method_of_a_post(client: httpx.Client, path: str) -> None:
    answer = client.options(path)
    assert answer.status_code == 204
    assert answer.headers["allow"] == "OPTIONS, POST"


@pytest.mark.parametrize("path", ["/v1/plans", "/v1/catalogues", "/v1/webhooks"])
def test_options_lists_every_method_of_several(client: httpx.Client, path: str) -> None:
    assert client.options(path).headers["allow"] == "GET, HEAD, OPTIONS, POST"
    refused = client.put(path)
    assert (refused.status_code, refused.headers["allow"]) == (405, "GET, HEAD, OPTIONS, POST")


@pytest.mark.parametrize("method", ["PUT", "PATCH", "DELETE", "TRACE", "BREW"])
@pytest.mark.parametrize("path", ["/v1/plans", "/health/live"])
def test_another_method_is_a_problem_with_allow(
    client: httpx.Client, method: str, path: str
) -> None:
    answer = client.request(method, path)
    assert answer.status_code == 405
    assert answer.headers["content-type"] == "application/problem+json"
    assert answer.json()["code"] == "method-not-allowed"
    assert "OPTIONS" in answer.headers["allow"]


def test_a_sound_request_identifier_is_kept(client: httpx.Client) -> None:
    answer = client.get("/health/live", headers={"x-request-id": "ERP-2026.11_07"})
    assert answer.headers["x-request-id"] == "ERP-2026.11_07"


@pytest.mark.parametrize("stated", ["", "has blanks", "x" * 65, "<b>", "-first"])
def test_another_request_identifier_is_replaced(client: httpx.Client, stated: str) -> None:
    answer = client.get("/health/live", headers={"x-request-id": stated})
    given = answer.headers["x-request-id"]
    assert given != stated
    assert len(given) == 32


def test_every_answer_forbids_guessing_its_type(client: httpx.Client) -> None:
    for path in ("/docs", "/v1/rule-sets", "/nowhere"):
        assert client.get(path).headers["x-content-type-options"] == "nosniff"


def test_the_documentation_loads_nothing_from_elsewhere(client: httpx.Client) -> None:
    answer = client.get("/docs", headers={"accept": "text/html"})
    assert answer.headers["content-type"] == "text/html; charset=utf-8"
    assert "default-src 'none'; style-src 'self'" in answer.headers["content-security-policy"]
    page = answer.text
    assert "<script" not in page
    assert 'href="http' not in page
    assert "src=" not in page


def test_the_documentation_names_every_operation_object_and_problem(client: httpx.Client) -> None:
    page = client.get("/docs").text
    document = client.get("/openapi.json").json()
    for path, item in document["paths"].items():
        assert f"<code>{path}</code>" in page
        for operation in item.values():
            assert f'id="{operation["operationId"]}"' in page
    for name in document["components"]["schemas"]:
        assert f'id="object-{name}"' in page
    assert 'id="no-plan-in-time"' in page


def test_every_link_of_the_documentation_leads_somewhere(client: httpx.Client) -> None:
    page = client.get("/docs").text
    targets = {part.partition('"')[0] for part in page.split('href="#')[1:]}
    anchors = {part.partition('"')[0] for part in page.split('id="')[1:]}
    assert targets - anchors == set()


def test_the_root_points_to_everything_in_json(client: httpx.Client) -> None:
    pointers = client.get("/").json()
    assert pointers["documentation"] == "/docs"
    paths = client.get("/openapi.json").json()["paths"]
    assert {path for path in pointers.values() if path.startswith("/v1/")} <= paths.keys()


def test_the_root_is_a_page_to_a_browser_and_every_part_that_it_loads_is_served(
    client: httpx.Client,
) -> None:
    answer = client.get("/", headers={"accept": "text/html,application/xhtml+xml,*/*;q=0.8"})
    assert answer.headers["content-type"] == "text/html; charset=utf-8"
    assert "script-src 'self'" in answer.headers["content-security-policy"]
    waiting = re.findall(r'(?:src|href)="(/page/[^"]+)"', answer.text)
    served = {}
    while waiting:
        path = waiting.pop()
        part = client.get(path)
        assert part.status_code == 200, path
        served[path] = part
        # Modules import one another; the example is asked for.
        named = re.findall(r'"\./([a-z]+\.js)"|"/page/([a-z]+\.csv)"', part.text)
        found = [f"/page/{script or example}" for script, example in named]
        waiting += [path for path in found if path not in served and path not in waiting]
    assert served.keys() == {f"/page/{name}" for name in PARTS}
    for path, part in served.items():
        assert "http://" not in part.text and "https://" not in part.text, path
    assert client.get("/page/other.js").json()["code"] == "not-found"


def test_readiness_counts_the_solvers(client: httpx.Client) -> None:
    assert client.get("/health/ready").json() == {
        "status": "ready",
        "store": "ok",
        "migrations": "ok",
        "solver": "ok",
        "solvers": 1,
        "at_work": 0,
        "waiting": 0,
    }
