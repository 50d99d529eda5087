//! Every short log, for what holds of every gap.

use std::sync::Arc;

use super::*;
use crate::source::Source;

/// Every short log of records with numbers from 1 to 4, records without, and lines that cannot be read, with and without
/// an event that the vocabulary does not know.
#[test]
fn no_gap_stands_for_no_record_at_all() {
    let units =
        [UnitDescription::kestrane(), UnitDescription { number_step: None, ..UnitDescription::kestrane() }];
    let (mut logs, mut gaps) = (0, 0);
    for length in 0..=5_u32 {
        for nth in 0..7_usize.pow(length) {
            let mut text = String::from("unit-event-log 1\n");
            let mut rest = nth;
            for _ in 0..length {
                text.push_str(match rest % 7 {
                    0 => "? ?\n",
                    1 => "- - enable\n",
                    2 => "1 - enable\n",
                    3 => "2 - enable\n",
                    4 => "3 - enable\n",
                    5 => "4 - enable\n",
                    _ => "- - no-such-event\n",
                });
                rest /= 7;
            }
            let read = crate::syntax::read(Arc::new(Source::new("log", text.clone().into_bytes())));
            for (log, unit) in read.iter().flat_map(|log| units.iter().map(move |unit| (log, unit))) {
                logs += 1;
                for step in Sequence::of(log, unit).steps {
                    let Step::Gap(gap) = step else { continue };
                    gaps += 1;
                    assert!(gap.most.is_none_or(|most| most >= gap.least.max(1)), "{gap:?} in\n{text}");
                }
            }
        }
    }
    assert!(logs > 30_000 && gaps > 30_000, "{logs} {gaps}");
}
