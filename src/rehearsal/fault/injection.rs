//! A life into which a fault is put: where there is room for it, and what is changed.

use std::ops::Range;

use crate::case::Phase;
use crate::event::Event;
use crate::rehearsal::chance::Chance;
use crate::rehearsal::key::{Draft, How, Said, Spot};
use crate::rehearsal::memory::{Entry, Id};
use crate::rehearsal::unwritten::{Print, Unwritten};
use crate::syntax::Stamp;

/// Answers that find nothing.
pub(super) const SILENT: &[Said] = &[Said::Kept, Said::CannotBeTold, Said::DoesNotApply];

/// Answers that leave it open.
pub(super) const OPEN: &[Said] = &[Said::CannotBeTold, Said::DoesNotApply];

/// Closing hour of the poll, in milliseconds of its day.
const CLOSES: i64 = 18 * 3_600_000;

/// Records on either side of a fault into which no other is put.
const MARGIN: usize = 6;

/// A life into which faults are put.
pub(super) struct Injection {
    pub(super) life: Unwritten,
    pub(super) chance: Chance,
    pub(super) size: i64,
    pub(super) key: Draft,
    /// How many records the export holds, where it holds the last ones alone.
    pub(super) last: Option<usize>,
    /// Records that another fault is about.
    taken: Vec<Id>,
}

impl Injection {
    pub(super) fn into(life: Unwritten, chance: Chance) -> Injection {
        Injection { life, chance, size: 0, key: Draft::default(), last: None, taken: Vec::new() }
    }

    /// The place of the first record that the export holds.
    pub(super) fn first_held(&self) -> usize {
        self.last.map_or(0, |last| self.entries().len().saturating_sub(last))
    }

    pub(super) fn entries(&self) -> &[Entry] {
        &self.life.memory.entries
    }

    pub(super) fn entry(&self, place: usize) -> Option<&Entry> {
        self.life.memory.entries.get(place)
    }

    pub(super) fn entry_mut(&mut self, place: usize) -> Option<&mut Entry> {
        self.life.memory.entries.get_mut(place)
    }

    pub(super) fn id(&self, place: usize) -> Option<Id> {
        self.entry(place).map(|entry| entry.id)
    }

    pub(super) fn event(&self, place: usize) -> Option<Event> {
        self.entry(place).map(|entry| entry.event)
    }

    /// The events of a phase; of the last, where there are several.
    pub(super) fn phase(&self, phase: Phase) -> Option<Range<usize>> {
        self.life.papers.phases.iter().rfind(|(of, ..)| *of == phase).map(|(_, places, _)| places.clone())
    }

    /// The places in a stretch at which an event stands, and no other fault does.
    pub(super) fn places(&self, stretch: Range<usize>, event: Event) -> Vec<usize> {
        stretch.filter(|at| self.event(*at) == Some(event) && self.is_free(*at)).collect()
    }

    /// Whether no other fault is near.
    fn is_free(&self, place: usize) -> bool {
        let near = place.saturating_sub(MARGIN)..=place + MARGIN;
        !near.into_iter().filter_map(|at| self.id(at)).any(|id| self.taken.contains(&id))
    }

    /// Places of enables in the poll that stand between two votes with nothing else between.
    pub(super) fn enables_between_votes(&self) -> Vec<usize> {
        let Some(poll) = self.phase(Phase::Poll) else { return Vec::new() };
        let is = |at: usize, event| self.event(at) == Some(event);
        let fits =
            |at: &usize| is(*at + 1, Event::Vote) && at.checked_sub(1).is_some_and(|b| is(b, Event::Vote));
        self.places(poll, Event::Enable).into_iter().filter(fits).collect()
    }

    /// One of some places, by chance; no other fault comes near it.
    pub(super) fn pick(&mut self, places: &[usize]) -> Option<usize> {
        let place = self.chance.one_of(places).copied()?;
        self.taken.extend(self.id(place));
        Some(place)
    }

    /// Puts an event before a place, and says what it is known by.
    pub(super) fn insert(
        &mut self,
        place: usize,
        moment: i64,
        event: Event,
        attributes: Vec<(&'static str, String)>,
    ) -> Option<Id> {
        let time = match place.checked_sub(1).and_then(|before| self.entry(before)) {
            Some(before) => {
                let shown = before.time.ms() + (moment - before.moment);
                let step = before.time.step_ms();
                Stamp::new(shown - shown.rem_euclid(step), before.time.digits())
            }
            None => self.entry(place)?.time,
        };
        let entry = self.life.memory.entry(moment, time, event, attributes);
        let id = entry.id;
        self.life.memory.entries.insert(place, entry);
        for (_, stretch, _) in &mut self.life.papers.phases {
            // What is put at the first place of a stretch belongs to what came before.
            if stretch.start >= place {
                stretch.start += 1;
            }
            if stretch.end >= place {
                stretch.end += 1;
            }
        }
        self.taken.push(id);
        Some(id)
    }

    /// Puts an event half-way between a place and the one before it.
    pub(super) fn insert_between(
        &mut self,
        place: usize,
        event: Event,
        attributes: Vec<(&'static str, String)>,
    ) -> Option<Id> {
        let (before, next) = (self.entry(place.checked_sub(1)?)?.moment, self.entry(place)?.moment);
        self.insert(place, i64::midpoint(before, next), event, attributes)
    }

    /// Puts a switching on before a place, with the links that follow it, all at one moment; says what the switching on is
    /// known by.
    pub(super) fn switch_on(&mut self, place: usize, moment: i64) -> Option<Id> {
        let on = self.insert(place, moment, Event::PowerOn, Vec::new())?;
        for (place, serial) in (place + 1..).zip(self.life.linked.clone()) {
            self.insert(place, moment, Event::LinkUp, vec![("bu", serial)])?;
        }
        Some(on)
    }

    /// Puts a switching off and a switching on with its self-test and links before a place. Says what the two are known by, and
    /// the place behind them all.
    pub(super) fn off_and_on(&mut self, place: usize, off: i64, on: i64) -> Option<(Id, Id, usize)> {
        let first = self.insert(place, off, Event::PowerOff, Vec::new())?;
        let last = self.insert(place + 1, on, Event::PowerOn, Vec::new())?;
        self.insert(place + 2, on + 8000, Event::SelfTest, vec![("result", "pass".to_owned())])?;
        let mut at = place + 3;
        for (later, serial) in (0..).zip(self.life.linked.clone()) {
            let moment = on + 9000 + i64::from(later) * 1000;
            self.insert(at, moment, Event::LinkUp, vec![("bu", serial)])?;
            at += 1;
        }
        Some((first, last, at))
    }

    /// Takes an event away.
    pub(super) fn remove(&mut self, place: usize) -> Option<Entry> {
        if place >= self.life.memory.len() {
            return None;
        }
        let entry = self.life.memory.entries.remove(place);
        for (_, stretch, _) in &mut self.life.papers.phases {
            if stretch.start > place {
                stretch.start -= 1;
            }
            if stretch.end > place {
                stretch.end -= 1;
            }
        }
        Some(entry)
    }

    /// The attribute that the poll's votes carry.
    pub(super) fn vote_attributes(&self) -> Vec<(&'static str, String)> {
        let poll = self.phase(Phase::Poll).unwrap_or_default();
        let vote = poll.filter(|at| self.event(*at) == Some(Event::Vote)).find_map(|at| self.entry(at));
        vote.map(|vote| vote.attributes.clone()).unwrap_or_default()
    }

    /// The votes in memory at a place, as the poll's records up to it count them.
    pub(super) fn votes_before(&self, place: usize) -> usize {
        let entries = self.entries().get(..place).unwrap_or_default();
        let since = entries.iter().rposition(|entry| entry.event == Event::Clear).map_or(0, |at| at + 1);
        entries.iter().skip(since).filter(|entry| entry.event == Event::Vote).count()
    }

    /// The total that the close of the poll shows.
    pub(super) fn vote_total(&self) -> Option<String> {
        let close = self.entry(self.close_of_poll()?)?;
        close.attributes.iter().find(|(key, _)| *key == "total").map(|(_, total)| total.clone())
    }

    /// Adds to every total that the unit shows from a place to the next clear.
    pub(super) fn raise_totals(&mut self, from: usize, by: i64) {
        for entry in self.life.memory.entries.iter_mut().skip(from) {
            if entry.event == Event::Clear {
                return;
            }
            for (key, value) in &mut entry.attributes {
                if matches!(*key, "total" | "shown")
                    && let Ok(number) = value.parse::<i64>()
                {
                    *value = (number + by).to_string();
                }
            }
        }
    }

    /// Adds to a number on paper.
    pub(super) fn raise_count(&mut self, of: &str, by: i64) {
        for noted in self.life.papers.counts.iter_mut().filter(|noted| noted.of == of) {
            noted.least += by;
            noted.most += by;
        }
    }

    /// Adds to every number on paper that a further voter adds to.
    pub(super) fn raise_poll_counts(&mut self, by: i64) {
        for of in ["declared", "register", "total-at-close", "result-at-count"] {
            self.raise_count(of, by);
        }
    }

    /// Changes what the clock displays from a place on, by so many milliseconds; readings after it are changed too.
    pub(super) fn shift_display(&mut self, from: usize, by: i64) {
        let Some(first) = self.entry(from).map(|entry| entry.moment) else { return };
        for entry in self.life.memory.entries.iter_mut().skip(from) {
            entry.time = Stamp::new(entry.time.ms() + by, entry.time.digits());
            // What a record of a setting says is what the display showed.
            for (key, value) in &mut entry.attributes {
                if matches!(*key, "before" | "after") && entry.event == Event::ClockSet {
                    *value = shifted(value, by);
                }
            }
        }
        for noted in &mut self.life.papers.readings {
            if from == 0 || noted.moment >= first {
                let shown = noted.reading.displayed;
                noted.reading.displayed = Stamp::new(shown.ms() + by, shown.digits());
            }
        }
    }

    /// The closing hour of the day of the poll.
    pub(super) fn closes(&self) -> Option<i64> {
        let close = self.close_of_poll()?;
        let moment = self.entry(close)?.moment;
        Some(moment - moment.rem_euclid(24 * 3_600_000) + CLOSES)
    }

    /// The place of the record that closes the poll.
    pub(super) fn close_of_poll(&self) -> Option<usize> {
        let poll = self.phase(Phase::Poll)?;
        poll.rev().find(|at| self.event(*at) == Some(Event::Close))
    }

    /// The closing line of the file as it would be written now.
    pub(super) fn closing_line(&self) -> Option<String> {
        let mut life = self.life.clone();
        life.prints.extend(self.last.map(Print::Last));
        life.write().life.log.lines().last().map(str::to_owned)
    }

    pub(super) fn print(&mut self, print: Print) {
        self.life.prints.push(print);
    }

    pub(super) fn find(&mut self, rule: &'static str, how: How, at: Id, because: &str) {
        self.key.find(rule, &[how], &[Spot::Of(at)], &[at], because);
    }

    pub(super) fn silent(&mut self, rules: &[&'static str], because: &str) {
        for rule in rules {
            self.key.answer(rule, SILENT, because);
        }
    }

    pub(super) fn open(&mut self, rules: &[&'static str], because: &str) {
        for rule in rules {
            self.key.answer(rule, OPEN, because);
        }
    }
}

/// A civil time of an attribute, moved.
fn shifted(text: &str, by: i64) -> String {
    let moved = chrono::NaiveDateTime::parse_from_str(text, "%Y-%m-%dT%H:%M:%S")
        .ok()
        .and_then(|at| at.checked_add_signed(chrono::TimeDelta::milliseconds(by)));
    moved.map_or_else(|| text.to_owned(), |at| at.format("%Y-%m-%dT%H:%M:%S").to_string())
}
