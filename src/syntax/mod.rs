//! The neutral text format: what a log is once it has been read, how it is read, how it is written, what could not be read.

mod fault;
mod log;

pub use fault::{Fault, FaultCode};
pub use log::{Attribute, Closing, Header, Line, LineKind, Log, Record, Secrecy, Slice, Stamp, Value};
