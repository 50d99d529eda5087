//! The error of the grammar's parsers: which fault, and where on the line.

use nom::error::{ErrorKind, ParseError};
use nom::{Err, IResult};

use crate::syntax::FaultCode;

/// A fault on its way out of the parser. Places are counted from the line's end, so that no parser needs to know
/// where its input begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Wrong {
    pub(super) code: FaultCode,
    /// Bytes from the fault's begin to the line's end.
    pub(super) from: usize,
    /// Bytes from the fault's end to the line's end.
    pub(super) to: usize,
}

/// What a parser of one line, or of a part of it, gives.
pub(super) type Parsed<'a, T> = IResult<&'a str, T, Wrong>;

/// What a production says where its shape is right: its value, or the fault that there is no such value. The parser
/// goes on behind it, for a fault in the shape of the line comes first.
pub(super) type Valued<T> = Result<T, Wrong>;

impl ParseError<&str> for Wrong {
    fn from_error_kind(input: &str, _: ErrorKind) -> Wrong {
        Wrong::token(FaultCode::LineUnknown, input)
    }

    fn append(_: &str, _: ErrorKind, other: Wrong) -> Wrong {
        other
    }
}

impl Wrong {
    /// A fault on the first `len` bytes of what is left of the line.
    pub(super) fn first(code: FaultCode, rest: &str, len: usize) -> Wrong {
        Wrong { code, from: rest.len(), to: rest.len().saturating_sub(len) }
    }

    /// A fault on what stands before the next space.
    pub(super) fn token(code: FaultCode, rest: &str) -> Wrong {
        Wrong::first(code, rest, token(rest).len())
    }

    /// A fault where the line is at its end.
    pub(super) fn end(code: FaultCode) -> Wrong {
        Wrong { code, from: 0, to: 0 }
    }

    /// As a result that no other alternative can mend.
    pub(super) fn stop<T>(self) -> Result<T, Err<Wrong>> {
        Err(Err::Failure(self))
    }
}

/// What stands before the next space.
pub(super) fn token(rest: &str) -> &str {
    rest.split(' ').next().unwrap_or_default()
}

/// Turns a parser's plain refusal into the fault that names what is wrong there.
pub(super) fn or_fault<'a, T>(
    result: Parsed<'a, T>,
    at: &'a str,
    name: impl FnOnce(&'a str) -> Wrong,
) -> Parsed<'a, T> {
    result.map_err(|error| match error {
        Err::Failure(wrong) => Err::Failure(wrong),
        _ => Err::Failure(name(at)),
    })
}
