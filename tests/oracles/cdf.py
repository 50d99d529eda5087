"""Outside check of exports by Election Event Logging (NIST SP 1500-101, version 1): lxml and xmlschema judge the XML,
jsonschema (with rfc3339-validator) and ajv the JSON, by the two schemas of the standard, which are no part of this
repository: they are looked for in ../shared/standards, and it is said plainly where they are absent. Every log of the
corpus that is written must be valid, and files with one thing spoilt must be refused by all that can see it.
Usage: cdf.py PATH-TO-LOGASSAY FOLDER-OF-NODE-MODULES
"""
import copy
import hashlib
import json
import pathlib
import subprocess
import sys
import tempfile

import jsonschema
import lxml.etree
import xmlschema

STANDARDS = pathlib.Path("../shared/standards")
NAME = "NIST_V1_election_event_logging"
# SHA-256 of the files as published with the standard.
XSD = "12b94de15595175c27eacfe16852477fcf8e3881d3cb0be0050167634ac712ae"
JSON = "55563d1a0d78b8a343a13e17f7d93abbac0134bce798802ad4e49e71e36ceb67"
SPACE = "{http://itl.nist.gov/ns/voting/1500-101/v1}"


def schema(ending, digest):
    path = STANDARDS / f"{NAME}.{ending}"
    if not path.exists():
        print(f"{path} is absent: exports by NIST SP 1500-101 are NOT checked against its schemas here")
        sys.exit(0)
    assert hashlib.sha256(path.read_bytes()).hexdigest() == digest, path
    return path


def written(binary, log, to):
    case = log.with_suffix("").with_suffix(".case.toml")
    papers = ["--case", str(case)] if case.exists() else []
    return subprocess.run([binary, "convert", str(log), "--to", to, *papers], capture_output=True, text=True)


class Xml:
    def __init__(self, path):
        self.lxml = lxml.etree.XMLSchema(lxml.etree.parse(path))
        self.xmlschema = xmlschema.XMLSchema(path)

    def verdicts(self, text):
        tree = lxml.etree.fromstring(text.encode())
        return [self.lxml.validate(tree), self.xmlschema.is_valid(tree)]


class Json:
    def __init__(self, path, modules):
        formats = jsonschema.FormatChecker(["date", "date-time"])
        # Without rfc3339-validator a date-time would not be looked at.
        assert not formats.conforms("2031-05-10", "date-time")
        self.jsonschema = jsonschema.Draft4Validator(json.loads(path.read_text()), format_checker=formats)
        self.path, self.modules = path, modules

    def verdicts(self, texts):
        with tempfile.TemporaryDirectory() as folder:
            files = []
            for place, text in enumerate(texts):
                files.append(pathlib.Path(folder) / f"{place}.json")
                files[-1].write_text(text)
            command = ["node", "tests/oracles/cdf/validate.mjs", self.modules, str(self.path), *map(str, files)]
            said = subprocess.run(command, capture_output=True, text=True, check=True).stdout.split()
        assert len(said) == len(texts)
        return [
            [self.jsonschema.is_valid(json.loads(text)), ajv == "valid"] for text, ajv in zip(texts, said)
        ]


def spoilt_json(text):
    """Files with one thing spoilt: what, and the file."""

    def with_event(change):
        log = copy.deepcopy(whole)
        change(log["Device"][0]["Event"][0], log)
        return json.dumps(log)

    whole = json.loads(text)
    event = {
        "integer Sequence": lambda e, _: e.update(Sequence=7),
        "extra key": lambda e, _: e.update(Colour="red"),
        "no @type": lambda e, _: e.pop("@type"),
        "Disposition n/a": lambda e, _: e.update(Disposition="n/a"),
        "no zone": lambda e, _: e.update(TimeStamp="2031-05-10T07:00:00"),
        "29 February 2023": lambda e, _: e.update(TimeStamp="2023-02-29T07:00:00Z"),
        "no GeneratedTime": lambda _, log: log.pop("GeneratedTime"),
        "no Id of the Device": lambda _, log: log["Device"][0].pop("Id"),
    }
    return {what: with_event(change) for what, change in event.items()}


def spoilt_xml(text):
    def changed(change):
        tree = lxml.etree.fromstring(text.encode())
        change(tree, tree.find(f"{SPACE}Device/{SPACE}Event"))
        return lxml.etree.tostring(tree, encoding="unicode")

    def set_field(event, name, value):
        event.find(SPACE + name).text = value

    return {
        "wrong order": changed(lambda _, e: e.insert(0, e[-1])),
        "Disposition n/a": changed(lambda _, e: set_field(e, "Disposition", "n/a")),
        "29 February 2023": changed(lambda _, e: set_field(e, "TimeStamp", "2023-02-29T07:00:00Z")),
        "extra element": changed(lambda _, e: e.append(lxml.etree.Element(SPACE + "Colour"))),
        "no GeneratedTime": changed(lambda t, _: t.remove(t.find(SPACE + "GeneratedTime"))),
        "no namespace": text.replace(' xmlns="http://itl.nist.gov/ns/voting/1500-101/v1"', ""),
    }


def main():
    binary, modules = sys.argv[1:]
    xml = Xml(str(schema("xsd", XSD)))
    judge = Json(schema("json", JSON), modules)
    jsons, xmls, refused = [], [], 0
    logs = sorted(path for path in pathlib.Path("corpus").rglob("*.log") if path.parent.name != "malformed")
    logs += sorted(pathlib.Path("corpus/foreign").glob("*.cdf.*"))
    for log in logs:
        for to in ("cdf-json", "cdf-json-documentation", "cdf-xml", "cdf-xml-documentation"):
            done = written(binary, log, to)
            if done.returncode != 0:
                # A log that names a choice, or has no time, is not written, and the reason says so.
                assert "choice or identity" in done.stderr or "GeneratedTime" in done.stderr, (log, done.stderr)
                refused += 1
            elif "json" in to:
                jsons.append((log, to, done.stdout))
            else:
                xmls.append((log, to, done.stdout))
    for (log, to, _), verdict in zip(jsons, judge.verdicts([text for _, _, text in jsons])):
        assert verdict == [True, True], (log, to, verdict)
    for log, to, text in xmls:
        assert xml.verdicts(text) == [True, True], (log, to)
    life = pathlib.Path("corpus/demonstration/clean-life.log")
    worse = spoilt_json(written(binary, life, "cdf-json").stdout)
    for what, verdict in zip(worse, judge.verdicts(list(worse.values()))):
        assert verdict == [False, False], (what, verdict)
    worse_xml = spoilt_xml(written(binary, life, "cdf-xml").stdout)
    for what, text in worse_xml.items():
        assert xml.verdicts(text) == [False, False], what
    assert len(jsons) > 50 and len(xmls) > 50
    print(
        f"NIST SP 1500-101: {len(jsons)} JSON and {len(xmls)} XML files valid, each under two validators; "
        f"{len(worse)} and {len(worse_xml)} spoilt ones refused; {refused} not written"
    )


main()
