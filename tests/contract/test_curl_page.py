"""Every snippet of openapi/curl.md, run in one shell against a served instance."""

import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.serving import running_service
from tests.store.serving import make_keys, settings_for

FOLDER = Path(__file__).parents[2] / "openapi"
SNIPPET = re.compile(r"^```sh\n(.*?)^```\n```text\n(.*?)^```\n", re.MULTILINE | re.DOTALL)
MISSING = [tool for tool in ("bash", "curl") if shutil.which(tool) is None]


def matches(shown: str, printed: str) -> bool:
    """Return whether a snippet printed what the page shows, with … for what is left out."""
    parts = [re.escape(part) for part in shown.strip().split("…")]
    return re.fullmatch(".*?".join(parts), printed.strip(), re.DOTALL) is not None


def test_what_is_left_out_is_all_that_may_differ() -> None:
    assert matches("HTTP/1.1 200 OK\n…\nTotal 4\n", "HTTP/1.1 200 OK\nserver: x\n\nTotal 4\n")
    assert not matches("HTTP/1.1 200 OK\n…\nTotal 4\n", "HTTP/1.1 200 OK\nserver: x\n\nTotal 41\n")
    assert not matches("200\n", "2000\n")


@pytest.mark.skipif(bool(MISSING), reason=f"the page needs {' and '.join(MISSING)}, not found here")
def test_every_snippet_of_the_page_prints_what_the_page_says(tmp_path: Path) -> None:
    page = (FOLDER / "curl.md").read_text(encoding="utf-8")
    snippets = SNIPPET.findall(page)
    assert len(snippets) == page.count("```sh\n") == page.count("```text\n") > 0
    for number, (commands, _) in enumerate(snippets):
        (tmp_path / f"{number}.sh").write_text(commands, encoding="utf-8")
    (tmp_path / "openapi").symlink_to(FOLDER)
    # One shell for all, which stops at the first command that fails.
    script = ["set -euo pipefail"]
    script += [f"{{ . ./{number}.sh; }} > {number}.txt" for number in range(len(snippets))]
    url = f"sqlite:///{tmp_path}/kept.sqlite"
    (key,) = make_keys(url, {"tenant": "harbour-row"})
    with running_service(settings_for(url, webhooks_to_private_addresses=True)) as service:
        done = subprocess.run(
            ["bash", "-c", "\n".join(script)],
            cwd=tmp_path,
            env={
                **os.environ,
                "BASE": service.address,
                "KEY": key.key,
                "HOOK": "http://127.0.0.1:9999/hook",
                "no_proxy": "127.0.0.1",
            },
            capture_output=True,
            text=True,
            timeout=120,
            check=False,
        )
    for number, (commands, shown) in enumerate(snippets):
        printed = tmp_path / f"{number}.txt"
        assert printed.exists(), f"stopped before:\n{commands}\n{done.stderr}"
        text = printed.read_text(encoding="utf-8").replace("\r\n", "\n")
        assert matches(shown, text), f"{commands}\nshown:\n{shown}\nprinted:\n{text}\n{done.stderr}"
    assert (done.returncode, done.stderr) == (0, "")
