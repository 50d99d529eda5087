//! What `rehearse` takes.

use std::path::PathBuf;

use clap::{Args, Subcommand};

#[derive(Debug, Subcommand)]
pub(crate) enum RehearseCommand {
    /// Make up the whole life of a unit, from the first check to the export; the same seed gives the same bytes
    Life(RehearseLife),
    /// Put a fault into a life: log and papers, and the key to what a correct examination concludes
    Fault(RehearseFault),
    /// List the faults: number, name, size, what is injected and what must be concluded
    Faults,
    /// Make a set for a class: graded exercises with questions, and one key for the trainer in a folder of its own
    Class(RehearseClass),
    /// Examine many rehearsals and set every answer against its key; exit code 1 where one disagrees
    Judge(RehearseJudge),
}

#[derive(Debug, Args)]
pub(crate) struct RehearseFault {
    /// The fault, by its name or its number in the list; several where they do not disturb each other
    #[arg(value_name = "FAULT", required = true)]
    pub(crate) names: Vec<String>,
    /// The seed
    #[arg(long, value_name = "N")]
    pub(crate) seed: u64,
    /// The size of the first fault, where size matters
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    pub(crate) size: Option<i64>,
    /// Export only the last so many records
    #[arg(long, value_name = "RECORDS", value_parser = clap::value_parser!(u16).range(1..))]
    pub(crate) last: Option<u16>,
    /// The folder to write log, case file and key into, none of which may exist; without it, the log is printed
    #[arg(long, value_name = "FOLDER")]
    pub(crate) out: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct RehearseClass {
    /// The seed
    #[arg(long, value_name = "N")]
    pub(crate) seed: u64,
    /// The folder to write into: `pupils` and `trainer` are made in it, and no file in them may exist
    #[arg(long, value_name = "FOLDER")]
    pub(crate) out: PathBuf,
}

#[derive(Debug, Args)]
pub(crate) struct RehearseJudge {
    /// Seeds for each fault, from 1; 20 without it
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..=1_000_000))]
    pub(crate) seeds: Option<u64>,
    /// Only this fault, by its name or number
    #[arg(long, value_name = "FAULT")]
    pub(crate) fault: Option<String>,
    /// The size of that fault
    #[arg(long, value_name = "N", requires = "fault", allow_negative_numbers = true)]
    pub(crate) size: Option<i64>,
    /// Of each log with a fault, only the last so many records
    #[arg(long, value_name = "RECORDS", conflicts_with = "clean", value_parser = clap::value_parser!(u16).range(1..))]
    pub(crate) last: Option<u16>,
    /// Lawful lives of small stations instead of faults
    #[arg(long, conflicts_with = "fault")]
    pub(crate) clean: bool,
}

#[derive(Debug, Args)]
pub(crate) struct RehearseLife {
    /// A small station: everything as usual but the number of voters and of test votes
    #[arg(long)]
    pub(crate) small: bool,
    /// The seed
    #[arg(long, value_name = "N")]
    pub(crate) seed: u64,
    /// The unit description; without it, the built-in one
    #[arg(long, value_name = "FILE")]
    pub(crate) unit: Option<PathBuf>,
    /// The folder to write log and case file into, neither of which may exist; without it, the log is printed
    #[arg(long, value_name = "FOLDER")]
    pub(crate) out: Option<PathBuf>,
}
