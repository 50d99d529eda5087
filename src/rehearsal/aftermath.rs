//! After the poll: storage, count and recounts, inspection, training, and the export.

use super::acts::Act;
use super::clock::{civil, midnight};
use super::course::Course;
use super::papers::Paper;
use super::unwritten::Unwritten;
use crate::case::Phase;
use crate::event::Event;

impl Course<'_> {
    /// Storage and count, then what else befalls the unit before its export.
    pub(super) fn after_the_poll(&mut self) {
        self.note_tests();
        self.count();
        if !self.closed {
            return;
        }
        if self.happens(Act::Repeated) {
            self.papers.fact("cleared-after-count", Paper::Order);
            self.poll_again();
            self.note_tests();
            self.count();
        } else {
            self.befall();
        }
    }

    /// Stores the unit until a morning that many days later, and says so.
    fn store(&mut self, days: (i64, i64)) {
        let from = self.now;
        let today = from - from.rem_euclid(midnight(1));
        let later = self.people.whole(days.0, days.1);
        let hour = self.people.whole(8 * 3600, 11 * 3600) * 1000;
        self.go_to(today + midnight(later) + hour);
        self.papers.period("storage", from, self.now, "strong room at Tarn Valley", Paper::StrongRoom);
    }

    fn count(&mut self) {
        self.store((1, 3));
        if !self.closed && !self.happens(Act::ResultUnclosed) {
            return;
        }
        let from = self.memory.len();
        let lost = self.may_lose_time();
        self.record(Event::PowerOn);
        self.wait(2, 4);
        if lost {
            self.record(Event::BatteryChanged);
            self.wait(2, 4);
        }
        self.test_itself("pass");
        self.wait(20, 60);
        self.read_clock(Paper::Declaration);
        if !self.closed {
            self.close();
            self.wait(20, 60);
        }
        self.show_result();
        self.wait(10, 60);
        if self.people.happens(200) {
            self.record_with(Event::Print, vec![("what", "result".to_owned())]);
        }
        self.switch_off();
        if self.happens(Act::Recounted) {
            for _ in 0..self.people.whole(1, 3) {
                self.recount();
            }
        }
        self.papers.phase(Phase::Count, from..self.memory.len(), Paper::Declaration);
        self.declare();
    }

    /// A recount, some hours or a day later.
    fn recount(&mut self) {
        self.now += self.people.whole(1, 20) * 3_600_000;
        self.switch_on(false);
        for _ in 0..self.people.whole(1, 2) {
            self.show_result();
            self.wait(10, 60);
        }
        self.switch_off();
    }

    /// The numbers of the poll, as the papers state them.
    fn declare(&mut self) {
        let tally = self.tally;
        let declared = tally.memory - tally.mock_kept - tally.tests;
        self.papers.count("declared", declared, Paper::Declaration);
        self.papers.count("register", tally.signed, Paper::Diary);
        self.papers.count("refused", tally.refused, Paper::Diary);
        self.papers.count("left-after-enable", tally.left, Paper::Diary);
        self.papers.count("unsigned", 0, Paper::Diary);
        self.papers.count("total-at-close", tally.memory, Paper::Diary);
        self.papers.count("result-at-count", tally.memory, Paper::Declaration);
        if self.paper_trail {
            self.papers.count("slips", tally.slips, Paper::Declaration);
        }
    }

    /// Test votes of the poll, which the diary notes whatever becomes of the unit.
    fn note_tests(&mut self) {
        let tests = self.tally.tests;
        if tests > 0 {
            let sentence =
                format!("Test votes after a complaint about a paper slip, deducted at the count: {tests}");
            self.papers.note(&sentence, Paper::Diary);
            self.papers.count("test-votes", tests, Paper::Diary);
        }
    }

    /// Inspection, a clear, training.
    fn befall(&mut self) {
        if self.happens(Act::Inspected) {
            self.store((2, 20));
            let from = self.memory.len();
            self.switch_on(false);
            self.read_clock(Paper::Order);
            self.show_result();
            self.wait(30, 200);
            self.switch_off();
            self.papers.phase(Phase::Training, from..self.memory.len(), Paper::Order);
        }
        let trained = self.acts.happens(self.setting.rate(Act::Trained));
        if !(self.happens(Act::ClearedAfterCount) || trained) {
            return;
        }
        self.papers.fact("cleared-after-count", Paper::Order);
        self.store((10, 40));
        let from = self.memory.len();
        self.switch_on(true);
        self.show_result();
        self.wait(10, 60);
        self.clear();
        self.wait(20, 60);
        if trained {
            self.done.insert(Act::Trained);
            let votes = self.people.whole(2, 6);
            self.try_votes(votes);
            self.close_show_clear();
        }
        self.switch_off();
        self.papers.phase(Phase::Training, from..self.memory.len(), Paper::Order);
    }

    /// The export, and the papers that go with it.
    pub(super) fn export(mut self) -> Unwritten {
        if self.happens(Act::ExportedBefore) {
            self.write_out();
            self.switch_off();
        }
        self.write_out();
        let exported_at = format!("{}+02:00", civil(self.now).replace(' ', "T"));
        self.read_clock(Paper::Order);
        if !self.papers.interrupted {
            self.papers.row("interruption", &["none = true".to_owned()], Paper::Diary);
        }
        self.papers.row("custody", &["text = \"Registrar's office, sealed\"".to_owned()], Paper::StrongRoom);
        let serials: Vec<String> = self.used.iter().map(|serial| format!("\"{serial}\"")).collect();
        self.papers.row("unit", &[format!("ballot-units = [{}]", serials.join(", "))], Paper::UnitRegister);
        Unwritten {
            title: format!("Rehearsal: a made-up life of a unit of {}", self.station),
            serial: self.serial,
            software: self.software,
            linked: self.linked,
            exported_at,
            unit: self.unit.clone(),
            memory: self.memory,
            papers: self.papers,
            acts: self.done,
            prints: Vec::new(),
            closed: true,
        }
    }

    fn write_out(&mut self) {
        self.store((5, 30));
        self.record(Event::PowerOn);
        self.wait(20, 60);
        if self.unit.export_recorded {
            self.record(Event::Export);
        }
    }
}
