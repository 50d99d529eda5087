//! Papers that count what was at the close: the voters signed and the slips counted. What came behind the close says nothing
//! of them.

use super::ledger::Source;
use super::polls::Poll;
use super::sheet::{Sheet, Side, minus, plus};
use super::view::View;
use super::{Doubt, Interval, Rest, Sign};
use crate::case::{CountOf, Fact, Phase};

const NO_UNSIGNED: &str = "nobody voted without having signed; the case file has no such count";
const NO_TENDERED: &str =
    "the register holds nobody who cast a tendered ballot; the case file has no such count";
const ONE_UNIT: &str = "the register speaks of this unit alone; the case file names no other";
const EACH_SLIP: &str = "every vote gave one slip, and every slip was counted";
const NONE_SIGNED_BEHIND: &str =
    "nobody who signed voted behind the close, behind which not every record was seen";
const NO_SLIP_BEHIND: &str =
    "no slip that was counted is of a vote behind the close, behind which not every record was seen";
const NONE_BEHIND: &str = "no vote was recorded behind the close, behind which not every record was seen";

/// An equation of such a paper.
pub(super) struct OfClose {
    pub(super) rule: &'static str,
    pub(super) words: &'static str,
    pub(super) left: Side,
    pub(super) right: Side,
    pub(super) rests: Vec<Rest>,
}

/// The slips counted, against the votes in memory at the close.
pub(super) fn slips(sheet: &mut Sheet<'_>, poll: &Poll, memory: usize) -> Option<OfClose> {
    let slips = sheet.paper(CountOf::Slips)?;
    let (mut right, mut rests) = (vec![plus(memory)], vec![Rest::Unstated(EACH_SLIP)]);
    if poll.mock.most != Some(0) {
        let most = poll.mock.most.and_then(|most| u64::try_from(most).ok());
        let value = Interval::from_to(0, most);
        let words = "slips of the mock poll that were set apart";
        let doubt = Some(Doubt::NotStated(CountOf::MockVotes));
        right.push(minus(sheet.put(words, value, Source::Unseen, doubt)));
    }
    // Before the first record of the poll lie those of the mock poll.
    rests.push(Rest::Labels(vec![poll.labelled], Phase::Poll));
    rests.extend(poll.tally.rests().front.then_some(Rest::Front));
    let left = vec![plus(slips)];
    rests.extend(behind(sheet, poll, (&left, &right), NO_SLIP_BEHIND));
    let words = "the slips counted are as many as the votes in memory at the close";
    Some(OfClose { rule: "slips-differ", words, left, right, rests })
}

/// The voters signed, less those who did not vote, with those who voted without having signed, against the votes in memory
/// at the close, less what was deducted.
pub(super) fn register(
    sheet: &mut Sheet<'_>,
    view: View<'_>,
    poll: &Poll,
    (memory, deducted): (usize, &[usize]),
) -> Option<OfClose> {
    let signed = sheet.paper(CountOf::Register)?;
    let shared = [Fact::UnitReplaced, Fact::UnitTookAnothersPlace];
    let shared = view.case.facts.iter().any(|fact| shared.contains(&fact.value));
    let mut rests = if shared { Vec::new() } else { vec![Rest::Unstated(ONE_UNIT)] };
    let refused = sheet.paper_or_any(CountOf::Refused);
    let left = sheet.paper_or_any(CountOf::LeftAfterEnable);
    let mut side = vec![plus(signed), minus(refused), minus(left)];
    match sheet.paper(CountOf::Unsigned) {
        Some(unsigned) => side.push(plus(unsigned)),
        None => rests.push(Rest::Unstated(NO_UNSIGNED)),
    }
    match sheet.stated(CountOf::Tendered) {
        Some((value, basis)) => {
            let most = value.most.and_then(|most| u64::try_from(most).ok());
            let source = Source::Paper(CountOf::Tendered, basis.clone());
            let words = "voters who signed and cast a tendered ballot";
            side.push(minus(sheet.put(
                words,
                Interval::from_to(0, most),
                source,
                Some(Doubt::NotStated(CountOf::Tendered)),
            )));
        }
        None => rests.push(Rest::NoSuch(CountOf::Tendered, NO_TENDERED)),
    }
    if shared {
        let words = "voters who voted on the other unit of the poll";
        let doubt = Some(Doubt::Allowance("the register may speak of two units".to_owned()));
        side.push(minus(sheet.put(words, Interval::SOME, Source::Unseen, doubt)));
    }
    let right = [plus(memory)].into_iter().chain(deducted.iter().map(|item| minus(*item))).collect();
    rests.extend(behind(sheet, poll, (&side, &right), NONE_SIGNED_BEHIND));
    let words = "the voters signed, less those who did not vote, are the votes in memory at the close";
    Some(OfClose { rule: "register-differs", words, left: side, right, rests })
}

/// What a paper rests on that counts more than the votes at a close behind which not every record was seen.
fn behind(sheet: &Sheet<'_>, poll: &Poll, (left, right): (&Side, &Side), what: &'static str) -> Option<Rest> {
    let is_more = sheet.sum(left).exceeds_by(sheet.sum(right)).least.is_some_and(|least| least > 0);
    (poll.unsettled.is_some() && is_more).then_some(Rest::Unstated(what))
}

/// The same paper against one of the count, where the log leaves that open and not both papers can be right: what the log
/// holds of the close contradicts neither.
pub(super) fn beside_the_count(
    sheet: &mut Sheet<'_>,
    paper: &OfClose,
    (memory, deducted): (usize, &[usize]),
) -> Vec<OfClose> {
    let own = sheet.sum(&paper.left);
    if own.meet(sheet.sum(&paper.right)).is_empty() {
        return Vec::new();
    }
    let of_slips = paper.rule == "slips-differ";
    let of = [
        (
            CountOf::Declared,
            deducted,
            if of_slips {
                "the slips counted are as many as the votes declared, with those deducted"
            } else {
                "the voters signed, less those who did not vote, are the votes declared"
            },
        ),
        (
            CountOf::ResultAtCount,
            &[],
            if of_slips {
                "the slips counted are as many as the votes of the result noted at the count"
            } else {
                "the voters signed, less those who did not vote, are the votes of the result noted at the count"
            },
        ),
    ];
    let mut equations = Vec::new();
    for (what, deducted, words) in of {
        let Some(counted) = sheet.paper(what) else { continue };
        let beside = paper.right.iter().copied().filter(|term| term.item != memory);
        let all: Side =
            beside.chain([plus(counted)]).chain(deducted.iter().map(|item| plus(*item))).collect();
        let is_undone =
            |of: &super::Term| all.iter().any(|term| term.item == of.item && term.sign != of.sign);
        let mut right: Side = all.iter().copied().filter(|term| !is_undone(term)).collect();
        right.sort_by_key(|term| term.sign == Sign::Minus);
        if own.meet(sheet.sum(&right)).is_empty() {
            let (left, mut rests) = (paper.left.clone(), paper.rests.clone());
            rests.push(Rest::Unstated(NONE_BEHIND));
            equations.push(OfClose { rule: paper.rule, words, left, right, rests });
        }
    }
    equations
}
