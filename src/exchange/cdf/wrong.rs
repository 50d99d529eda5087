//! Why a file is none of the standard as a whole.

use crate::exchange::Misfit;
use crate::exchange::text::Lines;

/// What is wrong, and where.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Wrong {
    at: usize,
    what: &'static str,
}

impl Wrong {
    pub(super) fn new(at: usize, what: &'static str) -> Wrong {
        Wrong { at, what }
    }

    /// As the reason why a file is not read.
    pub(super) fn misfit(self, form: &str, lines: &Lines<'_>) -> Misfit {
        let (line, character) = lines.place(self.at);
        Misfit::new(
            &format!("the file is no {form}: line {line}, character {character}: {}", self.what),
            "ask for a new export; the file may have been cut, joined or edited",
        )
    }
}
