//! Lines that could not be read as the format wants.

use std::collections::BTreeMap;

use super::{EXPORT_AGAIN, EXPORTER, WAY_OF_THE_FILE, lines, places};
use crate::finding::{Kind, Place, Weight, capital};
use crate::rules::{Against, Basis, Contrary, Example, Family, Known, Ordinary, Rule, Scope, Want};
use crate::syntax::LineKind;

pub(crate) static RULE: Rule = Rule {
    id: "unreadable-line",
    family: Family::Record,
    kind: Kind::Shown,
    weight: Weight::Remark,
    title: "Lines stand in the file that could not be read.",
    asks: "Every line of the file can be read as the format wants.",
    basis: &[Basis::Format(
        "every line is a record, a header, a comment, the heading, the closing line, or blank",
    )],
    why: "What an unread line says is not known, and it may hold no record, one, or several whose line ends were \
          lost. Replay goes on behind it from what the numbers on both sides allow, and other answers stay open \
          because of it. Nothing is guessed about its text.",
    ordinary: &[
        Ordinary::new(
            "The file was opened and saved by a program that changed characters or line ends.",
            "the file as it was first written out, and its digest in the custody papers",
        )
        .against(Against::ClosingAgrees),
        Ordinary::new(
            "The exporter writes a form that another version of the format knows.",
            "the description of the exporter, and whether the same form recurs in its other exports",
        ),
        Ordinary::new(
            "A page header, a mail signature or another text that is no record stands among the records.",
            "the line itself, and the record numbers on both sides of it",
        ),
        Ordinary::new(
            "The exporter writes year-day-month, so that dates with a day up to 12 are read with day and month \
                      exchanged and the others cannot be read.",
            "whether all dates of the file rise when read so, and the exporter's description",
        ),
    ],
    look_next: &[EXPORT_AGAIN, WAY_OF_THE_FILE],
    needs: &[],
    scope: Scope::Text,
    occasions: "lines",
    examples: &[
        Example {
            title: "A second of 61 cannot be read as a time.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:61 vote\n\
                  ^ unreadable-line\n\
                  1203 2031-05-10 07:01:40 enable\n\
                  1204 2031-05-10 07:02:02 vote\n",
            case: "",
        },
        Example {
            title: "Two unread lines in a row are one finding.",
            log: "1201 2031-05-10 07:00:05 total\n\
                  Page 2 of 14\n\
                  ^ unreadable-line\n\
                  Printed by the exporter\n\
                  1202 2031-05-10 07:01:40 total\n",
            case: "",
        },
        Example {
            title: "Near miss: a comment and a blank line are read.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  ; the next line was blank in the export\n\
                  \n\
                  1202 2031-05-10 07:00:31 vote\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        if known.log.lines().iter().all(|line| line.kind == LineKind::Blank) {
            walk.does_not_apply("the file holds no line with a text");
            return;
        }
        let mut run: Option<(usize, usize)> = None;
        for (index, line) in known.log.lines().iter().enumerate() {
            if line.kind == LineKind::Unread {
                run = Some((run.map_or(index, |(first, _)| first), index));
                continue;
            }
            if let Some((first, last)) = run.take() {
                walk.contrary(Place::Line(first), contrary(known, first, last));
            }
            if line.kind != LineKind::Blank {
                walk.in_order(Place::Line(index));
            }
        }
        if let Some((first, last)) = run {
            walk.contrary(Place::Line(first), contrary(known, first, last));
        }
        if known.log.lines_not_read() > 0 {
            walk.unseen(Want::Other(
                "the log has more lines than are read of one log, and the rest was only counted".to_owned(),
                EXPORTER,
                "the export in several files, each within the limit of lines".to_owned(),
            ));
        }
    },
};

fn contrary(known: &Known<'_>, first: usize, last: usize) -> Contrary {
    let faults = known.log.faults();
    let from = faults.partition_point(|fault| fault.line < first);
    let to = faults.partition_point(|fault| fault.line <= last);
    let mut codes: BTreeMap<&'static str, usize> = BTreeMap::new();
    for fault in faults.get(from..to).unwrap_or_default() {
        *codes.entry(fault.code.entry().message).or_default() += 1;
    }
    let codes: Vec<String> = codes
        .into_iter()
        .map(
            |(code, times)| {
                if times == 1 { format!("'{code}'") } else { format!("'{code}' ({times} times)") }
            },
        )
        .collect();
    let codes =
        if codes.is_empty() { "not kept, for there are too many".to_owned() } else { codes.join(", ") };
    let which = capital(&lines(known, first, last));
    Contrary {
        others: places(&(first + 1..=last).collect::<Vec<usize>>()),
        expected: "Each line is of a kind that the format knows.".to_owned(),
        shows: format!("{which} could not be read. What is at fault: {codes}."),
        ..Contrary::default()
    }
}
