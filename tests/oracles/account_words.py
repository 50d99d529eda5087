"""The built-in unit's table as printed by `logassay states --form table`, and made-up words of its events."""
import random
import subprocess


def table(binary):
    out = subprocess.run([binary, "states", "--form", "table"], check=True, capture_output=True, text=True).stdout
    rows = [line.split("\t") for line in out.splitlines() if line and not line.startswith("#")]
    assert rows[0][:3] == ["state", "event", "reached"], rows[0]
    moves, states, events = {}, set(), set()
    for state, event, to, *_ in rows[1:]:
        states.add(state)
        events.add(event)
        if to != "-":
            states.add(to)
            moves.setdefault(state, {}).setdefault(event, set()).add(to)
    assert len(states) == 12, states
    return moves, sorted(states), sorted(events)


def words(moves, states, events, count, seed, longest=40):
    """Lawful words with about one event in five replaced by any other."""
    choose = random.Random(seed)
    telling = ["enable", "vote", "close", "result", "clear", "power-on", "power-off", "enable-lapsed", "candidate-set"]
    for _ in range(count):
        state, word = choose.choice(states), []
        for _ in range(choose.randint(1, longest)):
            lawful = sorted(moves.get(state, {}))
            if choose.random() < 0.8:
                some = [event for event in lawful if event in telling] or lawful
                event = choose.choice(some if choose.random() < 0.8 else lawful)
                state = choose.choice(sorted(moves[state][event]))
            else:
                event = choose.choice(telling if choose.random() < 0.8 else events)
            word.append(event)
        yield word
