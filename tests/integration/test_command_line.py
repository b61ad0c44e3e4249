"""The command: files in, documents out, exit codes, faults on the standard error stream."""

import json
import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from service.command_line import main
from service.examples import examples_folder
from tests.harbour_row import Wire, ten_doors


def write_order(folder: Path, order: Wire) -> Path:
    path = folder / "order.json"
    path.write_text(json.dumps(order), encoding="utf-8")
    return path


def run(*arguments: str | Path, stdin: bytes = b"") -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "service", *map(str, arguments)],
        input=stdin,
        capture_output=True,
        check=False,
        timeout=120,
    )


def test_a_plan_is_written_as_text_by_default(tmp_path: Path) -> None:
    done = run("plan", write_order(tmp_path, ten_doors()))
    assert done.returncode == 0
    assert done.stdout.startswith(b"Purchase plan Harbour Row hotel, first floor\n")
    assert b"Total USD 459.70" in done.stdout
    assert done.stderr == b""


def test_a_plan_in_json_is_all_that_stands_on_standard_output() -> None:
    done = run("plan", "-", "--json", stdin=json.dumps(ten_doors()).encode())
    assert done.returncode == 0
    # The solver prints a banner on standard output, which must not end up in the document.
    assert json.loads(done.stdout)["total"] == "459.70"


def test_a_takeoff_is_written(tmp_path: Path) -> None:
    order = ten_doors()
    del order["catalogues"]
    path = write_order(tmp_path, order)
    assert b"D-01" in run("takeoff", path, "--text").stdout
    assert json.loads(run("takeoff", path, "--json").stdout)["openings"][0]["runs"] == 5


def test_faults_are_printed_one_per_line_with_their_pointers(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    order = ten_doors(kerf="x")
    order["openings"][0]["quantity"] = 0
    assert main(["plan", str(write_order(tmp_path, order))]) == 3
    out, err = capsys.readouterr()
    assert out == ""
    assert [line.partition(": ")[0] for line in err.splitlines()] == [
        "/openings/0/quantity",
        "/policy/kerf",
    ]


def test_a_file_that_is_not_json_is_an_invalid_order(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "order.json"
    path.write_text("{", encoding="utf-8")
    assert main(["plan", str(path)]) == 3
    assert capsys.readouterr().err.startswith("the whole document: Line 1, column 2:")


def test_an_order_that_nothing_can_serve_has_an_exit_code_of_its_own(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    order = ten_doors(allow_kits=False, allow_cutting=False)
    assert main(["plan", str(write_order(tmp_path, order))]) == 4
    assert "policy.allow_kits" in capsys.readouterr().err


def test_a_file_that_is_missing_has_an_exit_code_of_its_own(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["plan", str(tmp_path / "none.json")]) == 6
    assert "none.json" in capsys.readouterr().err


def test_wrong_use_has_an_exit_code_of_its_own(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["plan"])
    assert stopped.value.code == 2
    assert "ORDER.json" in capsys.readouterr().err


def test_a_document_replaces_its_file_whole(tmp_path: Path) -> None:
    path, output = write_order(tmp_path, ten_doors()), tmp_path / "plan.txt"
    output.write_text("old", encoding="utf-8")
    output.chmod(0o640)
    assert main(["plan", str(path), "-o", str(output)]) == 0
    assert "Total USD 459.70" in output.read_text(encoding="utf-8")
    assert stat.S_IMODE(output.stat().st_mode) == 0o640
    assert {entry.name for entry in tmp_path.iterdir()} == {"order.json", "plan.txt"}


def test_a_failed_plan_leaves_the_file_untouched(tmp_path: Path) -> None:
    order = ten_doors(allow_kits=False, allow_cutting=False)
    output = tmp_path / "plan.txt"
    output.write_text("old", encoding="utf-8")
    assert main(["plan", str(write_order(tmp_path, order)), "-o", str(output)]) == 4
    assert output.read_text(encoding="utf-8") == "old"


def test_a_new_file_has_the_usual_permissions(tmp_path: Path) -> None:
    output = tmp_path / "plan.json"
    mask = os.umask(0o027)
    try:
        main(["plan", str(write_order(tmp_path, ten_doors())), "--json", "-o", str(output)])
    finally:
        os.umask(mask)
    assert stat.S_IMODE(output.stat().st_mode) == 0o640


def test_a_folder_that_is_missing_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    order = write_order(tmp_path, ten_doors())
    assert main(["plan", str(order), "-o", str(tmp_path / "none" / "plan.txt")]) == 6
    assert "none" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["ten-doors", "mixed-openings", "every-rule-set"])
def test_every_example_order_is_planned_and_proved(
    name: str, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    folder = examples_folder()
    assert folder is not None
    assert main(["plan", str(folder / f"{name}.json"), "--json"]) == 0
    assert json.loads(capfdbinary.readouterr().out)["certificate"]["proved"] is True
