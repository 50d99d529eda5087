"""Outside check of the least-assumption account: networkx (BSD-3) finds the least number of changes by Dijkstra.

The table of the built-in unit comes from `logassay states --form table`; the accounts from `logassay examine --json`.
Places of the graph are (position, state); an edge agrees with a record at no cost, leaves it out or puts one in at a cost
of one (edit distance to a regular language: Wagner 1974). Besides the least cost, the records that every cheapest way
leaves out are compared: those without which the cost rises when the record must stay.
Usage: account.py PATH-TO-LOGASSAY
"""
import sys

import networkx

from account_words import table, words
from portions import told

WORDS, SEED = 400, 20310511


def graph_of(word, moves, states, kept=None):
    graph = networkx.DiGraph()

    def edge(source, target, weight):
        if not graph.has_edge(source, target) or graph[source][target]["weight"] > weight:
            graph.add_edge(source, target, weight=weight)

    for at in range(len(word) + 1):
        for state in states:
            for event, targets in moves.get(state, {}).items():
                for target in targets:
                    if target != state:
                        edge((at, state), (at, target), 1)
                    if at < len(word) and word[at] == event:
                        edge((at, state), (at + 1, target), 0)
            if at < len(word) and at != kept:
                edge((at, state), (at + 1, state), 1)
    for state in states:
        edge("start", (0, state), 0)
        edge((len(word), state), "end", 0)
    return graph


def cost(word, moves, states, kept=None):
    try:
        return networkx.dijkstra_path_length(graph_of(word, moves, states, kept), "start", "end")
    except networkx.NetworkXNoPath:
        return None


def main():
    binary = sys.argv[1]
    moves, states, events = table(binary)
    every = list(words(moves, states, events, WORDS, SEED, longest=24))
    texts = ["unit-event-log 1\n" + "".join(f"- - {event}\n" for event in word) for word in every]
    logs = told(binary, ["examine", "--json"], texts, "examinations")
    costly = shared = wrong = 0
    for word, log in zip(every, logs):
        least, expected = log["least"], cost(word, moves, states)
        first = log["source"]["first_line"]
        out = {edit["line"] - first - 1 for edit in least["common"] if edit["change"] == "extra"}
        must = {
            at for at in range(len(word)) if expected and cost(word, moves, states, kept=at) != expected
        }
        costly += expected > 0
        shared += bool(must)
        if least["changes"] != expected or out != must:
            wrong += 1
            print("differs:", " ".join(word), "expected", expected, sorted(must), "found", least["changes"], sorted(out))
    assert costly > WORDS // 2 and shared > WORDS // 10, f"{costly} costly, {shared} with a common record: too few"
    print(f"{WORDS} words, {costly} cost something, {shared} have a record that all accounts leave out, {wrong} differ")
    sys.exit(1 if wrong else 0)


main()
