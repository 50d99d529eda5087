//! The transition table as a graph of states, for drawings and for other programs; drawn from the one table in use.

use petgraph::dot::{Config, Dot};
use petgraph::graph::{DiGraph, NodeIndex};

use crate::event::Event;
use crate::replay::belief::{Belief, Machine};
use crate::replay::table::State;
use crate::source::Shown;
use crate::unit::UnitDescription;

/// One move: in a state, an event leads to a state. Moves that leave no record are taken before the event.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Move {
    /// The state before.
    pub from: State,
    /// The event.
    pub event: Event,
    /// The state after.
    pub to: State,
}

/// Every move of a unit, by state and then by event.
#[must_use]
pub fn moves(unit: &UnitDescription) -> Vec<Move> {
    let machine = Machine::of(unit);
    let mut moves = Vec::new();
    for from in State::all() {
        for event in Event::all() {
            let reached = machine.after(Belief::of(from), event);
            moves.extend(reached.states().map(|to| Move { from, event, to }));
        }
    }
    moves
}

/// The graph of a unit: one node per state, one edge per pair of states, with the events that lead along it.
#[must_use]
pub fn graph(unit: &UnitDescription) -> DiGraph<State, Vec<Event>> {
    let mut graph: DiGraph<State, Vec<Event>> = DiGraph::new();
    let nodes: Vec<(State, NodeIndex)> = State::all().map(|state| (state, graph.add_node(state))).collect();
    let node = |state: State| nodes.iter().find(|(s, _)| *s == state).map(|(_, node)| *node);
    for step in moves(unit) {
        let (Some(from), Some(to)) = (node(step.from), node(step.to)) else {
            continue;
        };
        match graph.find_edge(from, to).and_then(|edge| graph.edge_weight_mut(edge)) {
            Some(events) => events.push(step.event),
            None => {
                graph.add_edge(from, to, vec![step.event]);
            }
        }
    }
    graph
}

/// The graph in the DOT language. Events that change nothing are left out of it.
#[must_use]
pub fn dot(unit: &UnitDescription) -> String {
    let mut graph = graph(unit);
    graph.retain_edges(|graph, edge| graph.edge_endpoints(edge).is_some_and(|(from, to)| from != to));
    let label = |text: &str| format!("label = \"{text}\"");
    let edge = |_, edge: petgraph::graph::EdgeReference<'_, Vec<Event>>| {
        label(&edge.weight().iter().map(|event| event.word()).collect::<Vec<_>>().join("\\n"))
    };
    let node = |_, (_, state): (NodeIndex, &State)| {
        format!("shape = box, {}", label(&state.words().replace(", ", "\\n").replace(" and ", "\\nand ")))
    };
    let config = [Config::EdgeNoLabel, Config::NodeNoLabel];
    format!("{:?}", Dot::with_attr_getters(&graph, &config, &edge, &node))
}

/// The table as tab-separated text: state, event, state reached, and both states in words; `-` where the unit does not
/// take the event. Lines that begin with `#` say which unit it is.
#[must_use]
pub fn table(unit: &UnitDescription) -> String {
    let machine = Machine::of(unit);
    let (name, version) = (Shown::inert(&unit.name), Shown::inert(&unit.version));
    let mut text = format!(
        "# Unit description: {name}, version {version}, SHA-256 {}\n\
         # One line for each state and event; - where the unit does not take the event in that state.\n\
         state\tevent\treached\tstate in words\treached in words\n",
        unit.digest
    );
    for from in State::all() {
        for event in Event::all() {
            let reached = machine.after(Belief::of(from), event);
            let mut row = |to: &str, words: &str| {
                text.push_str(&format!(
                    "{}\t{}\t{to}\t{}\t{words}\n",
                    from.name(),
                    event.word(),
                    from.words()
                ));
            };
            if reached.is_empty() {
                row("-", "-");
            }
            reached.states().for_each(|to| row(&to.name(), &to.words()));
        }
    }
    text
}
