//! Premises: what an end of a bound rests on, as data and as parts of a sentence.

use super::instant::{MS, length};
use super::network::{ORIGIN, Why};
use super::straight::LineEnd;
use super::{Clock, Placement};
use crate::syntax::{Log, Record};

/// So many statements of one kind are told from either end.
const TOLD: usize = 3;

/// Something that an end of a bound rests on.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Premise {
    /// A reading.
    Reading {
        /// Its place in [`Clock::readings`].
        reading: usize,
        /// The reading in words.
        name: String,
    },
    /// The zone in which a reading is written.
    Zone {
        /// Which zone and who states it, in words.
        said: String,
    },
    /// The bound on the rate of the clock.
    Rate {
        /// In parts per million, either way.
        ppm: u32,
        /// Who states it.
        source: String,
    },
    /// The clock was neither set nor reset without a record between two places.
    NoStep {
        /// The earlier of them, in words.
        from: String,
        /// The later of them, in words.
        to: String,
    },
    /// A reading beside which the paper says that the clock was neither set nor reset at all.
    NeverSet {
        /// Its place in [`Clock::readings`].
        reading: usize,
        /// The reading in words.
        name: String,
    },
    /// Nothing was recorded behind the end of the log, where a reading was taken.
    Closed {
        /// That, and why it is said, in words.
        said: String,
    },
    /// A clock-set record: the clock showed one time and then the other at one instant.
    ClockSet {
        /// Its step.
        step: usize,
        /// The record in words.
        name: String,
    },
    /// The order of recording.
    Order {
        /// The earlier record or reading, in words.
        from: String,
        /// The later one, in words.
        to: String,
    },
    /// The clock ran at one constant rate over a segment, and over those that settings join to it.
    Line {
        /// The places in [`Clock::readings`] of the readings that bind.
        readings: Vec<usize>,
        /// Who allows it, in words.
        source: String,
    },
    /// A display may change less often than it is written: so long each displayed time is taken to have stood.
    Grain {
        /// In milliseconds.
        ms: i64,
    },
}

impl Premise {
    /// A part of a sentence, to stand after "if" or "because".
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Premise::Reading { name, .. } => format!("{name} is right"),
            Premise::Zone { said } | Premise::Closed { said } => said.clone(),
            Premise::Rate { ppm, source } => {
                format!(
                    "the clock kept within {ppm} {} ({source})",
                    if *ppm == 1 { "part per million" } else { "parts per million" }
                )
            }
            Premise::NoStep { from, to } => {
                format!("the clock was neither set nor reset without a record between {from} and {to}")
            }
            Premise::NeverSet { name, .. } => format!(
                "the clock was neither set nor reset over the records and readings, as the paper of {name} says"
            ),
            Premise::ClockSet { name, .. } => format!("{name} states both times of the setting rightly"),
            Premise::Order { from, to } => format!("{from} came before {to}"),
            Premise::Line { source, .. } => format!("the clock ran at one constant rate ({source})"),
            Premise::Grain { ms } => format!(
                "a displayed time stood for {} at most: all times that this log displays are multiples of that",
                length(i128::from(*ms) * MS)
            ),
        }
    }

    /// All of them in words, each a part of a sentence. Of statements about stretches and about order that are many, the
    /// first and the last are told and those between counted: a bound may pass through thousands of resets.
    #[must_use]
    pub fn told(premises: &[Premise]) -> Vec<String> {
        let stretches = premises.iter().filter(|one| matches!(one, Premise::NoStep { .. })).count();
        let orders = premises.iter().filter(|one| matches!(one, Premise::Order { .. })).count();
        let (mut stretch, mut order) = (0, 0);
        let mut told: Vec<String> = Vec::new();
        for premise in premises {
            let (at, of, further) = match premise {
                Premise::NoStep { .. } => {
                    (&mut stretch, stretches, "the same holds of so many further stretches between these")
                }
                Premise::Order { .. } => {
                    (&mut order, orders, "so many further pairs came in the order of the log")
                }
                _ => {
                    told.push(premise.words());
                    continue;
                }
            };
            if of <= 2 * TOLD || *at < TOLD || *at >= of - TOLD {
                told.push(premise.words());
            } else if *at == TOLD {
                told.push(format!("{further}: {}", of - 2 * TOLD));
            }
            *at += 1;
        }
        told
    }

    /// The place in [`Clock::readings`] of the reading that it is about.
    #[must_use]
    pub fn reading(&self) -> Option<usize> {
        match self {
            Premise::Reading { reading, .. } => Some(*reading),
            _ => None,
        }
    }
}

/// The record's number and displayed time in words: `record 1204 (2031-05-10 07:00:31)`.
#[must_use]
pub fn name(log: &Log, record: &Record) -> String {
    let number = match record.number {
        Some(number) => format!("record {number:0width$}", width = usize::from(record.number_digits)),
        None => format!("the record on line {}", log.line_number(record.line)),
    };
    match record.time {
        Some(time) => format!("{number} ({time})"),
        None => number,
    }
}

impl Clock<'_> {
    /// The premises of a way through the network, each once, in a fixed order.
    pub(super) fn premises(&self, way: &[(usize, usize, Why)]) -> Vec<Premise> {
        let mut premises: Vec<Premise> = Vec::new();
        let mut last_row: Option<(usize, usize)> = None;
        let mut order: Option<(usize, usize)> = None;
        for (from, to, why) in way.iter().copied() {
            // Neighbours in order are one statement from the first to the last.
            if why == Why::Order {
                order = Some((order.map_or(from, |(first, _)| first), to));
                continue;
            }
            premises.extend(order.take().map(|ends| self.in_order(ends)));
            match why {
                Why::Reading(reading) => premises.extend(self.reading_premises(reading)),
                Why::Rate(row) => {
                    // One node in two segments: the record of a setting joins them.
                    if let Some((before, node)) = last_row
                        && before != row
                        && node == from
                        && let Some(step) = node.checked_sub(1)
                    {
                        premises.push(Premise::ClockSet { step, name: self.name(step) });
                    }
                    last_row = Some((row, to));
                    premises.extend(self.rate_premise());
                    premises.extend(self.unstepped(&[from, to]));
                }
                Why::Line(end) => premises.extend(self.line_premises(end, [from, to])),
                Why::Order => {}
            }
        }
        premises.extend(order.map(|ends| self.in_order(ends)));
        premises.sort();
        premises.dedup();
        premises
    }

    pub(super) fn in_order(&self, (from, to): (usize, usize)) -> Premise {
        // Edges of order run from the later to the earlier; read backwards they run with time.
        let (first, last) = if self.is_later(from, to) { (to, from) } else { (from, to) };
        Premise::Order { from: self.node_name(first), to: self.node_name(last) }
    }

    /// That the display went from the first to the last of some places without a step that is not recorded, and how long each
    /// time stood on it.
    pub(super) fn unstepped(&self, nodes: &[usize]) -> Vec<Premise> {
        let ends = nodes.iter().min_by_key(|node| self.position(**node));
        let Some((first, last)) = ends.zip(nodes.iter().max_by_key(|node| self.position(**node))) else {
            return Vec::new();
        };
        let mut premises = Vec::new();
        if let Some(reading) = self.never_set(nodes) {
            let name = self.readings().get(reading).map(super::Reading::words).unwrap_or_default();
            premises.push(Premise::NeverSet { reading, name });
        } else {
            let step = || Premise::NoStep { from: self.node_name(*first), to: self.node_name(*last) };
            premises.extend((first != last).then(step));
            let readings = nodes.iter().filter_map(|node| self.readings().get(self.reading_of(*node)?));
            let closed = readings.filter_map(|reading| self.taken_behind(reading));
            premises.extend(closed.map(|said| Premise::Closed { said }));
        }
        let coarser = self.resolution().is_some_and(|written| self.grain() > written);
        premises.extend(coarser.then(|| Premise::Grain { ms: self.grain() }));
        premises
    }

    /// That a reading is right, and in which zone it is written where the paper does not say that itself.
    pub(super) fn reading_premises(&self, reading: usize) -> impl Iterator<Item = Premise> {
        let of = self.readings().get(reading);
        let name = of.map(super::Reading::words).unwrap_or_default();
        let said = of.and_then(|of| of.by_zone.clone());
        [Premise::Reading { reading, name }].into_iter().chain(said.map(|said| Premise::Zone { said }))
    }

    pub(super) fn rate_premise(&self) -> Option<Premise> {
        self.rate().map(|rate| Premise::Rate { ppm: rate.ppm, source: rate.source.as_str().to_owned() })
    }

    /// What an end of a straight line's bounds rests on: the readings at the corner, the line and the rate, and that no step
    /// went unrecorded between the readings and what they bound, which is the one of two nodes that is not the origin.
    fn line_premises(&self, end: usize, edge: [usize; 2]) -> Vec<Premise> {
        let Some(line) = self.line() else { return Vec::new() };
        let LineEnd { readings, sets } = line.ends.get(end).cloned().unwrap_or_default();
        let of = |place: &usize| Some(self.node_of(*place, self.readings().get(*place)?));
        let bound = edge.into_iter().filter(|node| *node != ORIGIN);
        let nodes: Vec<usize> = readings.iter().filter_map(of).chain(bound).collect();
        let named = readings.iter().flat_map(|reading| self.reading_premises(*reading));
        let sets = sets.iter().map(|step| Premise::ClockSet { step: *step, name: self.name(*step) });
        let mut premises: Vec<Premise> = named.chain(self.rate_premise()).chain(sets).collect();
        premises.extend(self.unstepped(&nodes));
        premises.push(Premise::Line { readings, source: line.source.as_str().to_owned() });
        premises
    }

    /// The readings on which an end of the straight line rests, and whether settings join what they bind.
    pub(super) fn line_rests(&self, end: usize) -> (Vec<usize>, bool) {
        let end = self.line.as_ref().and_then(|line| line.ends.get(end));
        end.map_or_else(Default::default, |end| (end.readings.clone(), !end.sets.is_empty()))
    }

    /// Whether one node stands later in the log than another.
    fn is_later(&self, one: usize, other: usize) -> bool {
        self.position(one) > self.position(other)
    }

    /// That nothing was recorded behind the end of the log, and why that is said, where the segment of a reading hangs on it.
    #[must_use]
    pub fn taken_behind(&self, reading: &super::Reading) -> Option<String> {
        let behind = match reading.placement {
            Placement::After { step, segment } => segment.is_some() && step + 1 == self.records.len(),
            _ => false,
        };
        self.closed.clone().filter(|_| behind && self.never_set.is_empty())
    }

    /// Where a node stands: twice its step, plus one behind it.
    fn position(&self, node: usize) -> usize {
        match self.reading_of(node).and_then(|reading| self.readings().get(reading)) {
            Some(reading) => match reading.placement {
                Placement::After { step, .. } => 2 * step + 1,
                _ => usize::MAX,
            },
            None => 2 * node.saturating_sub(1),
        }
    }

    fn node_name(&self, node: usize) -> String {
        match self.reading_of(node).and_then(|reading| self.readings().get(reading)) {
            Some(reading) => format!("the reading on line {} of the case file", reading.line),
            None if node == ORIGIN => "the reading".to_owned(),
            None => self.name(node - 1),
        }
    }
}
