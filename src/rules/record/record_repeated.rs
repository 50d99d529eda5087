//! One record that stands in the file more than once, word for word.

use super::{EXPORT_AGAIN, WAY_OF_THE_FILE, count, numbers_again, places};
use crate::finding::{Kind, Place, Weight};
use crate::rules::{Against, Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope};

pub(crate) static RULE: Rule = Rule {
    id: "record-repeated",
    family: Family::Record,
    kind: Kind::Shown,
    weight: Weight::Discrepancy,
    title: "A record stands in the file again, word for word and with the same number.",
    asks: "Each record stands in the file once.",
    basis: &[Basis::Unit(
        "record numbers step from each record to the next, so that no two records share one",
    )],
    why: "A unit writes a record once. The same number, time, event and attributes twice in one file are most simply \
          one record that was written out twice. Replay takes it once. Counts made on the file by other means may \
          have taken it twice.",
    ordinary: &[
        Ordinary::new(
            "A transfer was taken up again and wrote some records a second time.",
            "the exporter's own report of the transfer, and a second export",
        )
        .against(Against::ClosingAgrees)
        .against(Against::ClosingAgrees),
        Ordinary::new(
            "Two exports that overlap were put into one file.",
            "whoever put the file together, and the closing lines of the single exports",
        ),
    ],
    look_next: &[EXPORT_AGAIN, WAY_OF_THE_FILE],
    needs: &[Needs::Numbers],
    scope: Scope::Text,
    occasions: "records with a number",
    examples: &[
        Example {
            title: "An enable and its vote stand in the file twice.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:31 vote\n\
                  1201 2031-05-10 07:00:05 enable\n\
                  ^ record-repeated\n\
                  1202 2031-05-10 07:00:31 vote\n\
                  1203 2031-05-10 07:01:40 enable\n\
                  1204 2031-05-10 07:02:02 vote\n",
            case: "",
        },
        Example {
            title: "Near miss: two records say the same at the same time under numbers of their own.",
            log: "1201 2031-05-10 07:00:05 total shown=0\n\
                  1202 2031-05-10 07:00:05 total shown=0\n\
                  1203 2031-05-10 07:01:40 enable\n\
                  1204 2031-05-10 07:02:02 vote\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        let again = numbers_again(known);
        let same: Vec<(usize, usize)> =
            again.into_iter().filter(|(_, again)| is_repeated(known, *again)).collect();
        for run in same.chunk_by(|(_, one), (_, next)| one + 1 == *next) {
            if let Some((_, first)) = run.first()
                && let Some(record) = known.log.records().get(*first)
            {
                walk.contrary(Place::Line(record.line), contrary(known, run));
            }
        }
        for (place, record) in known.log.records().iter().enumerate() {
            if record.number.is_some() && same.binary_search_by_key(&place, |(_, again)| *again).is_err() {
                walk.in_order(Place::Line(record.line));
            }
        }
    },
};

/// Whether replay took this record as the second writing of an earlier one.
pub(super) fn is_repeated(known: &Known<'_>, place: usize) -> bool {
    // The list is in the order of its second members.
    known.replay.repeated.binary_search_by_key(&place, |(_, again)| *again).is_ok()
}

fn contrary(known: &Known<'_>, run: &[(usize, usize)]) -> Contrary {
    let line = |place: usize| known.log.records().get(place).map(|record| record.line);
    let name = |place: usize| {
        known.log.records().get(place).map_or_else(String::new, |record| known.record_name(record))
    };
    let ends = [run.first(), run.last()];
    let mut evidence: Vec<usize> = ends.iter().flatten().filter_map(|(first, _)| line(*first)).collect();
    evidence.extend(run.iter().skip(1).filter_map(|(_, again)| line(*again)));
    let number = |place: usize| known.log.line_number(line(place).unwrap_or(0));
    let shows = match ends {
        [Some((first, again)), Some((_, last))] if again == last => {
            format!(
                "On line {} {} stands again, as on line {}.",
                number(*again),
                name(*again),
                number(*first)
            )
        }
        [Some((_, again)), Some((_, last))] => format!(
            "From line {} to line {}, {} stand again, from {} to {}.",
            number(*again),
            number(*last),
            count(run.len() as u64, "record", "records"),
            name(*again),
            name(*last)
        ),
        _ => String::new(),
    };
    Contrary {
        others: places(&evidence),
        expected: "Each record stands in the file once.".to_owned(),
        shows,
        measured: Some(count(run.len() as u64, "repeated record", "repeated records")),
        assumptions: Vec::new(),
    }
}
