//! Before the poll: the first check weeks before it, the preparation a week before, and sealed storage.

use super::acts::Act;
use super::clock::midnight;
use super::course::Course;
use super::papers::Paper;
use crate::case::Phase;
use crate::event::Event;

impl Course<'_> {
    /// The first check: function test, a vote for each candidate, in a tenth of the units many more.
    pub(super) fn first_check(&mut self) {
        let from = self.memory.len();
        self.switch_on(true);
        if self.people.happens(300) {
            self.record_with(Event::SoftwareVersion, vec![("version", self.software.clone())]);
            self.wait(5, 10);
        }
        self.record_with(Event::CandidateSet, vec![("count", self.candidates.to_string())]);
        self.wait(20, 60);
        let many = self.happens(Act::ManyTestVotes);
        let votes = if many { self.setting.test_votes + self.people.whole(0, 20) } else { self.candidates };
        self.try_votes(votes);
        self.close_show_clear();
        self.switch_off();
        self.papers.phase(Phase::Test, from..self.memory.len(), Paper::Preparation);
    }

    /// The preparation: candidates set, sections sealed, in a tenth of the units a test of many votes.
    pub(super) fn prepare(&mut self) {
        let stored = self.now;
        let (days, hour) = (self.people.whole(5, 9), self.people.whole(9, 15));
        self.go_to(self.day - midnight(days) + hour * 3_600_000);
        self.papers.period("storage", stored, self.now, "store of the registrar", Paper::StrongRoom);
        let from = self.memory.len();
        self.switch_on(false);
        self.set_clock();
        self.record_with(Event::CandidateSet, vec![("count", self.candidates.to_string())]);
        self.wait(20, 60);
        if self.happens(Act::PreparationVotes) {
            self.find_ballot_units();
            let votes = self.setting.test_votes + self.people.whole(0, 20);
            self.try_votes(votes);
            self.close_show_clear();
        }
        self.read_clock(Paper::Preparation);
        self.switch_off();
        self.papers.phase(Phase::Test, from..self.memory.len(), Paper::Preparation);
    }
}
