//! `rehearse judge`: many rehearsals examined and set against their keys.

use logassay::assessment::Sitting;
use logassay::rehearsal::Setting;
use logassay::rehearsal::fault::{clean, faults};
use logassay::report::VERSION;
use logassay::report::provenance::rule_book;
use logassay::unit::UnitDescription;

use crate::Done;
use crate::arguments::RehearseJudge;
use crate::failure::Failure;
use crate::rehearse;

/// Seeds for each fault, and lawful lives, where nothing else is asked.
const SEEDS: u64 = 20;

pub(crate) fn run(arguments: &RehearseJudge) -> Result<Done, Failure> {
    let seeds = arguments.seeds.unwrap_or(SEEDS);
    let mut sitting = Sitting::default();
    if arguments.clean {
        let small = Setting::small(UnitDescription::kestrane());
        for seed in 1..=seeds {
            sitting.take(0, "lawful life", &clean(seed, &small));
        }
    } else if let Some(name) = &arguments.fault {
        let (fault, size) = rehearse::named(name, arguments.size)?;
        sitting.take_fault(0, fault, size, seeds, arguments.last.map(usize::from));
    } else {
        for (place, fault) in faults().into_iter().enumerate() {
            let size = fault.size(None).unwrap_or_default();
            sitting.take_fault(place, fault, size, seeds, arguments.last.map(usize::from));
        }
    }
    // A figure without what was measured is none: reports tell it for this version and rule book only.
    let measured = format!("Measured: logassay {VERSION}, rule book SHA-256 {}.\n", rule_book());
    Ok(Done { text: sitting.page() + &measured, code: u8::from(!sitting.agrees()) })
}
