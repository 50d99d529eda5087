"""Outside check of the grammar: the engine of the package abnf (MIT) judges lines by grammar/log.abnf (RFC 5234, RFC 7405)
and must agree with the reader, as `logassay walk --json` and `examine --json` tell it.

1. Every line of corpus/lines.txt: its stated shape, by the engine.
2. Seeded mutations of the lines that fit: shape by the engine; what the grammar cannot say by Python's own calendar
   (datetime), by comparing keys, by the numbers in escapes; both against the reader.
3. Whole files by the rule `stream`: all logs of the corpus and seeded heaps of lines.
A fault is against the grammar as the table in grammar/format.md says; of a line that is too long the reader says nothing more.
Usage: grammar.py PATH-TO-LOGASSAY
"""
import collections
import datetime
import json
import pathlib
import random
import re
import subprocess
import sys

from abnf import ParseError, Rule

MUTATIONS, HEAPS, SEED = 12_000, 400, 20310510
KINDS = ["blank", "comment", "heading", "header", "record", "closing"]
# A file holds at most 250 logs, and a line may be a heading itself.
LINES_AT_ONCE = 120
HEADING = b"unit-event-log 1\n"
GRAMMAR = pathlib.Path("grammar/log.abnf").read_text()
AGAINST = dict(re.findall(r"^\| `([a-z0-9-]+)` \| (line|log|value) \|", pathlib.Path("grammar/format.md").read_text(), re.M))


def engine(grammar):
    class Log(Rule):
        pass

    # The engine wants CRLF behind each line of a grammar.
    Log.load_grammar(grammar.replace("\n", "\r\n"))
    return Log


def tree(rules, rule, text):
    try:
        return rules(rule).parse_all(text)
    except ParseError:
        return None


def judge(rules, line):
    """The kind of line by the engine, and its tree; a line that is no text in UTF-8 (RFC 3629) is of none."""
    try:
        text = line.decode("utf-8") + "\n"
    except UnicodeDecodeError:
        return "none", None
    found = [(kind, node) for kind in KINDS if (node := tree(rules, kind + "-line", text))]
    assert len(found) <= 1, (line, found)
    return found[0] if found else ("none", None)


def below(node, name):
    if node.name == name:
        yield node
    for child in node.children:
        yield from below(child, name)


def faults_of_value(kind, node, line):
    """The faults of a line that fits, as the manual has them; `time` stands for those of date and clock."""
    ends = ["line-ends-mixed"] if line.endswith(b"\r") and kind != "heading" else []
    spaces = ["space-trailing"] if kind not in ("blank", "comment") and line.rstrip(b"\r").endswith(b" ") else []
    if kind != "record":
        return sorted(ends + spaces)
    for date in below(node, "date"):
        clock = next(below(node, "clock")).value
        year, month, day = map(int, date.value.split("-"))
        hour, minute, second = map(int, clock.split(".")[0].split(":"))
        try:
            datetime.datetime(year, month, day, hour, minute, second)
        except ValueError:
            return sorted(["time", *ends])
    for escape in below(node, "escape"):
        if escape.value.startswith("\\u{"):
            number = int(escape.value[3:-1], 16)
            if number > 0x10FFFF or 0xD800 <= number <= 0xDFFF:
                return sorted(["escape-no-character", *ends])
    keys = [next(below(attribute, "key")).value for attribute in below(node, "attribute")]
    repeated = ["attribute-repeated"] * (len(keys) - len(set(keys)))
    return sorted(repeated + ends + spaces)


def of_time(fault):
    return "time" if fault.endswith("-out-of-range") or fault == "day-not-in-month" else fault


def read(binary, lines):
    """Kind and faults of each line by the reader, each in a log of its own."""
    verdicts = []
    for at in range(0, len(lines), LINES_AT_ONCE):
        some = lines[at : at + LINES_AT_ONCE]
        stream = b"".join(HEADING + line + b"\n" for line in some)
        out = subprocess.run([binary, "walk", "--json", "-"], check=True, input=stream, capture_output=True).stdout
        rows = {row["line"]: row for log in json.loads(out)["logs"] for row in log["lines"]}
        assert len(rows) == 2 * len(some), (len(rows), len(some))
        verdicts += [(rows[2 * n + 2]["kind"], rows[2 * n + 2]["faults"]) for n in range(len(some))]
    return verdicts


def shape(kind, faults):
    """The shape that the reader found: None where it says none; of unread lines only records have faults of value."""
    if any(AGAINST[fault] == "line" for fault in faults):
        return "none"
    if kind == "unread":
        return None if "line-too-long" in faults else "record"
    return kind


def corpus():
    def piece(text):
        if text.startswith("U+"):
            return chr(int(text[2:], 16)).encode()
        return bytes([int(text[5:], 16)]) if text.startswith("byte ") else text.encode()

    def line(notation):
        parts = re.split(r"<(?:(\d+) x )?([^>]*)>", notation)
        out = parts[0].encode()
        for times, inside, behind in zip(parts[1::3], parts[2::3], parts[3::3]):
            out += piece(inside) * int(times or 1) + behind.encode()
        return out

    entries = []
    for entry in pathlib.Path("corpus/lines.txt").read_text().splitlines():
        if entry and not entry.startswith("#"):
            kind, faults, rest = re.fullmatch(r"(\w+) \| ([\w,-]+) \|(?: (.*))?", entry).groups(default="")
            entries.append((kind, [] if faults == "ok" else faults.split(","), line(rest)))
    return entries


def mutations(entries, choose):
    seeds = {kind: [line.decode() for shape, _, line in entries if shape == kind and len(line) < 500] for kind in KINDS}
    numbers = {int(n, 16) + d for pair in re.findall(r"%x([0-9A-F]+)(?:-([0-9A-F]+))?", GRAMMAR) for n in pair if n for d in (-1, 0, 1)}
    odd = [chr(n) for n in sorted(numbers) if n != 10 and not 0xD800 <= n <= 0xDFFF and n <= 0x10FFFF] + ["\0", "\t", "\r"]
    plain = [chr(n) for n in range(0x20, 0x7F)]
    frequent = list(" =:\"\\-.;{}0129aefzAFZ")
    mutated = set()
    while len(mutated) < MUTATIONS:
        text = list(choose.choice(seeds[choose.choice(KINDS + ["record"] * 6 + ["closing", "header"])]))
        for _ in range(choose.choice((1, 1, 1, 2, 3))):
            at = choose.randrange(len(text) + 1)
            letter = choose.choice(choose.choice((odd, plain, frequent)))
            match choose.randrange(4):
                case 0:
                    text.insert(at, letter)
                case 1:
                    del text[at : at + 1]
                case 2:
                    text[at : at + 1] = [letter]
                case _:
                    text[at : at + 2] = reversed(text[at : at + 2])
        mutated.add("".join(text).encode())
    return sorted(mutated)


def heaps(choose):
    pieces = [HEADING] * 6 + [b"serial: CU-20417\n", b"role: control\n", b"; a note\n", b"\n", b"1 - enable\n", b"2 - vote\n"] * 3
    pieces += [b"end 2\n", b"end 0\n"] * 2 + [b"Vote\n", b"Role: x\n", b"3 2031-13-10 07:00:12 vote\n", b"1 - vote\r\n", b"end 1"]
    for _ in range(HEAPS):
        begin = [HEADING] if choose.random() < 0.8 else []
        yield b"".join(begin + choose.choices(pieces, k=choose.randrange(7)))


def file_fits(binary, data):
    """Whether a file fits `stream`, by the reader; None where a line is too long to be looked at."""
    done = subprocess.run([binary, "examine", "--json", "-"], input=data, capture_output=True)
    assert done.returncode in (0, 1), done.stderr
    examinations = json.loads(done.stdout)["examinations"]
    faults = [fault["code"] for one in examinations for fault in one["faults"]]
    assert len(faults) == sum(one["faults_in_all"] for one in examinations)
    fits = all(AGAINST[fault] == "value" for fault in faults)
    return None if fits and "line-too-long" in faults else fits


def main():
    binary = sys.argv[1]
    rules, choose, entries = engine(GRAMMAR), random.Random(SEED), corpus()
    differ = []

    stated = collections.Counter()
    for kind, faults, line in entries:
        found, node = judge(rules, line)
        stated[found] += 1
        if found != kind:
            differ.append(("corpus", line, kind, found))
        if node and "line-too-long" not in faults and faults_of_value(kind, node, line) != sorted(map(of_time, faults)):
            differ.append(("corpus", line, faults, faults_of_value(kind, node, line)))
    for (kind, faults, line), (read_kind, read_faults) in zip(entries, read(binary, [line for *_, line in entries])):
        if read_faults != faults or shape(read_kind, read_faults) not in (kind, None):
            differ.append(("reader", line, kind, faults, read_kind, read_faults))

    mutated = mutations(entries, choose)
    fitting = odd = 0
    for line, (kind, faults) in zip(mutated, read(binary, mutated)):
        found, node = judge(rules, line)
        fitting += found != "none"
        if shape(kind, faults) != found:
            differ.append(("mutation", line, found, kind, faults))
        elif node:
            expected = faults_of_value(found, node, line)
            odd += bool(expected)
            if expected != sorted(map(of_time, faults)):
                differ.append(("value", line, expected, faults))

    files = [path.read_bytes() for path in sorted(pathlib.Path("corpus").rglob("*.log"))]
    streams = collections.Counter()
    for data in [*files, *heaps(choose)]:
        try:
            fits = tree(rules, "stream", data.decode("utf-8")) is not None
        except UnicodeDecodeError:
            fits = False
        verdict = file_fits(binary, data)
        streams[fits if verdict is not None else None] += 1
        if verdict not in (fits, None):
            differ.append(("stream", data, fits))

    # A grammar with one bound moved must be told from the right one, or nothing was compared.
    moved = engine(GRAMMAR.replace("*39( lower", "*38( lower"))
    noticed = sum(judge(moved, line)[0] != kind for kind, _, line in entries if len(line) < 500)

    for one in differ[:20]:
        print("differs:", *one)
    assert MUTATIONS // 10 < fitting < MUTATIONS * 9 // 10 and odd > 100, (fitting, odd)
    assert streams[True] > 50 and streams[False] > 50 and noticed > 0, (streams, noticed)
    print(
        f"abnf for Python: {len(entries)} lines ({len(entries) - stated['none']} fit), {len(mutated)} mutations ({fitting} fit, {odd} of them"
        f" with a fault of value), {len(files)} logs and {HEAPS} heaps of lines ({streams[True]} fit, {streams[None]} not judged), {len(differ)} differ"
    )
    sys.exit(1 if differ else 0)


main()
