"""The files that containers are made and run by: sound, locked down, and of settings that exist."""

import json
import re
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest
import yaml

from service.settings import FILE_ENDING, PREFIX, Settings, read_settings
from service.store.store import read_store_url

ROOT = Path(__file__).parents[2]
DEPLOY = ROOT / "deploy"
COMPOSE: dict[str, Any] = {
    name: yaml.safe_load((DEPLOY / name).read_text(encoding="utf-8"))
    for name in ("compose.yaml", "compose.single.yaml")
}
SERVICES = [
    pytest.param(service, id=f"{name}:{key}")
    for name, parsed in COMPOSE.items()
    for key, service in parsed["services"].items()
]
VARIABLES = {PREFIX + field.name.upper() for field in fields(Settings)}
CONTAINERFILE = (DEPLOY / "Containerfile").read_text(encoding="utf-8")


def seconds(text: str) -> int:
    match = re.fullmatch(r"(\d+)s", text)
    assert match is not None, text
    return int(match[1])


@pytest.mark.parametrize("service", SERVICES)
def test_a_container_can_change_nothing_but_what_it_keeps(service: dict[str, Any]) -> None:
    user, _, group = service["user"].partition(":")
    assert int(user) > 0
    assert int(group) > 0
    assert service["read_only"] is True
    assert service["cap_drop"] == ["ALL"]
    assert service["security_opt"] == ["no-new-privileges:true"]
    assert service["healthcheck"]["test"][0] == "CMD"
    for port in service.get("ports", ()):
        assert port.startswith("127.0.0.1:"), "what is open to the outside is for who runs it"


@pytest.mark.parametrize("service", SERVICES)
def test_a_container_has_the_time_to_end_what_it_does(service: dict[str, Any]) -> None:
    stated = service.get("environment", {})
    shutdown = int(stated.get("WEATHERSTRIP_SHUTDOWN_SECONDS", "0"))
    assert seconds(service["stop_grace_period"]) > 3 * shutdown


@pytest.mark.parametrize("service", SERVICES)
def test_every_variable_is_a_setting_and_has_a_value_that_is_taken(service: dict[str, Any]) -> None:
    stated = {
        name: value
        for name, value in service.get("environment", {}).items()
        if name.startswith(PREFIX)
    }
    assert {name.removesuffix(FILE_ENDING) for name in stated} <= VARIABLES
    values = {name: value for name, value in stated.items() if not name.endswith(FILE_ENDING)}
    if f"{PREFIX}STORE{FILE_ENDING}" in stated:
        values[f"{PREFIX}STORE"] = "postgresql://weatherstrip@store/weatherstrip"
    read_settings(values)
    secrets = {f"/run/secrets/{name}" for name in service.get("secrets", ())}
    files = {v for name, v in service.get("environment", {}).items() if name.endswith(FILE_ENDING)}
    assert files <= secrets


def test_there_are_two_of_the_api_and_three_workers() -> None:
    services = COMPOSE["compose.yaml"]["services"]
    assert services["api"]["deploy"]["replicas"] == 2
    assert services["worker"]["deploy"]["replicas"] == 3
    assert services["worker"]["command"] == ["python", "-m", "service", "work"]
    assert services["store"]["image"] == "postgres:16"
    stops = [seconds(services[name]["stop_grace_period"]) for name in ("proxy", "api")]
    assert stops[0] > stops[1]


def test_no_secret_is_part_of_the_project() -> None:
    assert "deploy/secrets/" in (ROOT / ".gitignore").read_text(encoding="utf-8").splitlines()
    for secret in COMPOSE["compose.yaml"]["secrets"].values():
        assert secret["file"].startswith("./secrets/")


def test_the_image_is_of_locked_libraries_for_a_user_without_rights() -> None:
    assert "--require-hashes" in CONTAINERFILE
    assert re.findall(r"^USER (.*)$", CONTAINERFILE, re.M) == ["10001"]
    assert "/health/ready" in CONTAINERFILE.partition("HEALTHCHECK")[2]
    for source in re.findall(r"^COPY (?!--from)(\S+) ", CONTAINERFILE, re.M):
        assert (ROOT / source).exists()
        kept = (ROOT / ".dockerignore").read_text(encoding="utf-8").splitlines()
        assert f"!{source}" in kept
    stated = dict(re.findall(rf"({PREFIX}\w+)=(\S+)", CONTAINERFILE))
    assert set(stated) <= VARIABLES
    assert read_store_url(stated["WEATHERSTRIP_STORE"]).database == stated["WEATHERSTRIP_STORE"]
    for command in re.findall(r"^\s*CMD (\[.*\])$", CONTAINERFILE, re.M):
        assert json.loads(command)[0] == "python"


def test_the_locked_libraries_of_the_image_are_those_of_the_service_and_every_extra() -> None:
    def locked(name: str) -> dict[str, str]:
        text = (DEPLOY / name).read_text(encoding="utf-8")
        return dict(re.findall(r"^([a-z0-9-]+(?:\[[\w,]+\])?)==(\S+)", text, re.M))

    container = locked("requirements-container.txt")
    assert locked("requirements.txt").items() <= container.items()
    for library in ("psycopg", "prometheus-client", "opentelemetry-sdk"):
        assert any(name.partition("[")[0] == library for name in container)


def test_the_proxy_waits_as_long_as_the_service_works_and_takes_as_much() -> None:
    config = (DEPLOY / "nginx.conf").read_text(encoding="utf-8")
    usual = Settings()
    timeout = re.search(r"proxy_read_timeout (\d+)s;", config)
    keep_alive = re.search(r"keepalive_timeout (\d+)s;", config)
    assert timeout is not None
    assert keep_alive is not None
    longest = usual.longest_time_limit_seconds + usual.queue_seconds + usual.grace_seconds
    assert int(timeout[1]) > longest
    assert int(keep_alive[1]) < usual.keep_alive_seconds
    assert f"client_max_body_size {usual.max_body_bytes // 1024 // 1024}m;" in config
    events = config.partition("/events$")[2].partition("}")[0]
    assert "proxy_buffering off;" in events
    assert config.count("{") == config.count("}")
