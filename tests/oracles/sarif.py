"""Outside check of the SARIF form: jsonschema (MIT) and ajv (MIT) judge it by the schema of OASIS that the npm package
@microsoft/jest-sarif 1.0.0-beta.0 (MIT) carries. Five checks that this schema misses stand below, each with its section of
SARIF 2.1.0. All six kinds of result must occur, and files with one thing spoilt must be refused.
Usage: sarif.py PATH-TO-LOGASSAY FOLDER-OF-NODE-MODULES
"""
import hashlib
import json
import pathlib
import subprocess
import sys
import tempfile

import jsonschema

SCHEMA = "node_modules/@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json"
DIGEST = "2d99159ae54a3eea97f81781cff48780548657c35949f4b7f25e99a2ba4de4f8"
KINDS = {"fail", "review", "open", "pass", "notApplicable", "informational"}


def written(binary, *arguments):
    done = subprocess.run([binary, "examine", "--form", "sarif", *arguments], capture_output=True, text=True)
    assert done.returncode in (0, 1), (arguments, done.returncode, done.stderr)
    return done.stdout


def regions(result):
    for location in result.get("locations", []) + result.get("relatedLocations", []):
        if "region" in location["physicalLocation"]:
            yield location["physicalLocation"]["region"]


def missed_by_the_schema(log):
    """What is wrong with a log though the schema takes it."""
    for run in log["runs"]:
        rules = run["tool"]["driver"]["rules"]
        if len({"baselineState" in result for result in run["results"]}) > 1:
            yield "3.27.24: all results have a baselineState or none"
        for artifact in run["artifacts"]:
            # A log with something covered is named without length and digest.
            if "hashes" not in artifact and "length" not in artifact and "analysisTarget" in artifact["roles"]:
                continue
            if "sha-256" not in artifact["hashes"] or "sha256" in artifact["hashes"]:
                yield "3.24.11: a hash has its registered name"
            if artifact["location"]["uri"].startswith(("/", "file:")):
                yield "an address is relative"
        for result in run["results"]:
            if result["level"] != "none" and result["kind"] != "fail":
                yield "3.27.10: a level stands on fail only"
            if rules[result["ruleIndex"]]["id"] != result["ruleId"]:
                yield "3.27.6: the index is that of the rule"
            for region in regions(result):
                if region.get("endLine", region.get("startLine", 0)) < region.get("startLine", 0):
                    yield "3.30.7: a region does not end before it begins"
                if "startLine" not in region:
                    yield "3.30.1: a region has its place"


def spoilt(text):
    def one(change):
        log = json.loads(text)
        change(log["runs"][0])
        return json.dumps(log)

    def first(run, kind):
        return next(result for result in run["results"] if result["kind"] == kind)

    by_schema = {
        "no message": one(lambda run: first(run, "fail").pop("message")),
        "no such kind": one(lambda run: first(run, "fail").update(kind="violated")),
        "no name of the tool": one(lambda run: run["tool"]["driver"].pop("name")),
        "line 0": one(lambda run: next(regions(first(run, "fail"))).update(startLine=0)),
        "a number as text": one(lambda run: first(run, "fail").update(ruleIndex="1")),
    }
    by_us = {
        "a level on open": one(lambda run: first(run, "open").update(level="error")),
        "the index of another rule": one(lambda run: first(run, "fail").update(ruleIndex=0)),
        "a baseline on one result": one(lambda run: first(run, "fail").update(baselineState="new")),
        "sha256": one(lambda run: run["artifacts"][0].update(hashes={"sha256": "00"})),
        "ends before it begins": one(lambda run: next(regions(first(run, "fail"))).update(endLine=1)),
        "no place": one(lambda run: next(regions(first(run, "fail"))).pop("startLine")),
        "an absolute address": one(lambda run: run["artifacts"][0]["location"].update(uri="/tmp/x.log")),
    }
    return by_schema, by_us


def ajv(modules, schema, texts):
    with tempfile.TemporaryDirectory() as folder:
        files = []
        for place, text in enumerate(texts):
            files.append(pathlib.Path(folder) / f"{place}.json")
            files[-1].write_text(text)
        command = ["node", "tests/oracles/cdf/validate.mjs", modules, str(schema), *map(str, files)]
        said = subprocess.run(command, capture_output=True, text=True, check=True).stdout.split()
    assert len(said) == len(texts)
    return [word == "valid" for word in said]


def main():
    binary, modules = sys.argv[1:]
    schema = pathlib.Path(modules) / SCHEMA
    assert hashlib.sha256(schema.read_bytes()).hexdigest() == DIGEST
    judge = jsonschema.Draft4Validator(json.loads(schema.read_text()))
    texts = [written(binary)]
    assert texts[0] == written(binary)
    for log in sorted(pathlib.Path("corpus").rglob("*.log")):
        case = log.with_suffix("").with_suffix(".case.toml")
        texts.append(written(binary, str(log), *(["--case", str(case)] if case.exists() else [])))
    kinds = set()
    for text, valid in zip(texts, ajv(modules, schema, texts)):
        log = json.loads(text)
        assert valid and judge.is_valid(log), next(judge.iter_errors(log), "ajv refuses")
        assert not list(missed_by_the_schema(log)), list(missed_by_the_schema(log))
        kinds |= {result["kind"] for run in log["runs"] for result in run["results"]}
    assert kinds == KINDS, kinds
    by_schema, by_us = spoilt(texts[0])
    for what, valid in zip(by_schema, ajv(modules, schema, list(by_schema.values()))):
        assert not valid and not judge.is_valid(json.loads(by_schema[what])), what
    for what, text in by_us.items():
        assert len(list(missed_by_the_schema(json.loads(text)))) == 1, what
    print(
        f"SARIF 2.1.0: {len(texts)} reports valid under two validators, all six kinds among them; "
        f"{len(by_schema)} spoilt ones refused by the schema, {len(by_us)} by the checks that it misses"
    )


main()
