//! More records in one log than the unit keeps.

use super::{EXPORTER, MAKER, WAY_OF_THE_FILE, count};
use crate::counts::figures;
use crate::finding::{Kind, Place, Weight};
use crate::rules::record::record_repeated::is_repeated;
use crate::rules::{Basis, Contrary, Example, Family, Known, Ordinary, Rule, Scope, Want};
use crate::source::Shown;
use crate::syntax::LineKind;

pub(crate) static RULE: Rule = Rule {
    id: "more-records-than-kept",
    family: Family::Record,
    kind: Kind::Contradiction,
    weight: Weight::Discrepancy,
    title: "More records stand in the log than the unit keeps.",
    asks: "The log holds at most as many records as the unit keeps.",
    basis: &[Basis::Unit("how many records the unit keeps")],
    why: "A unit that keeps its last records and overwrites older ones cannot give out more of them in one export than \
          it keeps. The limit used here is the greater of the header's and the unit description's. Records that \
          stand in the file twice are counted once. A line that cannot be read may have been as many records as it has \
          room for, at six bytes each.",
    ordinary: &[
        Ordinary::new(
            "Several exports of the unit were put into one file.",
            "whoever put the file together, and the closing lines of the single exports",
        ),
        Ordinary::new(
            "The description is of another model or year, which keeps fewer records.",
            "the maker's description of this very unit",
        ),
    ],
    look_next: &["The maker's description: how many records this model keeps.", WAY_OF_THE_FILE],
    needs: &[],
    scope: Scope::Text,
    occasions: "exports counted",
    examples: &[
        Example {
            title: "The file holds 1,001 records; the unit keeps 1,000.",
            log: ONE_MORE.text(),
            case: "",
        },
        Example {
            title: "Near miss: the header states fewer records than the file holds, and the unit description more.",
            log: "keeps: 2\n\
                  1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:31 vote\n\
                  1203 2031-05-10 07:01:40 total\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        let header = known.log.header("keeps");
        let stated = header.and_then(crate::syntax::Value::number);
        let limit = known.unit.keeps.max(stated.unwrap_or(0));
        let records = known.log.records().iter().enumerate();
        let distinct = records.filter(|(place, _)| !is_repeated(known, *place));
        let with_unread = distinct.clone().count() as u64 + in_unread_lines(known);
        let mut distinct = distinct.skip(usize::try_from(limit).unwrap_or(usize::MAX));
        let Some((_, main)) = distinct.next() else {
            if known.log.lines_not_read() > 0 {
                walk.open(
                    Place::Log,
                    Want::Other(
                        "the log has more lines than are read of one log, and the rest was only counted"
                            .to_owned(),
                        EXPORTER,
                        "the export in several files, each within the limit of lines".to_owned(),
                    ),
                );
            } else if with_unread > limit {
                walk.open(
                    Place::Log,
                    Want::Other(
                        "lines that cannot be read may have been records, and with them there would be more than the unit keeps"
                            .to_owned(),
                        EXPORTER,
                        "a second export of the unit, in which every line can be read".to_owned(),
                    ),
                );
            } else {
                walk.in_order(Place::Log);
            }
            return;
        };
        if header.is_some() && stated.is_none() {
            walk.open(
                Place::Log,
                Want::Other(
                    "the header states in a form that cannot be read how many records the unit keeps"
                        .to_owned(),
                    MAKER,
                    "how many records this model keeps".to_owned(),
                ),
            );
            return;
        }
        let over = 1 + distinct.count() as u64;
        let contrary = Contrary {
            others: known.log.header_line("keeps").map(|(line, _)| Place::Line(line)).into_iter().collect(),
            expected: format!("At most {} in the log.", count(limit, "record stands", "records stand")),
            shows: format!(
                "The log holds {}; the unit description '{}' has {}, and the header {}.",
                count(limit.saturating_add(over), "different record", "different records"),
                Shown::inert(&known.unit.name),
                figures(known.unit.keeps.into()),
                stated.map_or_else(
                    || "states none".to_owned(),
                    |keeps| format!("states {}", figures(keeps.into()))
                )
            ),
            measured: Some(format!("{} more than the unit keeps", count(over, "record", "records"))),
            assumptions: Vec::new(),
        };
        walk.contrary(Place::Line(main.line), contrary);
    },
};

/// The most records that lines which cannot be read may have been: the shortest, `- - a`, has five bytes and the end of its
/// line.
fn in_unread_lines(known: &Known<'_>) -> u64 {
    let unread = known.log.lines().iter().filter(|line| matches!(line.kind, LineKind::Unread));
    unread.map(|line| ((line.span.len() as u64).saturating_add(1) / 6).max(1)).sum()
}

/// 1,001 records and the mark under the last of them. A limit of 1,000 can only be shown by going past it.
struct OneMore([u8; OneMore::LENGTH]);

static ONE_MORE: OneMore = OneMore::write();

impl OneMore {
    const LINE: &'static [u8] = b"- - total\n";
    const MARK: &'static [u8] = b"^ more-records-than-kept\n";
    const LENGTH: usize = 1001 * OneMore::LINE.len() + OneMore::MARK.len();

    #[allow(clippy::indexing_slicing, reason = "worked out by the compiler, which refuses a wrong place")]
    const fn write() -> OneMore {
        let mut text = [0u8; OneMore::LENGTH];
        let records = OneMore::LENGTH - OneMore::MARK.len();
        let mut at = 0;
        while at < OneMore::LENGTH {
            text[at] = if at < records {
                OneMore::LINE[at % OneMore::LINE.len()]
            } else {
                OneMore::MARK[at - records]
            };
            at += 1;
        }
        OneMore(text)
    }

    const fn text(&self) -> &str {
        match std::str::from_utf8(&self.0) {
            Ok(text) => text,
            Err(_) => "",
        }
    }
}
