"""The ledger's numbers against scipy's `milp` (HiGHS): least and greatest value of each number, over random case files.

Source of the oracle: Virtanen et al., SciPy 1.0, Nature Methods 17 (2020); Huangfu and Hall, HiGHS, Math. Prog. Comp. 10
(2018) (bibliographic details from memory). Usage: ledger.py BINARY
"""

import json
import random
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from scipy.optimize import LinearConstraint, milp

KINDS = ["declared", "register", "refused", "left-after-enable", "unsigned", "test-votes", "slips", "total-at-close",
         "result-at-count", "tendered"]
FAR = 10**6


def log(chance, votes):
    first = chance.choice([1, 501])
    lines, number = ["unit-event-log 1"], first
    events = ["power-on"] + ["enable", "vote"] * votes
    shown = votes + chance.choice([0, 0, 0, chance.randint(1, 9)]) * (first > 1)
    events += [f"close total={shown}" if chance.random() < 0.6 else "close", "power-off"]
    for event in events:
        lines.append(f"{number} - {event}")
        number += 1
    if chance.random() < 0.3:
        lines[chance.randint(2, len(lines) - 2)] = "?????"
    return "\n".join(lines) + "\n", first, number - 1


def papers(chance, votes, first, last):
    said = 'source = "paper"\nby = "officer"\n'
    rows = [f'[[phase]]\nwas = "poll"\nrecords = "{first}-{last}"\n{said}']
    for kind in KINDS:
        if chance.random() < 0.45:
            continue
        near = votes if kind in ("declared", "register", "slips", "total-at-close", "result-at-count") else 0
        least = max(0, near + chance.randint(-1, 3) if chance.random() < 0.5 else near)
        value = f"value = {least}" if chance.random() < 0.5 else f"least = {least}\nmost = {least + chance.randint(1, 6)}"
        rows.append(f'[[count]]\nof = "{kind}"\n{value}\n{said}')
    return "\n".join(rows)


def ends(item):
    return tuple(None if item[key] is None else int(item[key]) for key in ("least", "most"))


def optimum(numbers, equations, place, sign):
    """Least (sign 1) or greatest (sign -1) value of one number; None where it has no end, 'none' where nothing fits."""
    letters = [number["letter"] for number in numbers]
    rows = []
    for equation in equations:
        row = np.zeros(len(letters))
        for side, turn in ((equation["left"], 1), (equation["right"], -1)):
            for term in side:
                row[letters.index(term[1:])] += turn * (1 if term[0] == "+" else -1)
        rows.append(row)
    low = [(-FAR if ends(n["stated"])[0] is None else ends(n["stated"])[0]) for n in numbers]
    high = [(FAR if ends(n["stated"])[1] is None else ends(n["stated"])[1]) for n in numbers]
    goal = np.zeros(len(letters))
    goal[place] = sign
    held = [LinearConstraint(np.array(rows), 0, 0)] if rows else []
    from scipy.optimize import Bounds
    answer = milp(goal, constraints=held, bounds=Bounds(low, high), integrality=np.ones(len(letters)))
    if answer.status != 0:
        return "none"
    value = round(answer.x[place])
    return None if abs(value) >= FAR // 2 else value


def main():
    binary = sys.argv[1]
    chance, ledgers, numbers_compared = random.Random(8), 0, 0
    conflicts, narrower, together = 0, 0, 0
    with tempfile.TemporaryDirectory() as folder:
        folder = Path(folder)
        while ledgers < 320:
            votes = chance.randint(0, 30)
            text, first, last = log(chance, votes)
            (folder / "unit.log").write_text(text)
            (folder / "case.toml").write_text(papers(chance, votes, first, last))
            run = subprocess.run(
                [binary, "examine", str(folder / "unit.log"), "--case", str(folder / "case.toml"), "--json"],
                capture_output=True, text=True, check=False)
            assert run.returncode in (0, 1), run.stderr
            ledger = json.loads(run.stdout)["examinations"][0]["ledgers"][0]
            held = [e for e in ledger["equations"] if e["outcome"] != "differs"]
            if len(held) < len(ledger["equations"]):
                conflicts += 1
                everything = ledger["equations"]
                assert optimum(ledger["numbers"], everything, 0, 1) == "none", (text, ledger)
            narrower += ledger["second_reckoning"] == "narrower"
            if not ledger["numbers"]:
                continue
            if ledger["second_reckoning"] == "conflict":
                # No two ends contradict each other, and no whole numbers fulfil all equations together: so says scipy too.
                assert optimum(ledger["numbers"], held, 0, 1) == "none", (text, ledger)
                together += 1
                continue
            ledgers += 1
            for place, number in enumerate(ledger["numbers"]):
                found = tuple(optimum(ledger["numbers"], held, place, sign) for sign in (1, -1))
                assert number["exact"] is not None, ledger
                assert found == ends(number["exact"]), (found, number, ledger)
                if ledger["second_reckoning"] == "same":
                    assert found == ends(number["follows"]), (found, number, ledger)
                numbers_compared += 1
    assert conflicts > 30, conflicts
    print(f"ledgers against scipy milp: {ledgers} ledgers, {numbers_compared} numbers, {conflicts} with a conflict, "
          f"{narrower} where the exact search is narrower, {together} that only all equations together rule out: no difference")


if __name__ == "__main__":
    main()
