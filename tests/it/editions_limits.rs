//! The public edition beside limits: on which side of an hour, a reading or another moment a vote lies changes no byte of it.

use logassay::case::Case;
use logassay::unit::UnitDescription;

use crate::editions::{answers, difference, examined, told};
use crate::pages::logs;

/// A day of four votes, one of which is given; each was released five seconds before.
fn day_of(vote: &str, others: &[&str]) -> String {
    let mut votes: Vec<&str> = others.iter().copied().chain([vote]).collect();
    votes.sort_unstable();
    let mut acts = ["06:41:00 power-on", "06:42:00 self-test result=pass", "06:43:00 link-up bu=BU-50931"]
        .map(str::to_owned)
        .to_vec();
    for vote in &votes {
        let (minute, second) = vote.rsplit_once(':').unwrap();
        let second: u32 = second.parse().unwrap();
        acts.extend([
            format!("{minute}:{:02} enable", second.saturating_sub(5)),
            format!("{vote} vote bu=BU-50931"),
        ]);
    }
    acts.extend([format!("18:40:00 close total={}", votes.len()), "18:41:00 power-off".to_owned()]);
    let lines = acts.iter().zip(1..).map(|(act, number)| format!("{number} 2031-05-10 {act}\n"));
    format!("unit-event-log 1\nserial: CU-20417\nclock-zone: +02:00\n{}", lines.collect::<String>())
}

const SAID: &str = "source = \"Diary\"\nby = \"Presiding Officer\"\n";

/// The papers of that day: its hours, a reading before it, and one more.
fn papers_of(opens: &str, closes: &str, reference: &str, more: &str) -> Case {
    let more = if more.is_empty() { String::new() } else { format!("{more}\n{SAID}") };
    let text = format!(
        "[[poll]]\nplace = \"Tarn Valley\"\ndate = \"2031-05-10\"\nopens = \"{opens}\"\ncloses = \"{closes}\"\n\
         zone = \"+02:00\"\nonly-day = true\n{SAID}[[phase]]\nwas = \"poll\"\nrecords = \"4-13\"\n{SAID}\
         [[setting]]\ndrift-ppm = 20\n{SAID}[[reading]]\ndisplayed = \"2031-05-10 06:40:00\"\n\
         reference = \"2031-05-10 {reference}\"\nwithin-seconds = 1\nclock-not-set = true\n{SAID}{more}"
    );
    Case::read("case", &text).unwrap().case
}

/// A vote on either side of an hour, of a number's time, of a reading, of a least time: the answers turn round, and no byte of
/// the public edition tells it.
#[test]
fn on_which_side_of_a_limit_a_vote_lies_changes_no_byte_of_the_public_edition() {
    let day = ["07:40:30", "09:10:30", "12:20:30"];
    let at = |name: &str, rest: &str| format!("[[{name}]]\n{rest}");
    let (plain, slow) = (["07:00", "18:00", "06:40:00"], ["07:00", "18:00", "06:44:00"]);
    let mut differing: Vec<String> = Vec::new();
    let odd = ["07:15", "17:45", "06:40:00"];
    for (papers, more, vote, other) in [
        (odd, String::new(), "17:44:30", "17:46:30"),
        (odd, String::new(), "07:14:30", "07:16:30"),
        (plain, String::new(), "18:00:05", "18:05:30"),
        (slow, String::new(), "17:55:30", "17:57:20"),
        (plain, at("setting", "queue-minutes = 10"), "18:05:30", "18:12:30"),
        (odd, at("count", "of = \"tokens\"\nvalue = 1"), "17:44:30", "17:46:30"),
        (
            plain,
            at("interruption", "from = \"2031-05-10 11:10\"\nto = \"2031-05-10 11:20\""),
            "11:08:30",
            "11:15:30",
        ),
        (plain, at("turnout", "at = \"2031-05-10 11:10\"\nvalue = 3"), "11:08:30", "11:12:30"),
        (plain, at("setting", "close-within-minutes = 30"), "18:05:30", "18:15:30"),
        (
            plain,
            at("storage", "from = \"2031-05-10 18:15\"\nto = \"2031-05-12 09:00\""),
            "18:10:30",
            "18:20:30",
        ),
        (plain, at("setting", "seconds-per-vote = 60"), "12:20:50", "12:22:30"),
        (
            plain,
            at("reading", "record = 9\nreference = \"2031-05-10 11:10:00\"\nwithin-seconds = 1"),
            "11:10:00",
            "11:12:30",
        ),
    ] {
        let (case, unit) = (papers_of(papers[0], papers[1], papers[2], &more), UnitDescription::kestrane());
        let [one, other] = [vote, other].map(|vote| logs("log", day_of(vote, &day).as_bytes()));
        let (one, other) = (examined(&one, &case, &unit), examined(&other, &case, &unit));
        let name = format!("{more} at {papers:?} and {vote}");
        if answers(&one) == answers(&other) {
            differing.push(format!("{name}: no answer turns"));
        }
        let found = difference(&told(&one), &told(&other));
        differing.extend(found.map(|found| format!("{name}:\n{found}")));
    }
    assert!(differing.is_empty(), "{} differ: {}", differing.len(), differing.join("\n"));
}

/// A picture draws nothing that its words do not tell: two hours of one half hour give the same page.
#[test]
fn hours_and_notes_lie_on_the_half_hours_in_pictures_too() {
    let log = logs("log", day_of("11:08:30", &["07:40:30", "09:10:30", "12:20:30"]).as_bytes());
    let unit = UnitDescription::kestrane();
    let page = |opens: &str, closes: &str, noted: &str| {
        let noted = format!("[[turnout]]\nat = \"2031-05-10 {noted}\"\nvalue = 3");
        told(&examined(&log, &papers_of(opens, closes, "06:40:00", &noted), &unit))
    };
    let one = page("07:05", "17:40", "14:05");
    assert_eq!(difference(&one, &page("07:20", "17:50", "14:25")), None);
    assert!(one.contains("closes 17:30\u{2013}18:00 (stated)"));
    assert_ne!(one, page("07:00", "17:40", "14:05"));
}
