"""Makes tests/oracles/golden/account.json: least numbers of changes, by pm4py, for words of the built-in unit's table.

pm4py is AGPL-3.0-or-later. It is run once, in a process of its own, to make a file of numbers; nothing of it is linked,
shipped or needed by any test. The table comes from `logassay states --form table`.
Usage: account_golden.py PATH-TO-LOGASSAY > tests/oracles/golden/account.json   (pip install pm4py==2.7.23.11)
"""
import json
import sys

import pm4py
from pm4py.algo.conformance.alignments.petri_net import algorithm as alignments
from pm4py.objects.log.obj import Event, Trace
from pm4py.objects.petri_net.obj import Marking, PetriNet
from pm4py.objects.petri_net.utils import petri_utils

from account_words import table, words

COUNT, SEED = 1500, 20310510


def net_of(moves, states, starts):
    net = PetriNet("unit")
    place = {name: PetriNet.Place(name) for name in [*states, "src", "snk"]}
    for one in place.values():
        net.places.add(one)
    number = 0

    def arc(source, label, target):
        nonlocal number
        number += 1
        transition = PetriNet.Transition(f"t{number}", label)
        net.transitions.add(transition)
        petri_utils.add_arc_from_to(place[source], transition, net)
        petri_utils.add_arc_from_to(transition, place[target], net)

    for state in states:
        for event, targets in sorted(moves.get(state, {}).items()):
            for target in sorted(targets):
                arc(state, event, target)
        arc(state, None, "snk")
    for start in starts:
        arc("src", None, start)
    return net, Marking({place["src"]: 1}), Marking({place["snk"]: 1})


def main():
    moves, states, events = table(sys.argv[1])
    variant = alignments.Variants.VERSION_DIJKSTRA_NO_HEURISTICS
    nets = {key: net_of(moves, states, key or states) for key in [(), ("cleared",)]}
    traces = []
    for place, word in enumerate(words(moves, states, events, COUNT, SEED)):
        start = () if place % 2 else ("cleared",)
        trace = Trace([Event({"concept:name": event}) for event in word])
        result = alignments.apply(trace, *nets[start], variant=variant)
        # A change costs 10,000, a silent move 1 (standard costs of pm4py).
        traces.append({"start": list(start), "events": " ".join(word), "cost": result["cost"] // 10000})
    about = {
        "made_with": f"pm4py {pm4py.__version__}, AGPL-3.0-or-later, in a process of its own; numbers only",
        "call": "pm4py.algo.conformance.alignments.petri_net.algorithm.apply(trace, net, im, fm, "
        "variant=Variants.VERSION_DIJKSTRA_NO_HEURISTICS)['cost'] // 10000",
        "table": "the built-in Kestrane unit: logassay states --form table",
        "start": "no name: any state; the word may end in any state",
    }
    lines = ",\n".join("  " + json.dumps(trace) for trace in traces)
    print("{" + json.dumps(about)[1:-1] + ',\n"traces": [\n' + lines + "\n]}")


main()
