//! The neutral text format: what a log is once it has been read, how it is read, how it is written, what could not be read.

#[cfg(test)]
mod agreement;
mod clock;
mod date_time;
mod draft;
mod excerpt;
mod fault;
mod identity;
mod kinds;
mod limits;
mod line;
mod log;
mod maker;
mod nearness;
mod pages;
mod read;
mod secrecy;
mod shelf;
mod skim;
mod stamp;
mod swift;
mod swiftly;
mod unread;
mod value;
mod words;
mod write;
mod wrong;

pub use date_time::DateTime;
pub use draft::Draft;
pub(crate) use draft::push_value;
pub use excerpt::{FaultReport, faults_text, report};
pub use fault::{Against, Effect, FAULTS, Fault, FaultCode, FaultCounts, FaultEntry, fault_manual};
pub(crate) use identity::among_others;
pub use limits::{LIMITS, Limits, limits_manual};
pub use log::{Attribute, Closing, Header, Line, LineKind, Log, Record, Slice};
pub(crate) use maker::{Item, Maker, Part};
pub use read::read;
pub use secrecy::Secrecy;
pub use skim::{Skimmed, skim};
pub use stamp::Stamp;
pub use value::Value;
pub use write::{Refused, write};
