//! Made-up lives: chance, queue and arrivals against published mathematics; lives that no rule accuses.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    reason = "numbers of a test's own making, far from the ends of their types"
)]

use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::Arc;

use logassay::assessment::{Mark, against};
use logassay::case::Case;
use logassay::examine;
use logassay::finding::{Finding, Verdict, Weight};
use logassay::rehearsal::fault::clean;
use logassay::rehearsal::{ACTS, Act, Chance, Profile, Rate, Server, Setting, life};
use logassay::rules::{Family, RULES, Rule, rule};
use logassay::source::{Digest, Source};
use logassay::syntax::read;
use logassay::unit::{UnitDescription, Unlogged};

use crate::cli::run;

/// RFC 8439 (Nir and Langley 2018), appendix A.1, test vector 1: key and nonce of zeros, block counter 0; from memory.
#[test]
fn chance_is_chacha20_of_rfc_8439() {
    let mut chance = Chance::new(0, 0);
    let stream: Vec<u8> = (0..4).flat_map(|_| chance.bits().to_le_bytes()).collect();
    let expected = "76b8e0ada0f13d90405d6ae55386bd28bdd219b8a08ded1aa836efcc8b770dc7";
    assert_eq!(stream.iter().map(|byte| format!("{byte:02x}")).collect::<String>(), expected);
}

/// The mean wait of many customers, and its standard error by the means of 100 batches.
fn mean_wait(seed: u64, mut service: impl FnMut(&mut Chance) -> f64) -> (f64, f64) {
    const BATCHES: usize = 100;
    const EACH: usize = 10_000;
    let mut chance = Chance::new(seed, 0);
    let (mut server, mut arrival) = (Server::free_from(0), 0_i64);
    let ms = |seconds: f64| (seconds * 1000.0).round() as i64;
    let means: Vec<f64> = (0..BATCHES)
        .map(|_| {
            let mut waited = 0;
            for _ in 0..EACH {
                arrival += ms(chance.exponential(40.0));
                let begins = server.begins(arrival);
                waited += begins - arrival;
                server.hold(begins + ms(service(&mut chance)));
            }
            waited as f64 / 1000.0 / EACH as f64
        })
        .collect();
    let mean = means.iter().sum::<f64>() / BATCHES as f64;
    let variance = means.iter().map(|m| (m - mean).powi(2)).sum::<f64>() / (BATCHES - 1) as f64;
    (mean, (variance / BATCHES as f64).sqrt())
}

/// Lindley 1952 for the recursion of waits; Pollaczek 1930 and Khinchine 1932 for the mean wait in a queue of one server
/// with arrivals at a rate of 1/40 and a mean service of 30 s: 90 s where the service is exponential, 45 s where it is
/// constant. Margin: four standard errors, and these are small enough to tell 90 from 95 and 45 from 47.
#[test]
fn waits_are_those_of_pollaczek_and_khinchine() {
    let (mean, error) = mean_wait(1, |chance| chance.exponential(30.0));
    assert!((mean - 90.0).abs() < 4.0 * error && error < 1.25, "M/M/1: {mean} ± {error}");
    let (mean, error) = mean_wait(2, |_| 30.0);
    assert!((mean - 45.0).abs() < 4.0 * error && error < 0.5, "M/D/1: {mean} ± {error}");
}

/// The chance that a chi-square number with 20 degrees of freedom is greater: for an even number of degrees it is a sum
/// of Poisson chances (Abramowitz and Stegun 1964, 26.4.21).
fn chi_square_20_exceeds(x: f64) -> f64 {
    let (mut term, mut sum) = ((-x / 2.0).exp(), 0.0);
    for k in 1..=10 {
        sum += term;
        term *= x / 2.0 / f64::from(k);
    }
    sum
}

/// Lewis and Shedler 1979: thinning gives a Poisson process with the wanted rate. So counts in 20 parts of the hours are
/// independent Poisson numbers whose means are the rate's integral, here by the midpoint rule over each second, and the
/// sum of (count - mean)²/mean over the parts is near chi-square with 20 degrees of freedom. Seeds are fixed; each must
/// lie between the 0.0005 and the 0.9995 point.
#[test]
fn thinning_follows_the_integrated_rate() {
    const PARTS: i64 = 20;
    let hours = 11 * 3600;
    for (seed, profile) in [(11, Profile::Flat), (12, Profile::TwoPeaks), (13, Profile::SlowStart)] {
        let rate = Rate { knots: profile.knots(), opens: 0, closes: hours * 1000, expected: 20_000.0 };
        let part = hours / PARTS;
        let mut counts = vec![0.0_f64; PARTS as usize];
        for arrival in rate.arrivals(&mut Chance::new(seed, 0)) {
            counts[(arrival / 1000 / part) as usize] += 1.0;
        }
        let mut means = vec![0.0_f64; PARTS as usize];
        for second in 0..hours {
            means[(second / part) as usize] += rate.at(second * 1000 + 500);
        }
        assert!((means.iter().sum::<f64>() - 20_000.0).abs() < 1.0, "{profile:?}: the rate adds up");
        let chi: f64 = counts.iter().zip(&means).map(|(count, mean)| (count - mean).powi(2) / mean).sum();
        let chance = chi_square_20_exceeds(chi);
        assert!((0.0005..0.9995).contains(&chance), "{profile:?}: chi-square {chi}, exceeded with {chance}");
    }
}

fn kestrane(change: impl FnOnce(&mut UnitDescription)) -> UnitDescription {
    let mut unit = UnitDescription::kestrane();
    change(&mut unit);
    unit
}

/// Descriptions of units that number, keep, lapse, refuse and link in other ways.
fn units() -> Vec<(&'static str, UnitDescription)> {
    vec![
        ("Kestrane", kestrane(|_| {})),
        ("keeps 40", kestrane(|unit| unit.keeps = 40)),
        ("keeps 90, three digits", kestrane(|unit| (unit.keeps, unit.number_digits) = (90, Some(3)))),
        ("two digits", kestrane(|unit| (unit.keeps, unit.number_digits) = (60, Some(2)))),
        (
            "steps of 3 from a number not known",
            kestrane(|unit| (unit.first_number, unit.number_step) = (None, Some(3))),
        ),
        ("no numbers", kestrane(|unit| (unit.first_number, unit.number_step) = (None, None))),
        ("lapses unlogged", kestrane(|unit| unit.unlogged = vec![Unlogged::EnableLapse])),
        ("nothing unlogged", kestrane(|unit| unit.unlogged.clear())),
        ("an enable survives the switch", kestrane(|unit| unit.power_cycle_cancels_enable = false)),
        (
            "refuses without a record",
            kestrane(|unit| unit.refusals.iter_mut().for_each(|r| r.logged = false)),
        ),
        ("refuses nothing that is written", kestrane(|unit| unit.refusals.clear())),
        ("links unrecorded", kestrane(|unit| unit.links_recorded = false)),
        ("export unrecorded", kestrane(|unit| unit.export_recorded = false)),
        ("one ballot unit of four buttons", kestrane(|unit| (unit.ballot_units, unit.buttons) = (1, 4))),
    ]
}

/// What some lives held, and what was found in them.
#[derive(Default)]
struct Crowd {
    lives: u32,
    acts: BTreeMap<Act, u32>,
    /// How often each rule was kept, which takes an occasion that was walked and nothing unseen.
    kept: BTreeMap<&'static str, u32>,
    findings: Vec<String>,
    /// Findings that a lawful life may have.
    foreseen: BTreeMap<&'static str, u32>,
    /// How the rules on hours and clock answered.
    told: BTreeMap<Verdict, u32>,
}

impl Crowd {
    fn add(&mut self, setting: &Setting, name: &str, seeds: Range<u64>) {
        for seed in seeds {
            let rehearsed = clean(seed, setting);
            let made = rehearsed.life.clone();
            self.lives += 1;
            made.acts.iter().for_each(|act| *self.acts.entry(*act).or_default() += 1);
            let logs = read(Arc::new(Source::new("life", made.log.into_bytes())));
            let [log] = logs.as_slice() else { panic!("{name}, seed {seed}: one log") };
            assert!(log.faults().is_empty(), "{name}, seed {seed}: {:?}", log.faults());
            let case =
                Case::read("case", &made.case).unwrap_or_else(|e| panic!("{name}, seed {seed}: {e:?}"));
            let versions = case.case.versions().versions;
            assert_eq!(
                versions.len(),
                1,
                "{name}, seed {seed}: the papers disagree: {:?}",
                versions[0].choices
            );
            let examination = examine(log, &case.case, &setting.unit);
            for answer in examination.answers.iter().filter(|answer| answer.verdict == Verdict::Kept) {
                *self.kept.entry(answer.rule).or_default() += 1;
            }
            let is_foreseen = |finding: &&Finding| match finding.rule {
                // The queue votes after the hour. A clock may be off by half a day, or show another day; the key says where.
                "vote-after-hour" | "poll-day-not-displayed" => finding.weight == Weight::Unusual,
                "clock-slip" | "coarse-clock" => finding.weight == Weight::Remark,
                _ => false,
            };
            for finding in examination.findings.iter().filter(is_foreseen) {
                *self.foreseen.entry(finding.rule).or_default() += 1;
            }
            for answer in examination.answers.iter().filter(|answer| {
                rule(answer.rule).is_some_and(|rule| matches!(rule.family, Family::Hours | Family::Clock))
            }) {
                *self.told.entry(answer.verdict).or_default() += 1;
            }
            let judged = against(&rehearsed.key, &examination);
            self.findings.extend(judged.iter().filter_map(|judged| match &judged.mark {
                Mark::Disagreed(sentence) => {
                    Some(format!("{name}, seed {seed}: {}: {sentence}", judged.rule))
                }
                // The key of a lawful life asks something of every rule.
                Mark::Free => Some(format!("{name}, seed {seed}: {} is free", judged.rule)),
                Mark::Agreed | Mark::Awaiting(_) => None,
            }));
            let others = examination.findings.iter().filter(|finding| !is_foreseen(finding));
            self.findings.extend(others.map(|finding| {
                let (rule, kind) = (finding.rule, finding.kind.word());
                format!("{name}, seed {seed}: {rule} ({kind}): {} {:?}", finding.shows, finding.assumptions)
            }));
        }
    }
}

/// `domain.md`: lawful acts that a careless tool accuses. 2,016 lives of small stations on 14 kinds of unit, half of them
/// with each act five times as often, so that acts meet; and 20 of usual size, whose ring has mostly lost the opening.
/// There is no finding but three kinds: votes of the queue after the hour, each of them true and *unusual*; slips of the
/// list that fit a clock which is far off, a *remark*; and the day that such a clock displays, *unusual*. Every act happened; every rule but that on chains, which no life has, was kept often.
#[test]
fn no_lawful_life_is_accused() {
    let mut crowd = Crowd::default();
    for (place, (name, unit)) in units().into_iter().enumerate() {
        let mut setting = Setting::small(unit);
        let first = place as u64 * 1000;
        crowd.add(&setting, name, first..first + 72);
        setting.rates.values_mut().for_each(|rate| *rate = (*rate * 5).min(500));
        (setting.clock.slip, setting.clock.epoch) = (500, 100);
        crowd.add(&setting, name, first + 500..first + 572);
    }
    crowd.add(&Setting::default(), "usual size", 0..20);
    assert_eq!(crowd.lives, 2036);
    let shown = &crowd.findings[..crowd.findings.len().min(30)];
    assert!(shown.is_empty(), "{} findings\n{}", crowd.findings.len(), shown.join("\n"));
    println!(
        "{} lives: foreseen findings {:?}; hours and clock: {:?}",
        crowd.lives, crowd.foreseen, crowd.told
    );
    let missing: Vec<_> = ACTS.iter().filter(|entry| !crowd.acts.contains_key(&entry.act)).collect();
    assert!(missing.is_empty(), "acts that no life held: {missing:?}");
    let seldom = |rule: &&Rule| crowd.kept.get(rule.id).is_none_or(|kept| *kept < 500);
    let seldom: Vec<_> = RULES.iter().copied().filter(seldom).map(|rule| rule.id).collect();
    // No life has a chain, and none states how far a clock may be off, or for how long the queue may vote. Storage begins and ends within the minute that the
    // papers write, so that records beside it stay open; an interruption is rare. A fifth of the lives has a paper trail, and
    // no life measures its battery at the close or notes its tokens. These units document
    // no least time of a vote, and small stations have too few votes for digits; tests/it/pace.rs puts the two to others.
    let rare = [
        "chain-broken",
        "vote-after-queue",
        "activity-in-storage",
        "result-outside-count",
        "vote-in-interruption",
        "clock-offset",
        // Only a life with tendered ballots says how many there were, and then the register stays open.
        "register-differs",
        "slips-differ",
        "tokens-differ",
        "turnout-differs",
        "battery-higher-at-count",
        "vote-too-soon",
        "last-digit-uneven",
    ];
    assert_eq!(seldom, rare, "{:?}", crowd.kept);
}

#[test]
fn a_seed_gives_the_same_bytes_everywhere() {
    let made = life(1, &Setting::default());
    assert_eq!(made, life(1, &Setting::default()));
    let digests = [Digest::of(made.log.as_bytes()).to_string(), Digest::of(made.case.as_bytes()).to_string()];
    assert_eq!(
        digests,
        [
            "41e1199ba633412222fae268f574f8ecfc8d5676327373771b58369e3395cc0d",
            "4fb816b1620f170b4d23e1db226c9cd797ded256570e679542c1031218a0e473"
        ]
    );
}

#[test]
fn the_command_prints_a_life_or_writes_it_with_its_papers_and_never_over_a_file() {
    let made = life(7, &Setting::default());
    let (printed, _, code) = run(&["rehearse", "life", "--seed", "7"]);
    assert_eq!((printed.as_str(), code), (made.log.as_str(), 0));
    let folder = std::env::temp_dir().join(format!("logassay-rehearse-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let arguments = ["rehearse", "life", "--seed", "7", "--out", folder.to_str().unwrap()];
    let (said, _, code) = run(&arguments);
    assert!(code == 0 && said.contains(&Digest::of(made.case.as_bytes()).to_string()), "{said}");
    let (log, case) = (folder.join("life-7.log"), folder.join("life-7.case.toml"));
    assert_eq!(std::fs::read_to_string(&log).unwrap(), made.log);
    assert_eq!(std::fs::read_to_string(&case).unwrap(), made.case);
    let paths = [log.to_str().unwrap(), "--case", case.to_str().unwrap()];
    assert_eq!(run(&["examine", paths[0], paths[1], paths[2]]).2, 0, "no finding of weight");
    // A second time nothing is written over, and a log alone is not left behind.
    assert_eq!(run(&arguments).2, 2);
    std::fs::remove_file(&log).unwrap();
    assert_eq!(run(&arguments).2, 2);
    assert!(!log.exists());
    std::fs::remove_dir_all(&folder).unwrap();
}
