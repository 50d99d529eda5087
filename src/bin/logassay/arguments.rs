//! What the command takes: its subcommands, arguments and options.

mod document;
mod press;
mod rehearsal;

use std::fmt::Write as _;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::builder::PossibleValuesParser;
use clap::error::ErrorKind;
use clap::{Args, CommandFactory as _, FromArgMatches as _, Parser, Subcommand, ValueEnum};
use logassay::exchange::FORMATS;
use logassay::report::forms::FORMS;
use logassay::report::{EXIT_CODES, Layout};
use logassay::sheet::is_day;
use logassay::source::Shown;

pub(crate) use document::{Document, DocumentForm, Edition};
pub(crate) use press::{Also, Press};
pub(crate) use rehearsal::{RehearseClass, RehearseCommand, RehearseFault, RehearseJudge, RehearseLife};

use crate::compare::Compare;
use crate::demonstration;
use crate::failure;

/// Reads the exported event log of a voting unit and says, rule by rule, what the record establishes, what it
/// contradicts, and what cannot be told.
///
/// Without a subcommand it examines; without a log it examines the built-in demonstration. Only 'document', 'fmt',
/// 'custody make' and commands with '--out' or '--bundle' write files, and never over one unless told '--replace'; all
/// other output goes to the standard output.
#[derive(Debug, Parser)]
#[command(name = "logassay", version, args_conflicts_with_subcommands = true, max_term_width = 100)]
struct Line {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    examine: Examine,
    #[command(flatten)]
    face: Face,
}

/// The arguments as the command uses them.
#[derive(Debug)]
pub(crate) struct Arguments {
    pub(crate) command: Command,
    pub(crate) face: Face,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Examine a log: every rule's answer, every finding with its lines, what cannot be told and what to ask for
    Examine(Examine),
    /// Write the examination as a document that can be filed: one page (HTML) or a PDF that holds everything
    Document(Document),
    /// Print the words of the trade and of this tool, explained for a reader without either
    Glossary,
    /// Go through a log line by line: what was done, what the unit may have been, what the rules saw there
    Walk(Walk),
    /// Say which answers change with other facts, another unit description or another log, and on which fact each hangs
    Compare(Compare),
    /// List the rules, or print one whole
    Rules {
        /// The rule's id
        id: Option<String>,
        /// Print the questions that come with the tool, as rows of a case file
        #[arg(long, conflicts_with = "id")]
        questions: bool,
    },
    /// Begin a case file, or check one
    #[command(subcommand)]
    Case(CaseCommand),
    /// Write a log in another format, or show how a file is read
    Convert(Convert),
    /// List files with their digests, or check that they are still the same
    #[command(subcommand)]
    Custody(CustodyCommand),
    /// Check a log and write its canonical form beside it
    Fmt(Fmt),
    /// Begin a mapping for a table or printout of another program, or check one
    #[command(subcommand)]
    Mapping(MappingCommand),
    /// Make up lawful logs with their papers, for training and for trying out: all of it is invented
    #[command(subcommand)]
    Rehearse(RehearseCommand),
    /// Print the states of the unit and what leads from one to another, with the way a log took
    States(States),
    /// Print the unit description that is in force
    Unit {
        /// File of the unit description; without it, the built-in one
        #[arg(long, value_name = "FILE")]
        unit: Option<PathBuf>,
    },
}

#[derive(Debug, Subcommand)]
pub(crate) enum CaseCommand {
    /// Print a case file to fill in for a log; every line is a comment, and nothing is stated yet
    New {
        /// The log; `-` for the standard input
        log: PathBuf,
        /// The mapping by which a table or printout of another program is read
        #[arg(long, value_name = "FILE")]
        mapping: Option<PathBuf>,
    },
    /// Check a case file and say what it states
    Check {
        /// The case file
        file: PathBuf,
    },
}

#[derive(Debug, Subcommand)]
pub(crate) enum MappingCommand {
    /// Print a mapping to fill in for a file, from what can be seen of it
    New {
        /// The file; `-` for the standard input
        file: PathBuf,
        /// Place, from 1, of the column whose texts are events
        #[arg(long, value_name = "PLACE", value_parser = clap::value_parser!(u16).range(1..=256))]
        events: Option<u16>,
    },
    /// Check a mapping
    Check {
        /// The mapping
        file: PathBuf,
    },
}

#[derive(Debug, Args)]
pub(crate) struct Convert {
    #[command(flatten)]
    pub(crate) evidence: Evidence,
    /// The format to write
    #[arg(long, value_name = "FORMAT", default_value = "log", value_parser = formats())]
    pub(crate) to: String,
    /// The file to write, which must not exist; without it, the standard output
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
    /// Write nothing: show how the file is read, with its first ten records
    #[arg(long = "try", conflicts_with_all = ["to", "out"])]
    pub(crate) trial: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Fmt {
    /// The log
    pub(crate) log: PathBuf,
    /// The case file, which may say which records were no part of the poll
    #[arg(long = "case", value_name = "FILE")]
    pub(crate) case_file: Option<PathBuf>,
    /// The file to write, which must not exist; without it, the log's name with `.canonical` before its ending
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
}

/// Where the log, the papers and the unit description come from.
#[derive(Debug, Args)]
pub(crate) struct Evidence {
    /// The log; `-` for the standard input; without it, the built-in demonstration
    #[arg(value_name = "LOG")]
    pub(crate) log: Option<PathBuf>,
    /// The mapping by which a table or printout of another program is read
    #[arg(long, value_name = "FILE", requires = "log")]
    pub(crate) mapping: Option<PathBuf>,
    /// The case file: what people wrote down about the unit and the poll
    #[arg(long = "case", value_name = "FILE", requires = "log")]
    pub(crate) case_file: Option<PathBuf>,
    /// The unit description; without it, the one that the case file names, else the built-in one
    #[arg(long, value_name = "FILE")]
    pub(crate) unit: Option<PathBuf>,
    /// Which built-in demonstration to use
    #[arg(long, value_name = "NAME", conflicts_with = "log", value_parser = names())]
    pub(crate) demonstration: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct Examine {
    #[command(flatten)]
    pub(crate) evidence: Evidence,
    /// The form of the report
    #[arg(long, value_name = "FORM", default_value = "text", value_parser = forms())]
    pub(crate) form: String,
    /// The same as --form json
    #[arg(long, conflicts_with = "form")]
    pub(crate) json: bool,
    /// Answer the questions that come with the tool, where the case file asks none
    #[arg(long, value_name = "WHICH", value_parser = ["standard"])]
    pub(crate) questions: Option<String>,
    /// Date of the report, as YYYY-MM-DD; without it, the one that the case file states, else none
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub(crate) date: Option<String>,
    #[command(flatten)]
    pub(crate) output: Output,
}

impl Examine {
    /// The name of the form.
    pub(crate) fn form(&self) -> &str {
        if self.json { "json" } else { &self.form }
    }
}

/// Where a report goes.
#[derive(Debug, Args)]
pub(crate) struct Output {
    /// The file to write; without it, the standard output
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
    /// Write over the file if it exists; never over a file that was read
    #[arg(long, requires = "out")]
    pub(crate) replace: bool,
    /// The folder to write into, which must not exist: all that was read, the report in every form, and a manifest
    #[arg(long, value_name = "FOLDER", conflicts_with_all = ["out", "form", "json"])]
    pub(crate) bundle: Option<PathBuf>,
    /// What the bundle holds besides; may be given again
    #[arg(long, value_name = "WHAT", value_enum, requires = "bundle")]
    pub(crate) also: Vec<Also>,
    #[command(flatten)]
    pub(crate) press: Press,
}

#[derive(Debug, Subcommand)]
pub(crate) enum CustodyCommand {
    /// List all files of a folder in a manifest there, with lengths and digests, as 'sha256sum -c' checks them
    Make {
        /// The folder; the manifest is written into it, and must not exist there
        folder: PathBuf,
    },
    /// Hold a folder against its manifest: what is unchanged, changed, missing, new
    Check(CustodyCheck),
}

#[derive(Debug, Args)]
pub(crate) struct CustodyCheck {
    /// The folder
    pub(crate) folder: PathBuf,
    /// The file of allowed signers; with it the signature beside the manifest is checked by ssh-keygen
    #[arg(long, value_name = "FILE", requires = "signer")]
    pub(crate) signers: Option<PathBuf>,
    /// Who should have signed, as the file of allowed signers names them
    #[arg(long, value_name = "WHO", requires = "signers")]
    pub(crate) signer: Option<String>,
    /// The signature, where it does not lie beside the manifest
    #[arg(long, value_name = "FILE", requires = "signers")]
    pub(crate) signature: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct Walk {
    #[command(flatten)]
    pub(crate) evidence: Evidence,
    /// Print the sheet with empty fields and without any answer, to fill in with a class
    #[arg(long, conflicts_with = "json")]
    pub(crate) blank: bool,
    /// Print as JSON, with the states by name
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct States {
    #[command(flatten)]
    pub(crate) evidence: Evidence,
    /// The form: a table for other programs, a graph in DOT, or a picture in SVG
    #[arg(long, value_enum, default_value = "table")]
    pub(crate) form: Form,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Form {
    /// State, event and state reached, separated by tabs
    Table,
    /// DOT
    Dot,
    /// SVG
    Svg,
}

/// How the output looks.
#[derive(Debug, Clone, Copy, Args)]
pub(crate) struct Face {
    /// Columns of the page; without it, those of the terminal
    #[arg(long, global = true, value_name = "N", value_parser = width)]
    pub(crate) width: Option<usize>,
    /// When to use colour
    #[arg(long, global = true, alias = "color", value_enum, default_value = "auto")]
    pub(crate) colour: Colour,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Colour {
    /// On a terminal that shows it, unless `NO_COLOR` is set
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

fn names() -> PossibleValuesParser {
    PossibleValuesParser::new(demonstration::ALL.iter().map(|demonstration| demonstration.name))
}

/// The formats that can be written.
fn formats() -> PossibleValuesParser {
    PossibleValuesParser::new(
        FORMATS
            .iter()
            .filter(|format| format.writes.is_some())
            .map(|format| clap::builder::PossibleValue::new(format.id).help(format.meaning)),
    )
}

/// The forms of a report on an examination.
fn forms() -> PossibleValuesParser {
    PossibleValuesParser::new(
        FORMS.iter().map(|form| clap::builder::PossibleValue::new(form.id).help(form.meaning)),
    )
}

fn width(text: &str) -> Result<usize, String> {
    match text.parse() {
        Ok(width) if (Layout::LEAST..=1000).contains(&width) => Ok(width),
        _ => Err(format!("a whole number from {} to 1000", Layout::LEAST)),
    }
}

impl Arguments {
    /// Reads the command line. The error is the exit code after help, version or a complaint was printed.
    pub(crate) fn read() -> Result<Arguments, ExitCode> {
        let matches = Line::command().after_long_help(exit_codes()).try_get_matches();
        let line = matches.and_then(|matches| Line::from_arg_matches(&matches));
        match line {
            Ok(line) => {
                let command = line.command.unwrap_or(Command::Examine(line.examine));
                Ok(Arguments { command, face: line.face })
            }
            Err(error) if matches!(error.kind(), ErrorKind::DisplayHelp | ErrorKind::DisplayVersion) => {
                // A reader who has seen enough of the help may close the pipe.
                let _closed = error.print();
                Err(ExitCode::SUCCESS)
            }
            Err(error) => {
                // The complaint repeats what was typed, and a file's name may have been typed: each line passes the gate.
                for text in error.render().to_string().lines() {
                    eprintln!("{}", Shown::inert(text));
                }
                Err(ExitCode::from(failure::CODE))
            }
        }
    }
}

/// The exit codes, for the end of the long help.
fn exit_codes() -> String {
    let mut text = String::from("Exit codes:\n");
    for (code, meaning) in EXIT_CODES {
        // Writing to a String cannot fail.
        let _written = writeln!(text, "  {code}  {meaning}");
    }
    text
}

/// A day, for the argument parser.
fn date(text: &str) -> Result<String, String> {
    if is_day(text) { Ok(text.to_owned()) } else { Err("a day of the calendar, YYYY-MM-DD".to_owned()) }
}
