//! The day of the poll: mock poll, zero, the queue from opening to close.

use std::ops::Range;

use super::acts::Act;
use super::chance::ms;
use super::clock::midnight;
use super::course::Course;
use super::papers::Paper;
use super::queue::{Rate, Server};
use super::setting::Profile;
use crate::case::Phase;
use crate::event::Event;

/// How the queue stands: both places, the pauses, when the turnout is noted next.
struct Queue {
    desk: Server,
    booth: Server,
    pauses: Vec<Range<i64>>,
    next_note: i64,
}

/// Between two notes of the turnout: two hours, an assumption.
const NOTES: i64 = 2 * 3_600_000;

/// What befalls the poll after so many voters.
type Mishaps = Vec<(usize, Act)>;

impl Course<'_> {
    /// The day of the poll, from the strong room to the close.
    pub(super) fn poll_day(&mut self) {
        let stored = self.now;
        if self.happens(Act::SimultaneousPolls) {
            let sentence = "Two polls were held at once; each voter voted on this unit and on another";
            self.papers.note(sentence, Paper::Diary);
        }
        self.paper_trail = self.happens(Act::PaperTrail);
        let replacement = self.happens(Act::ReplacementUnit);
        let begin = if replacement {
            self.opens() + self.people.whole(2 * 3600, 8 * 3600) * 1000
        } else {
            self.opens() - self.people.whole(80 * 60, 100 * 60) * 1000
        };
        self.go_to(begin);
        self.papers.period("storage", stored, self.now, "strong room at Tarn Valley", Paper::StrongRoom);
        if replacement {
            self.papers.fact("unit-took-anothers-place", Paper::Diary);
        }
        self.set_up();
        let kept = !replacement && self.happens(Act::MockVotesKept);
        self.mock_polls(kept);
        self.poll(kept);
    }

    /// The poll once more, a week later, on the same unit.
    pub(super) fn poll_again(&mut self) {
        self.day += midnight(7);
        self.go_to(self.opens() - 100 * 60_000);
        self.set_up();
        self.clear();
        self.wait(20, 60);
        self.mock_polls(false);
        self.poll(false);
    }

    /// The unit is set up in the station: on, tested, its clock read, perhaps set.
    fn set_up(&mut self) {
        self.state_poll();
        self.record(Event::PowerOn);
        self.wait(6, 10);
        if self.happens(Act::TestFailedOnce) {
            self.test_itself("fail");
        }
        self.test_itself("pass");
        self.find_ballot_units();
        self.set_clock();
        self.read_clock(Paper::Diary);
        let battery = self.people.whole(7300, 8200);
        self.record_with(Event::BatteryLevel, vec![("mv", battery.to_string())]);
        self.wait(60, 200);
    }

    fn mock_polls(&mut self, kept: bool) {
        let again = !kept && self.happens(Act::SecondMockPoll);
        for last in if again { &[false, true][..] } else { &[true] } {
            let from = self.memory.len();
            let votes = self.mock_least + self.people.whole(0, self.mock_least);
            self.try_votes(votes);
            if kept {
                self.papers.fact("mock-votes-deducted", Paper::Order);
                self.tally.mock_kept = votes;
            } else {
                self.close_show_clear();
            }
            if *last {
                self.papers.count("mock-votes", votes, Paper::Diary);
            }
            self.papers.phase(Phase::MockPoll, from..self.memory.len(), Paper::Diary);
        }
    }

    /// The poll: zero is shown, the queue is served, the unit closed and switched off.
    fn poll(&mut self, kept: bool) {
        let from = self.memory.len();
        if !kept && self.happens(Act::ZeroPrinted) {
            self.record_with(Event::Print, vec![("what", "zero".to_owned())]);
        } else if !kept {
            self.show_total();
        }
        self.wait(10, 30);
        self.go_to(self.opens());
        let opens = self.now;
        let arrivals = self.arrivals();
        let mishaps = self.mishaps(arrivals.len());
        if self.serve(&arrivals, &mishaps, opens) {
            let service = &self.setting.service;
            self.go_to(self.closes());
            self.wait(service.close.0, service.close.1);
            self.close();
            self.wait(20, 60);
            self.read_clock(Paper::Diary);
            self.switch_off();
        }
        self.papers.phase(Phase::Poll, from..self.memory.len(), Paper::Diary);
        if self.happens(Act::TenderedBallots) {
            let ballots = self.people.whole(1, 4);
            let sentence =
                format!("Tendered ballots cast on paper, which do not stand in the unit: {ballots}");
            self.papers.note(&sentence, Paper::Diary);
            self.papers.count("tendered", ballots, Paper::Diary);
        }
    }

    /// When the voters come who are still to be served.
    fn arrivals(&mut self) -> Vec<i64> {
        let profile = self.voters.one_of(&self.setting.profiles).copied().unwrap_or(Profile::Flat);
        let expected = self.voters.whole(self.setting.voters.0, self.setting.voters.1);
        let rate = Rate {
            knots: profile.knots(),
            opens: self.opens(),
            closes: self.closes(),
            expected: f64::from(i32::try_from(expected).unwrap_or(i32::MAX)),
        };
        let waiting = self.voters.poisson(self.setting.waiting);
        let mut arrivals: Vec<i64> = (0..waiting).map(|_| self.opens()).collect();
        arrivals.extend(rate.arrivals(&mut self.voters));
        arrivals.retain(|arrival| *arrival >= self.now || self.now < self.opens() + 600_000);
        arrivals
    }

    /// What befalls this poll, and after how many of its voters; in their order.
    fn mishaps(&mut self, voters: usize) -> Mishaps {
        let mut acts = vec![Act::Interrupted, Act::BatteryReplaced];
        if self.paper_trail {
            acts.push(Act::PaperReplaced);
        }
        if self.unit.links_recorded {
            acts.extend([Act::CableLoose, Act::BallotUnitReplaced]);
        }
        // A repeated poll runs to its end, so that one life has at most one of these.
        if !self.done.contains(&Act::Repeated) {
            acts.extend([Act::Adjourned, Act::ReplacedUnit]);
        }
        let Some(last) = i64::try_from(voters).ok().filter(|voters| *voters > 2) else {
            return Vec::new();
        };
        acts.retain(|act| self.happens(*act));
        if acts.contains(&Act::ReplacedUnit) && acts.contains(&Act::Adjourned) {
            acts.retain(|act| *act != Act::Adjourned);
            self.done.remove(&Act::Adjourned);
        }
        let mut mishaps: Mishaps = acts
            .into_iter()
            .map(|act| (usize::try_from(self.people.whole(1, last - 1)).unwrap_or(1), act))
            .collect();
        mishaps.sort_unstable();
        mishaps
    }

    /// Serves the queue. Says whether the unit is still in use at its end.
    fn serve(&mut self, arrivals: &[i64], mishaps: &Mishaps, opens: i64) -> bool {
        let mut queue = Queue {
            desk: Server::free_from(opens),
            booth: Server::free_from(opens),
            pauses: self.pauses(),
            next_note: self.opens() + NOTES,
        };
        let first_day = self.day;
        for (place, arrival) in arrivals.iter().enumerate() {
            for (_, act) in mishaps.iter().filter(|(at, _)| *at == place) {
                if !self.befalls(*act) {
                    return false;
                }
                queue.desk.hold(self.now);
                queue.booth.hold(self.now);
            }
            // Who had not come before an adjournment comes at the same hour of the next day.
            self.serve_one(arrival + self.day - first_day, &mut queue);
        }
        true
    }

    fn pauses(&mut self) -> Vec<Range<i64>> {
        let service = &self.setting.service;
        let (opens, closes) = (self.opens(), self.closes());
        let count = self.voters.poisson(service.pauses);
        let pause = |_| {
            let from = self.voters.whole(opens, closes);
            from..from + self.voters.whole(service.pause.0 * 1000, service.pause.1 * 1000)
        };
        let mut pauses: Vec<Range<i64>> = (0..count).map(pause).collect();
        // In their order, so that one pause may lead into the next.
        pauses.sort_unstable_by_key(|pause| pause.start);
        pauses
    }

    /// One voter: identified while the one before votes, released, served.
    fn serve_one(&mut self, arrival: i64, queue: &mut Queue) {
        let service = &self.setting.service;
        let begins = queue.desk.begins(arrival);
        let identified =
            begins + ms(self.voters.lognormal(service.identified_median, service.identified_sigma));
        self.tally.signed += 1;
        if self.happens(Act::Refused) {
            self.tally.refused += 1;
            queue.desk.hold(identified);
            return;
        }
        let mut enable = queue.booth.begins(identified);
        for pause in &queue.pauses {
            if pause.contains(&enable) {
                enable = pause.end;
            }
        }
        self.go_to(enable);
        self.note_turnout(queue);
        queue.desk.hold(self.now);
        self.record(Event::Enable);
        let enabled = self.now;
        if self.refuses("enable") && self.happens(Act::EnabledTwice) {
            self.wait(1, 2);
            self.press_in_vain("enable");
        }
        if self.happens(Act::EnableLapsed) {
            self.go_to(enabled + service.lapse * 1000);
            if !self.lapses_unlogged() {
                self.record_with(Event::EnableLapsed, vec![("after", service.lapse.to_string())]);
            }
            self.tally.left += 1;
        } else if self.unit.power_cycle_cancels_enable && self.happens(Act::EnableCancelled) {
            self.switch_off();
            self.switch_on(true);
            self.tally.left += 1;
        } else {
            let takes =
                self.voters.lognormal(service.vote_median, service.vote_sigma).max(service.vote_least);
            self.go_to(enabled + ms(takes));
            self.vote();
            if self.paper_trail {
                self.paper_troubles();
            }
        }
        queue.booth.hold(self.now + ms(service.between));
    }

    /// A slip that hangs; a complaint about a slip, and a test vote.
    fn paper_troubles(&mut self) {
        if self.happens(Act::SlipNotCut) {
            self.record(Event::SlipNotCut);
            self.wait(30, 120);
        }
        if self.happens(Act::TestVote) {
            self.wait(60, 200);
            self.record(Event::Enable);
            self.wait(5, 15);
            self.vote();
            self.tally.tests += 1;
            self.wait(20, 60);
        }
    }

    /// Every two hours the total is shown before the next voter is released, and noted.
    fn note_turnout(&mut self, queue: &mut Queue) {
        if self.now < queue.next_note {
            return;
        }
        while queue.next_note <= self.now {
            queue.next_note += NOTES;
        }
        self.show_total();
        let time: String = super::clock::civil(self.now).chars().take(16).collect();
        let voters = self.tally.memory - self.tally.mock_kept - self.tally.tests;
        let keys =
            [format!("at = \"{time}\""), "within-seconds = 60".to_owned(), format!("value = {voters}")];
        self.papers.row("turnout", &keys, Paper::Diary);
        self.wait(5, 15);
    }
}
