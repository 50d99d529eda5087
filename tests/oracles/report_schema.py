"""Outside check of the JSON report: jsonschema (MIT) validates the reports of the three demonstrations and of every log
in the corpus against grammar/report.schema.json, and refuses a report with a field taken away.
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


def main():
    binary = sys.argv[1]
    schema = json.loads(pathlib.Path("grammar/report.schema.json").read_text())
    checker = jsonschema.validators.validator_for(schema)
    checker.check_schema(schema)
    validate = checker(schema).validate
    reports = [report(binary)]
    for log in sorted(pathlib.Path("corpus").rglob("*.log")):
        case = log.with_suffix("").with_suffix(".case.toml")
        reports.append(report(binary, str(log), *(["--case", str(case)] if case.exists() else [])))
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
    print(f"{len(reports)} reports valid, {refused} incomplete ones refused")


main()
