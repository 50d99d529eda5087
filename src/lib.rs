//! logassay reads the exported event log of a voting unit, rebuilds what the unit must have been doing, and answers
//! rule by rule what the record establishes, what it contradicts, and what cannot be told.
//!
//! The way of the data, room by room: [`source`] holds the evidence and the one gate to every output; [`syntax`] reads
//! it into a [`syntax::Log`]; [`mod@unit`] describes what a unit of its model does; [`case`] holds what people wrote down;
//! [`replay`] finds the states that the unit may have been in; [`mod@clock`] bounds the true time of every record;
//! [`rules`] answer; `report` prints.
//! [`examine`] is these steps and nothing else. It is pure, and it cannot fail: what cannot be read becomes a
//! [`syntax::Fault`], what cannot be told becomes an answer.

pub mod assessment;
pub mod case;
pub mod clock;
pub mod comparison;
pub mod counts;
pub mod coverage;
pub mod custody;
pub mod event;
mod examination;
pub mod exchange;
pub mod finding;
pub mod pace;
pub mod rehearsal;
pub mod replay;
pub mod report;
pub mod rules;
pub mod sheet;
pub mod source;
pub mod syntax;
pub mod unit;
pub mod zone;

pub use examination::{Examination, ONE_VERSION, examine};
