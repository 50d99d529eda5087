//! The words by which a text is taken to name a voter's choice or identity.

/// Words behind which a voter's choice or identity may stand. Matched without regard to case, anywhere in a word.
const CHOICE_OR_IDENTITY: &[&str] = &[
    "candidate",
    "token",
    "choice",
    "chose",
    "party",
    "voter",
    "elector",
    "selection",
    "selected",
    "button",
    "pressed",
    "voted",
    "identity",
    "citizen",
    "person",
    "surname",
    "name",
    "address",
];

/// Parts of a compound word that by themselves tell nothing about one voter. No thing that can be drawn is among them:
/// it may be the symbol of a candidate.
const PLAIN_PARTS: &[&str] = &[
    "vote",
    "votes",
    "id",
    "no",
    "number",
    "code",
    "serial",
    "key",
    "slot",
    "index",
    "position",
    "of",
    "for",
    "by",
    "ballot",
    "set",
    "count",
    "cast",
    "cancelled",
    "spoiled",
    "void",
    "repeated",
    "recorded",
    "refused",
    "test",
    "first",
    "last",
    "full",
    "given",
    "family",
    "signed",
    "called",
    "left",
    "list",
    "order",
    "type",
    "kind",
    "time",
    "ms",
    "seconds",
    "duration",
    "note",
    "reason",
    "result",
    "state",
    "status",
    "level",
    "control",
    "beep",
    "locked",
    "unlock",
    "unlocked",
    "ready",
    "busy",
    "enable",
    "enabled",
    "disable",
    "disabled",
    "warning",
    "error",
    "checked",
    "memory",
    "link",
    "crc",
    "checksum",
    "sequence",
    "seq",
    "retry",
    "event",
    "version",
    "start",
    "started",
    "end",
    "ended",
];

/// Where a text begins that may name a voter's choice or identity: the offset behind the first such word.
/// With `vote_too`, the word "vote" counts as well.
#[must_use]
pub fn disclosure_in(text: &[u8], vote_too: bool) -> Option<usize> {
    let behind = |word: &str| {
        text.windows(word.len())
            .position(|window| window.eq_ignore_ascii_case(word.as_bytes()))
            .map(|place| place + word.len())
    };
    let vote = if vote_too { behind("vote") } else { None };
    CHOICE_OR_IDENTITY.iter().filter_map(|word| behind(word)).chain(vote).min()
}

/// Whether a compound word such as `voter-name` is made of nothing but words that name a *kind* of thing: such a word
/// may be shown, while `voter-smith-7` may not, for a part of it may be the thing itself.
#[must_use]
pub fn names_only_kinds(word: &str) -> bool {
    word.split(['-', '_']).all(|part| {
        CHOICE_OR_IDENTITY.iter().chain(PLAIN_PARTS).any(|plain| part.eq_ignore_ascii_case(plain))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_is_plain_only_if_every_part_of_it_is() {
        assert!(
            names_only_kinds("voter-name")
                && names_only_kinds("candidate")
                && names_only_kinds("vote-cancelled")
        );
        assert!(
            !names_only_kinds("voter-anna")
                && !names_only_kinds("candidate3")
                && !names_only_kinds("anna-voted")
        );
    }
}
