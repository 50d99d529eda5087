//! Record numbers that go back from one line to the next.

use super::{EXPORT_AGAIN, EXPORTER, WAY_OF_THE_FILE, count, numbers_again, places};
use crate::finding::{Kind, Place, Weight, capital};
use crate::replay::{Order, order};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Want};

pub(crate) static RULE: Rule = Rule {
    id: "numbers-out-of-order",
    family: Family::Record,
    kind: Kind::Shown,
    weight: Weight::Unusual,
    title: "Record numbers go back from one record of the file to the next.",
    asks: "In the order of the file, record numbers rise.",
    basis: &[
        Basis::Unit("how record numbers step, and after how many digits they start again"),
        Basis::Format("records stand in the order in which they were recorded, or as the ring stores them"),
    ],
    why: "Numbers rise as a unit records. Where they go back, the file is in another order, or parts of it come from \
          elsewhere. When every record has its own number, replay follows the numbers. Else the order is in doubt \
          there, and answers that rest on it stay open.",
    ordinary: &[
        Ordinary::new(
            "The numbering of this model starts again after so many digits, and the description does not say so.",
            "the maker's description of the numbering",
        ),
        Ordinary::new(
            "The export was written newest first, or sorted by something else than the number.",
            "the exporter's description, and whether the whole file follows that order",
        ),
        Ordinary::new(
            "Several exports were put into one file one after the other.",
            "whoever put the file together",
        ),
        Ordinary::new(
            "The counter started again after a repair or a change of the memory.",
            "the papers of the repair, and the maker's description of the counter",
        ),
    ],
    look_next: &[EXPORT_AGAIN, WAY_OF_THE_FILE],
    needs: &[Needs::Numbers],
    scope: Scope::Text,
    occasions: "steps from one record number to the next",
    examples: &[
        Example {
            title: "A later record stands before an earlier one.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1203 2031-05-10 07:00:50 enable\n\
                  1202 2031-05-10 07:00:31 vote\n\
                  ^ numbers-out-of-order\n\
                  1204 2031-05-10 07:01:40 vote\n",
            case: "",
        },
        Example {
            title: "A file written newest first is one finding.",
            log: "1204 2031-05-10 07:01:40 vote\n\
                  1203 2031-05-10 07:00:50 enable\n\
                  ^ numbers-out-of-order\n\
                  1202 2031-05-10 07:00:31 vote\n\
                  1201 2031-05-10 07:00:05 enable\n",
            case: "",
        },
        Example {
            title: "Near miss: the file holds the ring as stored, and its oldest record follows its newest.",
            log: "1203 2031-05-10 07:00:50 enable\n\
                  1204 2031-05-10 07:01:40 vote\n\
                  1201 2031-05-10 07:00:05 enable\n\
                  ^ ring-order\n\
                  1202 2031-05-10 07:00:31 vote\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        let records = known.log.records();
        // A number that stood before is another rule's matter.
        let again = numbers_again(known);
        let mut last: Option<(u64, usize)> = None;
        // A run of records each of which goes back: (first before the run, places in the run).
        let mut run: Vec<usize> = Vec::new();
        for (place, record) in records.iter().enumerate() {
            let Some(number) = record.number else { continue };
            if again.binary_search_by_key(&place, |(_, again)| *again).is_ok() {
                continue;
            }
            if let Some((before, at)) = last {
                let goes_back =
                    number < before && order::missing_between(known.unit, before, number).is_none();
                if goes_back && known.replay.order != Order::Rotated(place) {
                    if run.is_empty() {
                        run.push(at);
                    }
                    run.push(place);
                } else {
                    if let Some((main, contrary)) = contrary(known, &run) {
                        walk.contrary(main, contrary);
                    }
                    run.clear();
                    walk.in_order(Place::Line(record.line));
                }
            }
            last = Some((number, place));
        }
        if let Some((main, contrary)) = contrary(known, &run) {
            walk.contrary(main, contrary);
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

/// A run of records: the first stands before the first step back.
fn contrary(known: &Known<'_>, run: &[usize]) -> Option<(Place, Contrary)> {
    let record = |place: Option<&usize>| known.log.records().get(*place?);
    let [before, main, last] = [record(run.first())?, record(run.get(1))?, record(run.last())?];
    let lines: Vec<usize> =
        run.iter().filter_map(|place| record(Some(place))).map(|record| record.line).collect();
    let shows = if run.len() == 2 {
        format!("{} stands after {} in the file.", known.record_name(main), known.record_name(before))
    } else {
        format!(
            "From {} to {}, each number is less than the one before it.",
            known.record_name(before),
            known.record_name(last)
        )
    };
    let steps = run.len() as u64 - 1;
    let contrary = Contrary {
        others: places(&lines),
        expected: "The number of a record is greater than the number of the record before it.".to_owned(),
        shows: capital(&shows),
        measured: Some(count(steps, "step back", "steps back")),
        assumptions: Vec::new(),
    };
    Some((Place::Line(main.line), contrary))
}
