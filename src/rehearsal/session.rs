//! What people do at the unit again and again: switch it on and off, cast votes to try it, close, show, clear.

use super::acts::Act;
use super::course::{Course, Tally};
use crate::event::Event;

impl Course<'_> {
    /// Switches on: self-test, and the ballot units are found.
    pub(super) fn switch_on(&mut self, with_ballot_units: bool) {
        self.record(Event::PowerOn);
        self.wait(6, 10);
        self.test_itself("pass");
        if with_ballot_units {
            self.find_ballot_units();
        }
        self.wait(15, 40);
    }

    /// The unit finds the ballot units at its cables, and records them where it records links.
    pub(super) fn find_ballot_units(&mut self) {
        if self.unit.links_recorded {
            for serial in self.linked.clone() {
                self.record_with(Event::LinkUp, vec![("bu", serial)]);
                self.wait(1, 3);
            }
        }
    }

    pub(super) fn test_itself(&mut self, result: &str) {
        self.record_with(Event::SelfTest, vec![("result", result.to_owned())]);
        self.wait(3, 6);
    }

    pub(super) fn switch_off(&mut self) {
        self.wait(30, 120);
        self.record(Event::PowerOff);
        self.wait(5, 20);
    }

    /// The attribute that names a vote's ballot unit. Where several are linked it would be part of the choice, and this
    /// unit leaves it out.
    fn ballot_unit(&self) -> Vec<(&'static str, String)> {
        match self.linked.as_slice() {
            [only] => vec![("bu", only.clone())],
            _ => Vec::new(),
        }
    }

    /// A vote is recorded, and a slip printed where a paper trail is.
    pub(super) fn vote(&mut self) {
        self.record_with(Event::Vote, self.ballot_unit());
        self.tally.memory += 1;
        if self.paper_trail {
            self.wait(1, 2);
            self.record(Event::SlipPrinted);
            self.tally.slips += 1;
        }
    }

    /// So many votes to try the unit, one after the other.
    pub(super) fn try_votes(&mut self, count: i64) {
        // Where a least time is documented, the unit keeps to it here too.
        let least = self.setting.unit.least_ms_per_vote.unwrap_or_default().div_ceil(1000);
        let rest = i64::try_from(least).unwrap_or(i64::MAX).saturating_sub(4).clamp(6, 3600);
        for _ in 0..count {
            self.record(Event::Enable);
            self.wait(4, 15);
            self.vote();
            self.wait(rest, rest.max(20));
        }
    }

    pub(super) fn close(&mut self) {
        self.record_with(Event::Close, vec![("total", self.tally.memory.to_string())]);
        self.closed = true;
    }

    pub(super) fn show_result(&mut self) {
        self.record_with(Event::Result, vec![("total", self.tally.memory.to_string())]);
    }

    pub(super) fn show_total(&mut self) {
        self.record_with(Event::Total, vec![("shown", self.tally.memory.to_string())]);
    }

    pub(super) fn clear(&mut self) {
        self.record(Event::Clear);
        self.tally = Tally::default();
        self.closed = false;
    }

    /// Close, result, clear: how every trial of the unit ends. Now and then a key is pressed before its time.
    pub(super) fn close_show_clear(&mut self) {
        let hasty = self.happens(Act::KeysTooEarly);
        if hasty && self.refuses("result") {
            self.press_in_vain("result");
            self.wait(3, 8);
        }
        self.wait(20, 60);
        self.close();
        self.wait(10, 30);
        for key in ["clear", "close", "enable"] {
            if hasty && self.refuses(key) {
                self.press_in_vain(key);
                self.wait(3, 8);
            }
        }
        self.wait(10, 30);
        self.show_result();
        self.wait(20, 60);
        self.clear();
        self.wait(15, 40);
    }
}
