//! Readings whose display does not fit between those of the records beside them, whatever the true times were.
//!
//! Within one segment the display never goes back. So of two in the order of recording the earlier may begin no later than
//! the later ends; a reading that breaks this with a record is wrong by itself, or stands behind another record, or the
//! clock stepped to and fro unseen. No bound on a rate is needed for it.

use super::network::Shown;
use super::segment::{self, Layout};
use super::{Clock, Conflict, Placement, Premise};

/// A reading that displays something behind a record of a known segment.
struct Read<'l> {
    place: usize,
    step: usize,
    segment: usize,
    shown: Shown,
    /// Steps in the order of recording, among them its own.
    order: &'l [usize],
}

impl Clock<'_> {
    /// The conflicts of readings with the displays beside them: of one reading with a record, else of two readings.
    pub(super) fn misread(&self, layout: &Layout) -> Vec<Conflict> {
        let reads: Vec<Read<'_>> =
            (0..self.readings.len()).filter_map(|place| self.read(place, layout)).collect();
        let mut conflicts: Vec<Conflict> = Vec::new();
        let mut fitting: Vec<&Read<'_>> = Vec::new();
        for read in &reads {
            match against(read, layout) {
                Some(node) => conflicts.push(self.apart(&[read.place], node, self.node(read.place))),
                None => fitting.push(read),
            }
        }
        // By segment, and then as they were taken: of those taken before, the one that displayed most.
        fitting.sort_by_key(|read| (read.segment, read.step, read.place));
        for (at, later) in fitting.iter().enumerate() {
            let before = fitting.get(..at).unwrap_or_default();
            let earlier = before.iter().filter(|earlier| {
                earlier.segment == later.segment
                    && earlier.step < later.step
                    && later.order.binary_search(&earlier.step).is_ok()
            });
            for earlier in earlier.filter(|earlier| earlier.shown.from >= later.shown.to) {
                let pair = [earlier.place.min(later.place), earlier.place.max(later.place)];
                conflicts.push(self.apart(&pair, self.node(earlier.place), self.node(later.place)));
            }
        }
        conflicts.sort_by(|one, other| one.readings.cmp(&other.readings));
        conflicts
    }

    fn read<'l>(&self, place: usize, layout: &'l Layout) -> Option<Read<'l>> {
        let reading = self.readings.get(place)?;
        let Placement::After { step, segment: Some(segment) } = reading.placement else { return None };
        let shown = segment::shown(self.node(place), reading.displayed?, self.grain());
        let order = layout.ordered.iter().find(|steps| steps.binary_search(&step).is_ok())?;
        Some(Read { place, step, segment, shown, order })
    }

    fn apart(&self, readings: &[usize], one: usize, other: usize) -> Conflict {
        let mut rests_on: Vec<Premise> =
            readings.iter().flat_map(|reading| self.reading_premises(*reading)).collect();
        rests_on.extend(self.unstepped(&[one, other]));
        rests_on.push(self.in_order((one, other)));
        rests_on.sort();
        Conflict { readings: readings.to_vec(), rests_on }
    }

    fn node(&self, place: usize) -> usize {
        segment::node(self.records.len()) + place
    }
}

/// The node of a record whose display a reading contradicts: the nearest one.
fn against(read: &Read<'_>, layout: &Layout) -> Option<usize> {
    let row = layout.shown.get(read.segment)?;
    let step_of =
        |shown: &Shown| shown.node.checked_sub(1).filter(|step| read.order.binary_search(step).is_ok());
    let apart = row.iter().filter(|shown| match step_of(shown) {
        Some(step) if step <= read.step => shown.from >= read.shown.to,
        Some(_) => read.shown.from >= shown.to,
        None => false,
    });
    apart.map(|shown| shown.node).min_by_key(|node| node.abs_diff(segment::node(read.step)))
}
