"""Many logs given to the command in portions, since a file holds at most so many (`logs` among the limits of grammar/format.md)."""

import json
import subprocess

MOST = 250


def told(binary, arguments, texts, key):
    """What the command says of each log: the lists under a key of its JSON reports, one behind the other."""
    every = []
    for begin in range(0, len(texts), MOST):
        portion = texts[begin : begin + MOST]
        done = subprocess.run([binary, *arguments, "-"], input="".join(portion), capture_output=True, text=True)
        assert done.returncode in (0, 1), done.stderr
        logs = json.loads(done.stdout)[key]
        assert len(logs) == len(portion), (len(logs), len(portion))
        every.extend(logs)
    return every
