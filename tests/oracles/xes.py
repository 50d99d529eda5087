"""Outside check of XES exports: opyenxes (GPL-3.0, a tool of the tests only) reads each back, and finds the traces, events, order, times and attributes that
the JSON Lines of the same log have. Usage: xes.py PATH-TO-LOGASSAY
"""
import datetime
import json
import pathlib
import subprocess
import sys
import tempfile

from opyenxes.data_in.XUniversalParser import XUniversalParser


def written(binary, log, to):
    return subprocess.run([binary, "convert", str(log), "--to", to], capture_output=True, text=True)


def time(row):
    zone = row.get("zone", "-00:00").replace("Z", "+00:00")
    return datetime.datetime.fromisoformat(row["time"] + zone.replace("-00:00", "+00:00"))


def events(binary, log):
    done = written(binary, log, "xes")
    if done.returncode != 0:
        assert "choice or identity" in done.stderr, (log, done.stderr)
        return None
    with tempfile.NamedTemporaryFile("w", suffix=".xes") as file:
        file.write(done.stdout)
        file.flush()
        with open(file.name) as again:
            parsed = XUniversalParser().parse(again)
    found = []
    for trace in parsed[0]:
        name = trace.get_attributes()["concept:name"].get_value()
        for event in trace:
            found.append((name, {key: value.get_value() for key, value in event.get_attributes().items()}))
    return found


def expected(binary, log):
    rows = [json.loads(line) for line in written(binary, log, "jsonl").stdout.splitlines()]
    for row in rows:
        if row["kind"] != "record":
            continue
        event = {"concept:name": row["event"], "lifecycle:transition": "complete", "line-number": row["line"]}
        if "time" in row:
            event["time:timestamp"] = time(row)
        if "number" in row:
            event["record-number"] = row["number"]
        for key, value in row["attributes"].items():
            event[f"attribute.{key}"] = value if isinstance(value, str) else "; ".join(value)
        yield row["log"], event


def main():
    binary = sys.argv[1]
    logs = events_in_all = 0
    for log in sorted(path for path in pathlib.Path("corpus").rglob("*.log") if path.parent.name != "malformed"):
        found = events(binary, log)
        if found is None:
            continue
        assert found == list(expected(binary, log)), log
        logs += 1
        events_in_all += len(found)
    assert logs > 50
    print(f"XES: {events_in_all} events of {logs} files read back by opyenxes in order")


main()
