//! What of a faulty sheet may be shown: a log or printout may have been named in its place, and its lines may hold choices.

use super::{Sheet, Table, distance};
use crate::source::{disclosure_in, disclosure_in_prose, names_only_kinds};

/// Whether a text is a log, or an export of one, and no sheet: by how it begins, or by any line that reads as a record.
pub(super) fn reads_like_evidence(text: &str) -> bool {
    let begin = text.trim_start_matches('\u{FEFF}').trim_start();
    let is_list = begin.strip_prefix('[').is_some_and(|rest| rest.trim_start().starts_with(['{', '"']));
    begin.starts_with("unit-event-log ")
        || begin.starts_with(['{', '<'])
        || begin.starts_with("PK\u{3}\u{4}")
        || is_list
        || text.lines().any(is_record)
}

/// Whether a line begins as a record: a number or `-`, a day or `-`, and something behind.
fn is_record(line: &str) -> bool {
    let mut words = line.split_whitespace();
    let (Some(number), Some(day), Some(_)) = (words.next(), words.next(), words.next()) else {
        return false;
    };
    let is_number = number == "-" || number.bytes().all(|b| b.is_ascii_digit());
    is_number && (day == "-" || day.get(..10).is_some_and(super::is_day))
}

/// The offset in a line from which it is covered; its length where nothing is. A line is shown as far as it is one of the
/// sheet, which says what people wrote down: a header, or a key with its value where the sheet has such a key.
pub(super) fn shown_until(sheet: &Sheet, line: &str, torn: bool) -> usize {
    let all = line.len();
    let begin = all - line.trim_start_matches([' ', '\t', '[', '"', '\'']).len();
    let rest = line.get(begin..).unwrap_or_default();
    let word = rest.get(..rest.find(|c: char| !is_of_word(c)).unwrap_or(rest.len())).unwrap_or_default();
    let behind = rest.get(word.len()..).unwrap_or_default().trim_start_matches([' ', '\t', '"', '\'']);
    let is_known = sheet.words().any(|known| known == word);
    let value = line.find('=').map(|at| at + 1).filter(|_| behind.starts_with('='));
    let is_header = line.trim_start().starts_with('[') && behind.trim_matches([']', ' ', '\t']).is_empty();
    if word.is_empty()
        || !(value.is_some() || is_header)
        || (!is_known && (torn || !is_harmless(sheet, word)))
    {
        return 0;
    }
    match value {
        Some(value) if !is_known || tells_in_prose(sheet, line) || names_others(sheet, line) => value,
        _ => all,
    }
}

/// A name that the sheet does not know, as a sentence can bear it: a long one is cut. None where the name may be a choice or
/// a person, which any word may be that is no word of the sheet mistyped: `lotus = 12`, `anna = 3`.
pub(super) fn spoken(sheet: &Sheet, name: &str) -> Option<String> {
    if !is_harmless(sheet, name) {
        return None;
    }
    let mut short: String = name.chars().take(40).collect();
    if short.len() < name.len() {
        short.push_str("...");
    }
    Some(short)
}

/// Whether a name says nothing beside which word of the sheet was meant, or which kind of thing.
fn is_harmless(sheet: &Sheet, name: &str) -> bool {
    names_only_kinds(name) || sheet.words().any(|word| is_slip(name, word))
}

/// Whether a name is a word mistyped and says nothing beside it: a letter left out, put in, replaced or exchanged with its
/// neighbour, in a long word two. A digit more says something, and so does any letter more where the word itself is one
/// behind which a choice stands: `candidate-7` and `candidateB` are no slips of `candidates`. Of a short word little is left
/// when a letter changes, so that another word is as likely.
fn is_slip(name: &str, word: &str) -> bool {
    let letters = word.chars().count();
    if name.chars().count().abs_diff(letters) > 2 {
        return false;
    }
    let name = name.to_lowercase();
    let far = distance(&name, word);
    let mut rest: Vec<char> = name.chars().collect();
    for letter in word.chars() {
        if let Some(at) = rest.iter().position(|c| *c == letter) {
            rest.swap_remove(at);
        }
    }
    let is_near = match far {
        0 => true,
        1 => letters >= 4,
        2 => letters >= 8 || (letters >= 4 && rest.is_empty()),
        _ => false,
    };
    let tells = disclosure_in(word.as_bytes(), true).is_some();
    is_near && rest.iter().all(|c| matches!(c, '-' | '_') || (!tells && c.is_ascii_lowercase()))
}

/// Whether a line names keys behind its first that the sheet does not know and that are no slips.
fn names_others(sheet: &Sheet, line: &str) -> bool {
    let behind = line.split_once('=').map_or("", |(_, behind)| behind);
    let keys = behind.match_indices('=').map(|(at, _)| behind.get(..at).unwrap_or_default());
    keys.map(|before| before.trim_end_matches([' ', '\t', '"', '\'']))
        .map(|before| before.rsplit(|c: char| !is_of_word(c)).next().unwrap_or_default())
        .any(|key| !is_harmless(sheet, key))
}

/// Whether a line names a choice or identity in other words than those of the sheet.
fn tells_in_prose(sheet: &Sheet, line: &str) -> bool {
    let words = line.split(|c: char| !is_of_word(c));
    let is_others = |word: &&str| !sheet.words().any(|known| known == *word);
    words.filter(is_others).any(|word| disclosure_in_prose(word.as_bytes()))
}

fn is_of_word(c: char) -> bool {
    c.is_alphanumeric() || c == '-' || c == '_'
}

impl Sheet {
    /// The words of the sheet itself: its tables, keys, and the words that its keys may take.
    fn words(&self) -> impl Iterator<Item = &'static str> {
        let of_key = |table: &'static Table| {
            let choices =
                table.keys.iter().flat_map(|key| key.form.choices().iter().map(|choice| choice.word));
            table.keys.iter().map(|key| key.name).chain(choices)
        };
        self.tables.iter().flat_map(move |table| std::iter::once(table.name).chain(of_key(table)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::{Form, free};

    static SHEET: Sheet = Sheet {
        title: "sheet",
        purpose: "",
        tables: &[Table {
            name: "poll",
            many: true,
            meaning: "",
            keys: &[free("candidates", Form::Text, "", ""), free("date", Form::Date, "", "")],
            examples: &[],
        }],
    };

    #[test]
    fn a_log_is_told_from_a_sheet() {
        for log in [
            "unit-event-log 1\n",
            "\u{FEFF}\n{\"a\": 1}",
            "<xml>",
            "[\n {}]",
            "a = 1\n  12 2031-05-10 07:00:05 vote x=y",
            "12 2031-05-10T07:00 vote",
            "- - vote",
        ] {
            assert!(reads_like_evidence(log), "{log}");
        }
        for sheet in ["[[poll]]\n", "[poll]\ndate = 2031-05-10\n", "# 12 2031-05-10 vote\n", "", "12 poll"] {
            assert!(!reads_like_evidence(sheet), "{sheet}");
        }
    }

    #[test]
    fn a_slip_says_nothing_beside_the_word_that_was_meant() {
        for (name, word) in [
            ("plase", "place"),
            ("PLACE", "place"),
            ("tilte", "title"),
            ("pol", "poll"),
            ("batery-mv", "battery-mv"),
            ("candidate", "candidates"),
            ("canddiates", "candidates"),
            ("candi-dates", "candidates"),
            ("by", "by"),
        ] {
            assert!(is_slip(name, word), "{name} {word}");
        }
        for (name, word) in [
            ("bx", "by"),
            ("aap", "was"),
            ("candidate-7", "candidates"),
            ("candidate7", "candidates"),
            ("candidatesb", "candidates"),
            ("candidaten", "candidates"),
            ("poll7", "poll"),
            ("pall\u{e4}", "poll"),
            ("anna", "date"),
            ("paul", "poll"),
        ] {
            assert!(!is_slip(name, word), "{name} {word}");
        }
        assert_eq!(spoken(&SHEET, "voter-id").as_deref(), Some("voter-id"), "a kind of thing");
        assert_eq!(spoken(&SHEET, "lotus"), None);
    }

    #[test]
    fn a_line_is_shown_as_far_as_it_is_one_of_the_sheet() {
        let shown = |line: &'static str, torn| line.get(..shown_until(&SHEET, line, torn));
        for whole in
            ["[[poll]]", "[poll", "date = 5", "candidates = \"x\"", "\"date\" = 1", "date = { date = 1 }"]
        {
            assert_eq!(shown(whole, true), Some(whole));
        }
        assert_eq!(shown("[[pol]]", false), Some("[[pol]]"));
        assert_eq!(shown("dats = \"x\"", false), Some("dats ="));
        assert_eq!(
            shown("date = { candidates = 1, \"date\"=2 }", false),
            Some("date = { candidates = 1, \"date\"=2 }")
        );
        assert_eq!(shown("date = { anna = 1 }", false), Some("date ="));
        assert_eq!(shown("date = { \"anna b\" = 1 }", false), Some("date ="));
        assert_eq!(shown("poll = { date = 1, x\u{e4} = 1 }", false), Some("poll ="));
        assert_eq!(shown("date = \"the voter x\"", false), Some("date ="));
        for covered in ["vote 7", "12;vote;7", "date 7", "weather = x", "[2031-05-10] x", "# x", "", "[x"] {
            assert_eq!(shown(covered, true), Some(""), "{covered}");
        }
        for covered in [
            "candidate-anna = 1",
            "[voter-anna]",
            "  \"x\",",
            "anna = 1",
            "[anna]",
            "poll.anna = 1",
            "\"date x\" = 1",
        ] {
            assert_eq!(shown(covered, false), Some(""), "{covered}");
        }
    }
}
