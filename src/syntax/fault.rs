//! Faults: text that could not be read as the format wants, each with its place, its code and the right form.

use crate::source::Span;

/// What could not be read, and where.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fault {
    /// Index of the line in its log.
    pub line: usize,
    /// The bytes at fault.
    pub span: Span,
    /// Which fault it is.
    pub code: FaultCode,
}

/// The kinds of fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FaultCode {
    /// Not yet described.
    Unreadable,
}

impl FaultCode {
    /// The code's word.
    #[must_use]
    pub fn word(self) -> &'static str {
        "unreadable"
    }
}
