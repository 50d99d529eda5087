"""Outside check of the CSV forms: Python's own csv module (strict) reads them back and must find the statements of the
JSON form, row by row; no cell begins with a sign that a spreadsheet takes for a formula, and every line end is CRLF.
Usage: tables.py PATH-TO-LOGASSAY
"""
import csv
import io
import json
import pathlib
import subprocess
import sys

SIGNS = tuple("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20")


def written(binary, form, arguments):
    command = [binary, "examine", "--form", form, *arguments]
    done = subprocess.run(command, capture_output=True)
    assert done.returncode in (0, 1), (arguments, done.returncode, done.stderr)
    return done.stdout.decode()


def table(binary, form, arguments):
    text = written(binary, form, arguments)
    rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert len({len(row) for row in rows}) == 1, (form, arguments)
    assert text.endswith("\r\n") and text.count("\r\n") == text.count("\n") == text.count("\r"), (form, arguments)
    for row in rows:
        for cell in row:
            assert not cell.startswith(SIGNS), (form, arguments, cell)
    return [dict(zip(rows[0], row)) for row in rows[1:] if not row[0].startswith("Demonstration: ")]


def bare(cell):
    """A cell without the apostrophe that keeps it from being a formula."""
    return cell[1:] if cell[:1] == "'" and cell[1:].startswith(SIGNS) else cell


def main():
    binary = sys.argv[1]
    cells = rows = 0
    logs = [[]]
    for log in sorted(pathlib.Path("corpus").rglob("*.log")):
        case = log.with_suffix("").with_suffix(".case.toml")
        logs.append([str(log), *(["--case", str(case)] if case.exists() else [])])
    for arguments in logs:
        report = json.loads(written(binary, "json", arguments))
        walk = json.loads(subprocess.run([binary, "walk", "--json", *arguments], capture_output=True).stdout)
        told = [
            ("csv-findings", "findings", {"rule": "rule", "record shows": "shows", "weight": "weight"}),
            ("csv-answers", "answers", {"rule": "rule", "answer": "answer", "extent": "extent"}),
        ]
        for form, part, columns in told:
            expected = [entry for one in report["examinations"] for entry in one[part]]
            found = table(binary, form, arguments)
            assert len(found) == len(expected), (form, arguments)
            for row, entry in zip(found, expected):
                for column, key in columns.items():
                    assert bare(row[column]) == entry[key], (form, arguments, column)
                    cells += 1
            rows += len(found)
        lines = [line for log in walk["logs"] for line in log["lines"]]
        found = table(binary, "csv-timeline", arguments)
        assert len(found) == len(lines), arguments
        for row, line in zip(found, lines):
            assert bare(row["text"]) == line["text"] and row["line"] == str(line["line"]), arguments
            cells += 2
        rows += len(found)
    print(f"CSV: {rows} rows of {len(logs)} examinations read back, {cells} cells as the JSON form has them")


main()
