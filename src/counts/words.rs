//! Equations and what follows from them, in words and figures.

use super::ledger::total;
use super::{Balance, Interval, Item, Ledger, Outcome, Sign, Term};
use crate::case::Saying;
use crate::source::Shown as Text;

/// Of each side whose figures follow only through other equations: those, in letters. `None` where they are its own.
#[must_use]
pub fn derived(ledger: &Ledger, balance: &Balance) -> [Option<String>; 2] {
    let beside: Vec<String> = ledger.beside(balance).into_iter().map(letters).collect();
    [&balance.left, &balance.right].map(|terms| {
        let of = |value: fn(&Item) -> Interval| total(&ledger.items, terms, value);
        let others = || of(|item| item.follows) != of(|item| item.value);
        (!beside.is_empty() && others()).then(|| beside.join(" and "))
    })
}

/// Both sides in figures: `733 - 0 to 5 = 728 to 733; 731`. Where they could agree by themselves and the other equations
/// forbid it, the figures are those that follow from these.
#[must_use]
pub fn equation(ledger: &Ledger, balance: &Balance) -> String {
    figured(ledger, balance).join("; ")
}

/// Each side in figures.
fn figured(ledger: &Ledger, balance: &Balance) -> [String; 2] {
    let (value, [left, right]) = (told(ledger, balance), sides(ledger, balance));
    [(&balance.left, left), (&balance.right, right)]
        .map(|(terms, total)| side(&ledger.items, terms, value, total))
}

/// The same, each side that follows only through other equations with their letters: `at most 28; 29 if F = C`.
#[must_use]
pub fn equation_derived(ledger: &Ledger, balance: &Balance) -> String {
    let mut sides = figured(ledger, balance);
    for (side, by) in sides.iter_mut().zip(derived(ledger, balance)) {
        side.extend(by.map(|by| format!(" if {by}")));
    }
    sides.join("; ")
}

/// What both sides come to, of the same figures as [`equation`].
#[must_use]
pub fn sides(ledger: &Ledger, balance: &Balance) -> [Interval; 2] {
    let value = told(ledger, balance);
    let [left, right] = [&balance.left, &balance.right].map(|terms| total(&ledger.items, terms, value));
    // What another paper states of the same sum is closer than the sum of its parts.
    let right = ledger.papers_at_odds(balance).map_or(right, |[theirs, _]| theirs.votes);
    [left, right]
}

/// Which of the values of its numbers an equation is told with.
fn told(ledger: &Ledger, balance: &Balance) -> fn(&Item) -> Interval {
    if balance.is_contradicted_by_others(&ledger.items) { |item| item.follows } else { |item| item.value }
}

/// What follows from a balance: `agrees`, `differs by 2` and so on.
#[must_use]
pub fn verdict(ledger: &Ledger, balance: &Balance) -> String {
    match &balance.outcome {
        Outcome::Agrees => "agrees".to_owned(),
        Outcome::Within => format!("agrees within the allowance{}", needed(ledger, balance)),
        Outcome::Differs(by) if balance.is_contradicted_by_others(&ledger.items) => {
            format!("{}, if the other equations hold", difference(*by))
        }
        Outcome::Differs(by) => difference(*by),
        Outcome::Open(_) => format!("cannot be told{}", needed(ledger, balance)),
    }
}

/// The letter by which the ledger calls a number: A to Z, then AA and so on.
#[must_use]
pub fn letter(item: usize) -> String {
    let last = char::from(b'A' + u8::try_from(item % 26).unwrap_or(0));
    match item / 26 {
        0 => last.to_string(),
        more => format!("{}{last}", letter(more - 1)),
    }
}

/// Both sides in letters: `C - D + E = B`.
#[must_use]
pub fn letters(balance: &Balance) -> String {
    let side = |terms: &[Term]| {
        let named = terms.iter().enumerate().map(|(place, term)| match (place, term.sign) {
            (0, Sign::Plus) => letter(term.item),
            (0, Sign::Minus) => format!("-{}", letter(term.item)),
            (_, Sign::Plus) => format!(" + {}", letter(term.item)),
            (_, Sign::Minus) => format!(" - {}", letter(term.item)),
        });
        named.collect::<String>()
    };
    format!("{} = {}", side(&balance.left), side(&balance.right))
}

/// The difference in words, seen from the left side.
#[must_use]
pub fn difference(by: Interval) -> String {
    match (by.least, by.most) {
        (Some(least), _) if least > 0 => format!("the first is greater by {}", at_least(by)),
        (_, Some(most)) if most < 0 => format!("the first is less by {}", at_least(by.negated())),
        _ => "the two differ".to_owned(),
    }
}

/// A difference that has no upper end is told by its least.
fn at_least(by: Interval) -> String {
    match (by.least, by.most) {
        (Some(least), None) => format!("at least {}", Interval { least: Some(least), most: Some(least) }),
        _ => by.to_string(),
    }
}

/// The numbers of a balance, each with its name, for the sentence of a finding.
#[must_use]
pub fn finding(ledger: &Ledger, balance: &Balance) -> String {
    let terms = balance.terms().filter_map(|term| ledger.items.get(term.item));
    let by_others = balance.is_contradicted_by_others(&ledger.items);
    let mut parts: Vec<String> = terms
        .map(|item| {
            let follows = if by_others && item.follows != item.value {
                format!(", and {} by the other equations of this report", item.follows)
            } else {
                String::new()
            };
            format!("{}: {}{follows}", item.words, item.value)
        })
        .collect();
    if by_others {
        parts.push("Not all of these equations hold, and which does not, does not follow".to_owned());
    }
    parts.join(". ")
}

/// Which values the numbers that are left open must have, where that follows.
fn needed(ledger: &Ledger, balance: &Balance) -> String {
    let items = balance.terms().filter_map(|term| ledger.items.get(term.item));
    let narrowed = items.filter(|item| item.value.only().is_none() && item.follows != item.value);
    let parts: Vec<String> = narrowed.map(needs).collect();
    if parts.is_empty() { String::new() } else { format!(": it agrees if {}", parts.join(", and ")) }
}

fn needs(item: &Item) -> String {
    format!("{} are {}", item.words, item.follows)
}

fn side(items: &[Item], terms: &[Term], value: fn(&Item) -> Interval, sum: Interval) -> String {
    let of = |term: &Term| items.get(term.item).map_or(Interval::ANY, value);
    let mut text = String::new();
    for (place, term) in terms.iter().enumerate() {
        text.push_str(match (place, term.sign) {
            (0, Sign::Plus) => "",
            (0, Sign::Minus) => "-",
            (_, Sign::Plus) => " + ",
            (_, Sign::Minus) => " - ",
        });
        text.push_str(&of(term).to_string());
    }
    if terms.len() > 1 {
        text.push_str(&format!(" = {sum}"));
    }
    text
}

/// The least time of one vote and who states it, as a premise.
#[must_use]
pub fn least_time(ms: u64, stated: Option<&Saying>) -> String {
    let (seconds, rest) = (ms / 1000, ms % 1000);
    let rest = if rest == 0 { String::new() } else { format!(".{rest:03}") };
    let who =
        stated.map_or_else(|| "as the unit description says".to_owned(), |basis| basis.said().to_string());
    format!("one vote takes at least {seconds}{rest} s, {who}")
}

/// The opening of the poll and who states it, as a premise.
#[must_use]
pub fn opening(moment: &str, basis: &Saying) -> String {
    format!("the poll opened at {}, {}", Text::inert(moment), basis.said())
}
