"""Outside check of the JSON: jsonschema (MIT) validates the reports of the three demonstrations and of every log in the
corpus against grammar/report.schema.json, the comparison of every log of the corpus without and with its case file against
grammar/comparison.schema.json, and refuses either with a field taken away.
Usage: report_schema.py PATH-TO-LOGASSAY
"""
import copy
import json
import pathlib
import subprocess
import sys

import jsonschema


def report(binary, *arguments):
    done = subprocess.run([binary, "examine", "--json", *arguments], capture_output=True, text=True)
    assert done.returncode in (0, 1), (arguments, done.returncode, done.stderr)
    return json.loads(done.stdout)


def comparison(binary, log, case):
    done = subprocess.run([binary, "compare", log, "--case-after", case, "--json"], capture_output=True, text=True)
    assert done.returncode == 0, (log, case, done.returncode, done.stderr)
    return json.loads(done.stdout)


def check(name, reports):
    schema = json.loads(pathlib.Path("grammar", name).read_text())
    checker = jsonschema.validators.validator_for(schema)
    checker.check_schema(schema)
    validate = checker(schema).validate
    for one in reports:
        validate(one)
    refused = 0
    for key in schema["required"]:
        lesser = copy.deepcopy(reports[0])
        del lesser[key]
        try:
            validate(lesser)
        except jsonschema.ValidationError:
            refused += 1
    assert refused == len(schema["required"]) > 0
    print(f"{name}: {len(reports)} valid, {refused} incomplete ones refused")


def main():
    binary = sys.argv[1]
    reports, comparisons = [report(binary)], []
    for log in sorted(pathlib.Path("corpus").rglob("*.log")):
        case = log.with_suffix("").with_suffix(".case.toml")
        reports.append(report(binary, str(log), *(["--case", str(case)] if case.exists() else [])))
        if case.exists():
            comparisons.append(comparison(binary, str(log), str(case)))
    check("report.schema.json", reports)
    check("comparison.schema.json", comparisons)


main()
