//! One record number on records that say different things.

use super::{EXPORT_AGAIN, WAY_OF_THE_FILE, count, numbers_again, places, record_repeated};
use crate::finding::{Kind, Place, Weight, capital};
use crate::rules::{Against, Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope};

pub(crate) static RULE: Rule = Rule {
    id: "number-repeated",
    family: Family::Record,
    kind: Kind::Contradiction,
    weight: Weight::Discrepancy,
    title: "Records that say different things carry the same number.",
    asks: "No two records that differ carry the same number.",
    basis: &[Basis::Unit(
        "record numbers step from each record to the next, so that no two records share one",
    )],
    why: "A unit as described gives each number once, until its counter has gone round. Two different records under \
          one number cannot both stand in the memory of one such unit. Which of them belongs there, the numbers \
          cannot say.",
    ordinary: &[
        Ordinary::new(
            "Exports of two units, or of two memories of one unit, were put into one file.",
            "whoever put the file together, and the serials on the single exports",
        ),
        Ordinary::new(
            "The counter started again after a repair or a change of the memory.",
            "the papers of the repair, and the maker's description of the counter",
        ),
        Ordinary::new(
            "A character of the number or of the text changed in a transfer.",
            "a second export, and the closing line's digest",
        )
        .against(Against::ClosingAgrees)
        .against(Against::ClosingAgrees),
    ],
    look_next: &[
        EXPORT_AGAIN,
        WAY_OF_THE_FILE,
        "The papers of repairs and changed parts, from the custodian of the unit.",
    ],
    needs: &[Needs::Numbers],
    scope: Scope::Text,
    occasions: "records with a number",
    examples: &[
        Example {
            title: "The same number stands on a total and on a paper warning.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:31 vote\n\
                  1203 2031-05-10 07:00:40 total shown=1\n\
                  1203 2031-05-10 07:00:45 paper-low\n\
                  ^ number-repeated\n\
                  1204 2031-05-10 07:01:40 enable\n\
                  1205 2031-05-10 07:02:02 vote\n",
            case: "",
        },
        Example {
            title: "Near miss: the record stands twice and says the same, which is another rule's matter.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:31 vote\n\
                  1203 2031-05-10 07:00:40 total shown=1\n\
                  1203 2031-05-10 07:00:40 total shown=1\n\
                  ^ record-repeated\n\
                  1204 2031-05-10 07:01:40 enable\n\
                  1205 2031-05-10 07:02:02 vote\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        let mut differ = numbers_again(known);
        differ.retain(|(_, again)| !record_repeated::is_repeated(known, *again));
        for run in differ.chunk_by(|(_, one), (_, next)| one + 1 == *next) {
            if let Some((_, first)) = run.first()
                && let Some(record) = known.log.records().get(*first)
            {
                walk.contrary(Place::Line(record.line), contrary(known, run));
            }
        }
        for (place, record) in known.log.records().iter().enumerate() {
            if record.number.is_some() && differ.binary_search_by_key(&place, |(_, again)| *again).is_err() {
                walk.in_order(Place::Line(record.line));
            }
        }
    },
};

fn contrary(known: &Known<'_>, run: &[(usize, usize)]) -> Contrary {
    let records = known.log.records();
    let line = |place: usize| records.get(place).map(|record| record.line);
    let name = |place: usize| records.get(place).map_or_else(String::new, |record| known.record_name(record));
    let ends = [run.first(), run.last()];
    let mut evidence: Vec<usize> = ends.iter().flatten().filter_map(|(first, _)| line(*first)).collect();
    evidence.extend(run.iter().skip(1).filter_map(|(_, again)| line(*again)));
    let shows = match ends {
        [Some((first, again)), Some((_, last))] if again == last => format!(
            "{} on line {} and {} on line {} carry one number and differ.",
            capital(&name(*first)),
            known.log.line_number(line(*first).unwrap_or(0)),
            name(*again),
            known.log.line_number(line(*again).unwrap_or(0))
        ),
        [Some((_, again)), Some((_, last))] => format!(
            "{}, from {} to {}, carry numbers that stood before on other records.",
            count(run.len() as u64, "record", "records"),
            name(*again),
            name(*last)
        ),
        _ => String::new(),
    };
    Contrary {
        others: places(&evidence),
        expected: "A number stands on one record only.".to_owned(),
        shows,
        measured: Some(count(run.len() as u64, "number used again", "numbers used again")),
        assumptions: Vec::new(),
    }
}
