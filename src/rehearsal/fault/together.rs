//! One fault or several put into one life, with log, papers and key.

use super::Fault;
use super::injection::Injection;
use crate::rehearsal::acts::Act;
use crate::rehearsal::chance::Chance;
use crate::rehearsal::key::Key;
use crate::rehearsal::life::{Life, lived};
use crate::rehearsal::setting::Setting;
use crate::rehearsal::truth;
use crate::rehearsal::unwritten::Print;
use crate::unit::{UnitDescription, Unlogged};

/// A rehearsal: log and papers for the pupil, the unit's description, and the key for the trainer.
#[derive(Debug, Clone)]
pub struct Rehearsed {
    /// Log and papers.
    pub life: Life,
    /// What the unit does.
    pub unit: UnitDescription,
    /// What must be concluded.
    pub key: Key,
}

impl Rehearsed {
    /// The description of the unit as a file, where it is not the built-in one.
    #[must_use]
    pub fn unit_sheet(&self) -> Option<String> {
        (self.unit != UnitDescription::kestrane()).then(|| self.described("1, changed for a rehearsal"))
    }

    /// The same whatever it is, under a version: that there is a file says nothing.
    #[must_use]
    pub fn described(&self, version: &str) -> String {
        let mut text = String::new();
        for line in UnitDescription::kestrane_text().lines() {
            let key = line.split(" =").next().unwrap_or_default();
            match key {
                "version" => text.push_str(&format!("version = \"{version}\"")),
                "keeps" => text.push_str(&format!("keeps = {}", self.unit.keeps)),
                "unlogged" => text.push_str(if self.unit.unlogged == [Unlogged::EnableLapse] {
                    "unlogged = [\"enable-lapse\"]"
                } else {
                    line
                }),
                _ if line.starts_with("# least-ms-per-vote") && self.unit.least_ms_per_vote.is_some() => {
                    let least = self.unit.least_ms_per_vote.unwrap_or_default();
                    text.push_str(&format!(
                        "# The least time that one vote takes, in milliseconds.\nleast-ms-per-vote = {least}"
                    ));
                }
                _ => text.push_str(line),
            }
            text.push('\n');
        }
        text
    }
}

/// Stream of chance by which a fault finds its place.
const FAULTS: u64 = 9;

/// Lives that are tried until one has room for the fault.
const TRIES: u64 = 200;

/// Acts that a life with a fault does not hold: each makes the key longer and teaches nothing about the fault.
const LEFT_OUT: &[Act] = &[
    Act::MockVotesKept,
    Act::ReplacedUnit,
    Act::ReplacementUnit,
    Act::SimultaneousPolls,
    Act::Adjourned,
    Act::Repeated,
    Act::BallotUnitReplaced,
    Act::PaperTrail,
    Act::ResultUnclosed,
    Act::ClearedAfterCount,
    Act::Trained,
    Act::TestVote,
];

/// A small station whose clock goes well.
fn calm() -> Setting {
    let mut setting = Setting::small(UnitDescription::kestrane());
    setting.voters = (14, 30);
    setting.waiting = 4.0;
    for act in LEFT_OUT {
        setting.rates.insert(*act, 0);
    }
    let clock = &mut setting.clock;
    // A clock that ran for most of a year may be minutes off with less than this.
    (clock.offset_s, clock.ppm, clock.slip, clock.set, clock.epoch) = (20, 4, 0, 0, 0);
    clock.steps_ms = vec![1000];
    setting
}

/// Puts faults, each with its size, into the life of a seed. `last`: only the last so many records are exported.
///
/// # Errors
/// A sentence that says why the faults cannot be put together, or find no place.
pub fn rehearse(
    faults: &[(&'static Fault, i64)],
    seed: u64,
    last: Option<usize>,
) -> Result<Rehearsed, String> {
    for (place, (fault, _)) in faults.iter().enumerate() {
        for (other, _) in faults.iter().skip(place + 1) {
            if fault.touches.stands_alone() || other.touches.stands_alone() || fault.touches == other.touches
            {
                return Err(format!(
                    "the faults {} and {} disturb each other in one life, so that no key would hold for both",
                    fault.id, other.id
                ));
            }
        }
    }
    let mut setting = calm();
    for (fault, _) in faults {
        (fault.setting)(&mut setting);
    }
    for attempt in 0..TRIES {
        // The first life is that of the seed; the others lie far from every seed that a person would choose.
        let of = seed.wrapping_add(attempt.wrapping_mul(0x9E37_79B9_7F4A_7C15));
        let put = |last: Option<usize>| {
            let mut injection = Injection::into(lived(of, &setting), Chance::new(of, FAULTS));
            injection.last = last;
            faults.iter().try_for_each(|(fault, size)| {
                injection.size = *size;
                (fault.inject)(&mut injection)
            })?;
            Some(injection)
        };
        // Which life it is does not hang on how much of it is exported; what the key may say of it does.
        let Some(whole) = put(None) else { continue };
        let Some(last) = last else { return Ok(finish(whole, faults, seed, None)) };
        if let Some(mut injection) = put(Some(last)) {
            injection.print(Print::Last(last));
            return Ok(finish(injection, faults, seed, Some(last)));
        }
    }
    Err("no life of this seed has a place for the fault; another seed or another size may have one"
        .to_owned())
}

/// A life without a fault, and what must be concluded of it: nothing, but for what the log truly shows.
#[must_use]
pub fn clean(seed: u64, setting: &Setting) -> Rehearsed {
    let life = lived(seed, setting);
    let mut injection = Injection::into(life, Chance::new(seed, FAULTS));
    injection.key.did("Nothing: this life is lawful from its first check to its export", &[]);
    finish(injection, &[], seed, None)
}

fn finish(
    injection: Injection,
    faults: &[(&'static Fault, i64)],
    seed: u64,
    last: Option<usize>,
) -> Rehearsed {
    let Injection { life, mut key, .. } = injection;
    let written = life.write();
    truth::conclude(&life, &written.places, &mut key);
    let command = if faults.is_empty() {
        format!("logassay rehearse life --small --seed {seed}")
    } else {
        let names: Vec<&str> = faults.iter().map(|(fault, _)| fault.id).collect();
        let size = match faults {
            [(Fault { size: Some(_), .. }, size)] => format!(" --size {size}"),
            _ => String::new(),
        };
        let last = last.map_or_else(String::new, |last| format!(" --last {last}"));
        format!("logassay rehearse fault {}{size} --seed {seed}{last}", names.join(" "))
    };
    let key = Key {
        faults: faults.iter().map(|(fault, _)| fault.id).collect(),
        seed,
        command,
        done: key.done(&written.places),
        concludes: faults.iter().map(|(fault, _)| fault.concludes).collect(),
        conclusions: key.resolve(&written.places),
    };
    Rehearsed { life: written.life, unit: life.unit, key }
}
