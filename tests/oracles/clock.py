"""Outside checks of the clock: scipy's HiGHS for the straight line, networkx's Bellman-Ford for the network.

`LOGASSAY_CLOCK=FILE cargo test --lib clock::oracle` writes the sets with what logassay found on them. The line is a linear
program in two unknowns (Moon, Skelly and Towsley, INFOCOM 1999); the network is a simple temporal network (Dechter, Meiri
and Pearl 1991). scipy's csgraph is not used: it drops edges of weight zero, and the order of records is such an edge.
Usage: clock.py FILE
"""
import json
import sys

import networkx as nx
from scipy.optimize import linprog


def line(case):
    """The bounds in nanoseconds, or None. Unknowns: a in seconds after the first reading, b less one in parts per million."""
    readings = [(u / 1e3, v / 1e3, int(l), int(h)) for u, v, l, h in case["readings"]]
    zero_u, zero_t = readings[0][0], readings[0][2]
    rows, most = [], []
    for u, v, early, late in readings:
        rows.append([1, (u - zero_u) * 1e-6])
        most.append((late - zero_t) / 1e9 - (u - zero_u))
        rows.append([-1, -(v - zero_u) * 1e-6])
        most.append(-((early - zero_t) / 1e9 - (v - zero_u)))
    bounds = [(None, None), (-case["ppm"], case["ppm"])]
    ends = []
    for sign, at in ((1, case["at"][0]), (-1, case["at"][1])):
        du = at / 1e3 - zero_u
        found = linprog([sign, sign * du * 1e-6], A_ub=rows, b_ub=most, bounds=bounds, method="highs")
        if found.status == 2:
            return None
        assert found.status == 0, found
        ends.append(sign * found.fun + du + zero_t / 1e9)
    return ends


def network(case):
    """Most and least of every node by Bellman-Ford over all pairs of every row, or None."""
    graph = nx.DiGraph()
    graph.add_nodes_from(range(case["nodes"]))

    def add(start, end, weight):
        if not graph.has_edge(start, end) or graph[start][end]["weight"] > weight:
            graph.add_edge(start, end, weight=weight)

    for start, end, most in case["edges"]:
        add(start, end, int(most))
    for ppm, shown in case["rows"]:
        for one, u, _ in shown:
            for other, _, v in shown:
                if one != other:
                    add(one, other, (v - u) * (1_000_000 + ppm if v >= u else 1_000_000 - ppm))
    found = []
    for each in (graph, graph.reverse()):
        try:
            reach = nx.single_source_bellman_ford_path_length(each, 0)
        except nx.NetworkXUnbounded:
            return None
        found.append([reach.get(node) for node in range(case["nodes"])])
    return found


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        sets = json.load(file)
    worst, unfit = 0.0, 0
    for case in sets["lines"]:
        theirs, ours = line(case), case["ends"]
        assert (theirs is None) == (ours is None), case
        if ours is None:
            unfit += 1
            continue
        for one, (over, by) in zip(theirs, ours):
            worst = max(worst, abs(one - int(over) / int(by) / 1e9))
    assert worst < 1e-6, worst
    assert len(sets["lines"]) >= 300
    print(f"{len(sets['lines'])} sets of readings, {unfit} through which no line passes: HiGHS agrees, worst {worst:.1e} s")
    against = 0
    for case in sets["networks"]:
        theirs = network(case)
        ours = [case["most"], case["least"]]
        if theirs is None:
            against += 1
            # Two readings of equal reach may contradict each other only by an end that is left out.
            assert ours[0] is None and ours[1] is None, case
            continue
        for one, other in zip(theirs, ours):
            if other is not None:
                assert one == [None if most is None else int(most) for most in other], case
        if ours[0] is None:
            against += 1
    print(f"{len(sets['networks'])} networks, {against} with a contradiction: networkx agrees to the nanosecond")


main()
