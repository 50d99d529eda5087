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

/// Parts of a compound word that by themselves tell nothing about one voter. No thing that can be drawn is among them, for
/// it may be the symbol of a candidate; no word that can be an answer or the name of a list, such as `no`, `left`, `first`.
const PLAIN_PARTS: &[&str] = &[
    "vote",
    "votes",
    "id",
    "number",
    "code",
    "serial",
    "key",
    "slot",
    "index",
    "of",
    "by",
    "ballot",
    "set",
    "count",
    "cast",
    "cancelled",
    "repeated",
    "recorded",
    "refused",
    "test",
    "list",
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
    "enable",
    "enabled",
    "disable",
    "disabled",
    "warning",
    "error",
    "checked",
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
    "ready",
    "busy",
    "locked",
    "unlocked",
    "beep",
];

/// Where a text begins that may name a voter's choice or identity: the offset behind the first such word.
/// With `vote_too`, the word "vote" counts as well.
#[must_use]
pub fn disclosure_in(text: &[u8], vote_too: bool) -> Option<usize> {
    let vote = if vote_too { Some("vote") } else { None };
    let words = CHOICE_OR_IDENTITY.iter().copied().chain(vote);
    words.filter_map(|word| places(text, word).next().map(|place| place + word.len())).min()
}

/// Ordinary words in which one of those above stands by chance, or in a sense that names nobody.
const ORDINARY: &[&str] = &[
    "namely",
    "named",
    "unnamed",
    "rename",
    "renamed",
    "filename",
    "filenames",
    "hostname",
    "nameplate",
    "namespace",
    "nameless",
    "tournament",
    "ornament",
    "enamel",
    "personal",
    "personally",
    "personnel",
    "impersonal",
    "addressed",
    "addressing",
    "electoral",
    "electorate",
    "compressed",
    "uncompressed",
    "decompressed",
    "suppressed",
    "expressed",
    "impressed",
    "depressed",
    "devoted",
];

/// Whether a running text, such as a comment, has a word by which it may name a choice or identity, alone, in the plural or
/// in a compound: `the voter`, `two voters`, `votername`, not `namely` or `personal`.
#[must_use]
pub fn disclosure_in_prose(text: &[u8]) -> bool {
    let mut words = text.split(|b| b.is_ascii() && !b.is_ascii_alphabetic());
    words.any(|word| {
        disclosure_in(word, false).is_some()
            && !ORDINARY.iter().any(|ordinary| word.eq_ignore_ascii_case(ordinary.as_bytes()))
    })
}

/// The places of a word in a text, without regard to case.
fn places<'t>(text: &'t [u8], word: &'t str) -> impl Iterator<Item = usize> + 't {
    text.windows(word.len())
        .enumerate()
        .filter(|(_, window)| window.eq_ignore_ascii_case(word.as_bytes()))
        .map(|(place, _)| place)
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
    fn prose_tells_in_compounds_and_not_in_ordinary_words() {
        for telling in [
            "; the voter",
            "two Voters",
            "votername x",
            "candidateid",
            "VOTER_x",
            "thevoter",
            "names",
            "x,party y",
        ] {
            assert!(disclosure_in_prose(telling.as_bytes()), "{telling}");
        }
        for plain in ["namely", "Personal and electoral", "a compressed file, renamed", "", "the vote"] {
            assert!(!disclosure_in_prose(plain.as_bytes()), "{plain}");
        }
    }

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
