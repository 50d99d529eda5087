//! A closing line whose count or digest is not that of the lines before it, or lines that stand behind it.

use super::{EXPORT_AGAIN, EXPORTER, WAY_OF_THE_FILE, count, lines, places};
use crate::finding::{Kind, Place, Weight};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Want};
use crate::syntax::{Closing, LineKind, Secrecy};

pub(crate) static RULE: Rule = Rule {
    id: "closing-disagrees",
    family: Family::Record,
    kind: Kind::Shown,
    weight: Weight::Discrepancy,
    title: "The closing line and the lines of the file disagree.",
    asks: "The file holds the lines that its closing line counts and digests, and none behind it.",
    basis: &[Basis::Format("the closing line states the number of record lines and their SHA-256 digest")],
    why: "The exporter writes the closing line last. When its count or digest is not that of the lines found, the file \
          is not as the exporter wrote it, or the exporter counted otherwise. An intact closing line shows \
          that the lines are those that it was made for. Whoever can write a closing line anew can make it fit other \
          lines, and it cannot show that the exporter wrote all that the unit held.",
    ordinary: &[
        Ordinary::new(
            "Where the count differs: the file was cut short, or lost or gained lines in a transfer.",
            "the file as it was first written out, and its digest in the custody papers",
        ),
        Ordinary::new(
            "Where only the digest differs: a program that opened and saved the file changed spaces or characters.",
            "a comparison with the file as first written out, byte by byte",
        ),
        Ordinary::new(
            "The exporter counts or digests otherwise than the format says.",
            "the closing lines of its other exports",
        ),
    ],
    look_next: &[WAY_OF_THE_FILE, EXPORT_AGAIN],
    needs: &[Needs::ClosingLine],
    scope: Scope::Text,
    occasions: "statements of the closing line",
    examples: &[
        Example {
            title: "The closing line counts one record more than the file holds.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:31 vote\n\
                  end 3\n\
                  ^ closing-disagrees\n",
            case: "",
        },
        Example {
            title: "A record stands behind the closing line.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:31 vote\n\
                  $close\n\
                  1203 2031-05-10 07:01:40 total\n\
                  ^ closing-disagrees\n",
            case: "",
        },
        Example {
            title: "Near miss: count and digest are right, and a comment stands behind them.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:31 vote\n\
                  $close\n\
                  ; received by the registrar's office\n",
            case: "",
        },
        Example {
            title: "Near miss: the count is right and no digest is stated. Whether the text is whole stays open.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:31 vote\n\
                  end 2\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        let Some(closing) = known.log.closing() else {
            return;
        };
        let at = Place::Line(closing.line);
        let counted = closing.count == closing.found_count;
        let digested = closing.digest.is_none_or(|digest| digest == closing.found_digest);
        if counted && digested {
            walk.in_order(at);
        } else {
            walk.contrary(at, contrary(known, closing, counted, digested));
        }
        if closing.digest.is_none() {
            walk.open(
                at,
                Want::Other(
                    "the closing line states no digest, so that only the number of lines can be compared"
                        .to_owned(),
                    EXPORTER,
                    "the digest of the file as it was first written out".to_owned(),
                ),
            );
        }
        let behind: Vec<usize> = known
            .log
            .lines()
            .iter()
            .enumerate()
            .skip(closing.line + 1)
            .filter(|(_, line)| matches!(line.kind, LineKind::Record(_) | LineKind::Unread))
            .map(|(index, _)| index)
            .collect();
        if let [first, rest @ ..] = behind.as_slice() {
            let mut evidence = vec![closing.line];
            evidence.extend(rest);
            let contrary = Contrary {
                others: places(&evidence),
                expected: "Nothing but blank lines and comments stands behind the closing line.".to_owned(),
                shows: format!(
                    "Behind the closing line on line {}, {}: {}.",
                    known.log.line_number(closing.line),
                    count(behind.len() as u64, "line stands", "lines stand"),
                    lines(known, *first, rest.last().copied().unwrap_or(*first))
                ),
                ..Contrary::default()
            };
            walk.contrary(Place::Line(*first), contrary);
        }
    },
};

fn contrary(known: &Known<'_>, closing: &Closing, counted: bool, digested: bool) -> Contrary {
    let mut shows = Vec::new();
    if counted {
        shows.push(format!("The count of {} is right.", closing.count));
    } else {
        shows.push(format!(
            "The closing line counts {}; {} before it.",
            count(closing.count, "record line", "record lines"),
            count(closing.found_count, "stands", "stand")
        ));
    }
    match closing.digest {
        None => {}
        Some(_) if digested => shows.push("The digest is that of the lines found.".to_owned()),
        Some(stated) if may_print_digests(known, closing) => {
            shows.push(format!(
                "The digest stated is {stated}, that of the lines found is {}.",
                closing.found_digest
            ));
        }
        Some(_) => shows.push("The digest stated is not that of the lines found.".to_owned()),
    }
    let measured = (!counted).then(|| {
        let difference = closing.count.abs_diff(closing.found_count);
        let word = if closing.count > closing.found_count { "fewer" } else { "more" };
        format!("{} {word} than stated", count(difference, "line", "lines"))
    });
    Contrary {
        expected: "Count and digest of the closing line are those of the record lines before it.".to_owned(),
        shows: shows.join(" "),
        measured,
        ..Contrary::default()
    }
}

/// A digest over lines that secrecy covers in part lets the covered part be found by trying every value, so it is
/// printed only when nothing of the lines is covered, and never for a single line.
fn may_print_digests(known: &Known<'_>, closing: &Closing) -> bool {
    let secrecy = Secrecy::of(Vec::new(), known.case.names_several_ballot_units());
    closing.found_count > 1 && !(0..closing.line).any(|line| known.log.is_veiled(line, &secrecy))
}
