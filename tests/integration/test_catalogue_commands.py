"""The commands for catalogues: to tables and back, and what differs."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from service.command_line import main
from tests.catalogue_files import EXAMPLES, replaced, workbook

SPRING, AUTUMN = EXAMPLES / "larkmoor-spring.json", EXAMPLES / "larkmoor-autumn.json"


def run(*arguments: str | Path) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "service", *map(str, arguments)],
        capture_output=True,
        check=False,
        timeout=120,
    )


@pytest.mark.parametrize("name", ["spring.xlsx", "spring.zip", "SPRING.XLSX"])
def test_a_catalogue_goes_to_tables_and_back(tmp_path: Path, name: str) -> None:
    tables, back = tmp_path / name, tmp_path / "back.json"
    assert main(["catalogue-table", str(SPRING), "--to", str(tables)]) == 0
    assert main(["catalogue-table", "--from", str(tables), "-o", str(back)]) == 0
    assert json.loads(back.read_bytes()) == json.loads(SPRING.read_bytes())


def test_one_list_goes_to_a_csv_file(tmp_path: Path) -> None:
    file = tmp_path / "breaks.csv"
    assert main(["catalogue-table", str(SPRING), "--to", str(file), "--list", "price breaks"]) == 0
    assert file.read_text(encoding="utf-8-sig").splitlines()[0] == "SKU,From quantity,Price"


def test_differences_as_json_and_as_text(tmp_path: Path) -> None:
    done = run("catalogue-difference", SPRING, AUTUMN)
    assert (done.returncode, done.stderr) == (0, b"")
    shown = (EXAMPLES / "larkmoor-autumn.difference.json").read_bytes()
    assert json.loads(done.stdout) == json.loads(shown)
    tables = tmp_path / "spring.xlsx"
    assert main(["catalogue-table", str(SPRING), "--to", str(tables)]) == 0
    text = run("catalogue-difference", tables, AUTUMN, "--text").stdout
    assert text == (EXAMPLES / "larkmoor-autumn.difference.txt").read_bytes()


def test_faults_are_printed_and_nothing_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tables, back = tmp_path / "hand-made.xlsx", tmp_path / "back.json"
    tables.write_bytes(workbook(replaced("Stock lengths", 1, 4, "n/a")))
    assert main(["catalogue-table", "--from", str(tables), "-o", str(back)]) == 3
    assert capsys.readouterr().err.startswith(
        "/sheets/Stock lengths/rows/2/E: Stock lengths, row 2, column E (Price): “n/a” is not an "
        "amount of money; "
    )
    assert not back.exists()
    broken = tmp_path / "broken.json"
    broken.write_text('{"supplier": "L", "currency": "USX", "kits": [{"sku": "K"}]}')
    assert main(["catalogue-table", str(broken), "--to", str(tmp_path / "b.zip")]) == 3
    assert capsys.readouterr().err.splitlines() == [
        "/kits/0/product: SKU K, product: is missing; send it.",
        "/kits/0/finish: SKU K, finish: is missing; send it.",
        "/kits/0/price: SKU K, price: is missing; send it.",
        "/currency: Currency 'USX' is not an ISO 4217 code; give three capital letters, such as "
        "USD.",
    ]
    assert not (tmp_path / "b.zip").exists()


@pytest.mark.parametrize(
    ("arguments", "complaint"),
    [
        (["--from", "prices.txt"], "prices.txt is neither .xlsx nor .zip; name the file so"),
        (["--to", "x.xlsx"], "--to needs the catalogue to write: CATALOGUE.json"),
        ([str(SPRING), "--to", "x.csv"], "x.csv is not a name to write to"),
        ([str(SPRING), "--to", "x.zip", "--list", "Kits"], "x.zip is not a name to write to"),
        ([str(SPRING), "--from", "x.zip"], "--from reads a whole catalogue from FILE"),
        ([str(SPRING), "--to", "x.zip", "-o", "y"], "--output is for --from"),
        ([str(SPRING)], "one of the arguments --to --from is required"),
    ],
)
def test_wrong_use_is_told(
    arguments: list[str], complaint: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["catalogue-table", *arguments])
    assert stopped.value.code == 2
    assert complaint in capsys.readouterr().err


def test_a_file_that_is_not_there_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["catalogue-table", "--from", "nowhere.xlsx"]) == 6
    assert "nowhere.xlsx" in capsys.readouterr().err
    assert main(["catalogue-difference", str(SPRING), "nowhere.json"]) == 6
    assert "nowhere.json" in capsys.readouterr().err
