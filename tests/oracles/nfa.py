"""Outside check of the replay: automata-lib (MIT) says, for every state, whether a word of events can end there.

The table of the built-in unit comes from `logassay states --form table`; the beliefs from `logassay walk --json`.
A non-deterministic automaton with a silent edge from a new start to every state accepts a word with final state q
exactly if q is in the belief after the word (subset construction, Rabin and Scott 1959).
Usage: nfa.py PATH-TO-LOGASSAY
"""
import random
import sys

from automata.fa.nfa import NFA

from account_words import table
from portions import told

WORDS, LONGEST, SEED = 600, 24, 20310510


def main():
    binary = sys.argv[1]
    moves, states, events = table(binary)
    choose = random.Random(SEED)
    words = []
    for _ in range(WORDS):
        # Half of the words follow the table from some state, so that long lawful words occur too.
        state, word = choose.choice(states), []
        for _ in range(choose.randint(1, LONGEST)):
            lawful = sorted(moves.get(state, {}))
            if lawful and choose.random() < 0.9:
                event = choose.choice(lawful)
                state = choose.choice(sorted(moves[state][event]))
            else:
                event = choose.choice(events)
            word.append(event)
        words.append(word)
    texts = ["unit-event-log 1\n" + "".join(f"- - {event}\n" for event in word) for word in words]
    logs = told(binary, ["walk", "--json"], texts, "logs")
    edges = {"start": {"": set(states)}, **{s: dict(moves.get(s, {})) for s in states}}
    accepting = {
        q: NFA(
            states={"start", *states},
            input_symbols=set(events),
            transitions=edges,
            initial_state="start",
            final_states={q},
        )
        for q in states
    }
    empty = wrong = 0
    for word, log in zip(words, logs):
        expected = {q for q in states if accepting[q].accepts_input(word)}
        contradiction = log["contradictions"] > 0
        found = set(log["states_at_end"])
        empty += not expected
        if contradiction != (not expected) or (expected and found != expected):
            wrong += 1
            print("differs:", " ".join(word), "expected", sorted(expected), "found", sorted(found), contradiction)
    assert 60 < empty < WORDS - 60, f"{empty} of {WORDS} words are contradictory: the sample is one-sided"
    print(f"{WORDS} words, {empty} without any possible state, {wrong} differ")
    sys.exit(1 if wrong else 0)


main()
