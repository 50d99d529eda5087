"""Outside checks of the clock: scipy's HiGHS for the straight line, networkx's Bellman-Ford for the network, Python's
zoneinfo for zones of civil time.

`LOGASSAY_CLOCK=FILE cargo test --lib clock::oracle` writes the sets with what logassay found on them. The line is a linear
program in two unknowns (Moon, Skelly and Towsley, INFOCOM 1999); the network is a simple temporal network (Dechter, Meiri
and Pearl 1991). scipy's csgraph is not used: it drops edges of weight zero, and the order of records is such an edge.
Usage: clock.py FILE
"""
import json
import sys
import zoneinfo
from datetime import datetime, timedelta, timezone

import networkx as nx
import tzdata
from scipy.optimize import linprog

EPOCH = datetime(1970, 1, 1)


def line(case):
    """The bounds in nanoseconds, or None. Unknowns: per segment an offset in seconds after the first reading, then b less
    one in parts per million. A setting by D lets the offset fall by b D, D known from least to most; nothing is eliminated
    here: HiGHS solves for all offsets at once."""
    readings = [(u / 1e3, v / 1e3, int(l), int(h), segment) for u, v, l, h, segment in case["readings"]]
    zero_u, zero_t = readings[0][0], readings[0][2]
    segments = len(case["set"])
    rows, most = [], []

    def row(offsets, rate, end):
        rows.append([offsets.get(segment, 0) for segment in range(segments)] + [rate * 1e-6])
        most.append(end)

    for u, v, early, late, segment in readings:
        row({segment: 1}, u - zero_u, (late - zero_t) / 1e9 - (u - zero_u))
        row({segment: -1}, -(v - zero_u), -((early - zero_t) / 1e9 - (v - zero_u)))
    for segment in range(1, segments):
        (from_least, from_most), (least, greatest) = case["set"][segment - 1], case["set"][segment]
        least, greatest = (least - from_least) / 1e3, (greatest - from_most) / 1e3
        row({segment - 1: -1, segment: 1}, least, -least)
        row({segment - 1: 1, segment: -1}, -greatest, greatest)
    bounds = [(None, None)] * segments + [(-case["ppm"], case["ppm"])]
    ends = []
    for sign, at in ((1, case["at"][0]), (-1, case["at"][1])):
        du = at / 1e3 - zero_u
        aim = [sign if segment == case["segment"] else 0 for segment in range(segments)] + [sign * du * 1e-6]
        found = linprog(aim, A_ub=rows, b_ub=most, bounds=bounds, method="highs")
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


def instants(zone, civil_ms):
    """The instants at which a zone shows a civil time, in milliseconds, by zoneinfo and PEP 495: both folds, and only those
    that come back to the same civil time."""
    naive = EPOCH + timedelta(milliseconds=civil_ms)
    found = set()
    for fold in (0, 1):
        utc = naive.replace(tzinfo=zone, fold=fold).astimezone(timezone.utc)
        if utc.astimezone(zone).replace(tzinfo=None) == naive:
            found.add((utc - EPOCH.replace(tzinfo=timezone.utc)) // timedelta(milliseconds=1))
    return sorted(found)


def zones(civil):
    """Zone arithmetic of the program (jiff) against Python's zoneinfo on the files of the PyPI package tzdata alone."""
    zoneinfo.reset_tzpath(to=[])
    assert tzdata.IANA_VERSION == civil["data"], (tzdata.IANA_VERSION, civil["data"])
    asked = twice = never = 0
    for case in civil["zones"]:
        zone = zoneinfo.ZoneInfo(case["zone"])
        for at, ours in case["asked"]:
            theirs = instants(zone, at)
            assert theirs == ours, (case["zone"], at, theirs, ours)
            asked += 1
            twice += len(ours) == 2
            never += not ours
    assert len(civil["zones"]) > 400 and twice > 10_000 and never > 10_000, (len(civil["zones"]), twice, never)
    print(
        f"{len(civil['zones'])} zones, {asked} civil times, {twice} of them shown twice and {never} never: zoneinfo agrees "
        f"(tzdata {tzdata.IANA_VERSION}, the program's data {civil['data']})"
    )


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
    joined = sum(len(case["set"]) > 1 for case in sets["lines"])
    assert len(sets["lines"]) >= 600 and joined >= 200
    print(
        f"{len(sets['lines'])} sets of readings, {joined} of them across settings, {unfit} through which no line passes: "
        f"HiGHS agrees, worst {worst:.1e} s"
    )
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
    zones(sets["civil"])


main()
