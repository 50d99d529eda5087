//! What befalls a poll in its middle, and what the people at the table do about it, lawfully.

use super::acts::Act;
use super::clock::midnight;
use super::course::Course;
use super::papers::Paper;
use crate::event::Event;

impl Course<'_> {
    /// Lets an act befall the poll. Says whether the unit is still in use after it.
    pub(super) fn befalls(&mut self, act: Act) -> bool {
        self.wait(60, 300);
        match act {
            Act::Interrupted => self.interrupt(),
            Act::BatteryReplaced => self.replace_battery(),
            Act::PaperReplaced => self.replace_paper(),
            Act::CableLoose => self.loosen_cable(),
            Act::BallotUnitReplaced => self.replace_ballot_unit(),
            Act::Adjourned => self.adjourn(),
            Act::ReplacedUnit => {
                self.replace_unit();
                return false;
            }
            _ => {}
        }
        true
    }

    fn interrupt(&mut self) {
        let from = self.now;
        self.wait(10 * 60, 60 * 60);
        self.papers.period("interruption", from, self.now, "rain came through the roof", Paper::Diary);
        self.papers.interrupted = true;
    }

    fn replace_battery(&mut self) {
        let battery = self.people.whole(6200, 6700);
        self.record_with(Event::BatteryLow, vec![("mv", battery.to_string())]);
        self.wait(60, 200);
        self.record_with(Event::CoverOpened, vec![("section", "battery".to_owned())]);
        self.papers.fact("cover-opened-for-cause", Paper::Diary);
        self.switch_off();
        self.wait(60, 200);
        self.record(Event::PowerOn);
        self.wait(1, 3);
        self.record(Event::BatteryChanged);
        self.wait(4, 8);
        self.test_itself("pass");
        self.find_ballot_units();
        self.wait(10, 30);
    }

    fn replace_paper(&mut self) {
        self.record(Event::PaperLow);
        self.wait(60, 200);
        self.record_with(Event::CoverOpened, vec![("section", "paper".to_owned())]);
        self.papers.fact("cover-opened-for-cause", Paper::Diary);
        self.wait(60, 300);
    }

    fn loosen_cable(&mut self) {
        if let Some(serial) = self.people.one_of(&self.linked).cloned() {
            self.record_with(Event::LinkDown, vec![("bu", serial.clone())]);
            self.wait(20, 200);
            self.record_with(Event::LinkUp, vec![("bu", serial)]);
            self.wait(5, 20);
        }
    }

    fn replace_ballot_unit(&mut self) {
        let new = self.new_serial();
        let off = self.people.happens(500);
        if off {
            self.switch_off();
        }
        if let Some(place) = self.linked.pop() {
            if !off {
                self.record_with(Event::LinkDown, vec![("bu", place)]);
            }
            self.wait(100, 400);
            self.linked.push(new.clone());
            self.used.push(new.clone());
        }
        if off {
            self.switch_on(true);
        } else {
            self.record_with(Event::LinkUp, vec![("bu", new)]);
            self.wait(10, 30);
        }
        self.papers.fact("ballot-unit-replaced", Paper::Diary);
    }

    /// The poll goes on the next day with the votes that stand in the memory.
    fn adjourn(&mut self) {
        let from = self.now;
        self.switch_off();
        self.day += midnight(1);
        let before = self.people.whole(15 * 60, 40 * 60) * 1000;
        self.go_to(self.opens() - before);
        self.switch_on(true);
        self.show_total();
        self.go_to(self.opens());
        self.state_poll();
        let text = "adjourned by the presiding officer: flood";
        self.papers.period("interruption", from, self.now, text, Paper::Diary);
        self.papers.interrupted = true;
    }

    fn replace_unit(&mut self) {
        let part = vec![("part", "display".to_owned()), ("code", "E12".to_owned())];
        self.record_with(Event::Fault, part);
        self.switch_off();
        let from = self.now;
        self.papers.fact("unit-replaced", Paper::Diary);
        let until = from + self.people.whole(20 * 60, 60 * 60) * 1000;
        self.papers.period("interruption", from, until, "display failed; the set was replaced", Paper::Diary);
        self.papers.interrupted = true;
    }
}
