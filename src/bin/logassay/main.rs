//! The command: reads files, calls the library, prints. The only place that knows the outside world; it writes a file only when told,
//! and never over one.

mod arguments;
mod bundle;
mod case;
mod compare;
mod convert;
mod custody;
mod demonstration;
mod document;
mod examine;
mod failure;
mod folder;
mod guard;
mod judge;
mod mapping;
mod outside;
mod press;
mod rehearse;
mod rules;
mod setting;
mod states;
mod unit;
mod walk;

use std::process::ExitCode;

use logassay::report::glossary;

use arguments::{Arguments, CaseCommand, Command, CustodyCommand, MappingCommand, RehearseCommand};
use failure::Failure;

/// What a command has to print, and its exit code.
struct Done {
    text: String,
    code: u8,
}

impl Done {
    fn well(text: String) -> Done {
        Done { text, code: 0 }
    }
}

fn main() -> ExitCode {
    let arguments = match Arguments::read() {
        Ok(arguments) => arguments,
        Err(early) => return early,
    };
    let face = arguments.face;
    match run(&arguments).and_then(|done| outside::print(&done.text, face).map(|()| done.code)) {
        Ok(code) => ExitCode::from(code),
        Err(failure) => {
            outside::complain(&failure, face);
            ExitCode::from(failure::CODE)
        }
    }
}

fn run(arguments: &Arguments) -> Result<Done, Failure> {
    let layout = outside::layout(arguments.face);
    match &arguments.command {
        Command::Examine(examine) => examine::run(examine, layout),
        Command::Document(document) => document::run(document),
        Command::Glossary => Ok(Done::well(glossary::page(layout))),
        Command::Walk(walk) => walk::run(walk, layout),
        Command::Compare(compare) => compare::run(compare, layout),
        Command::Rules { questions: true, .. } => Ok(rules::questions()),
        Command::Rules { id, .. } => rules::run(id.as_deref(), layout),
        Command::Case(CaseCommand::New { log, mapping }) => case::new(log, mapping.as_deref()),
        Command::Case(CaseCommand::Check { file }) => case::check(file, layout),
        Command::Convert(convert) => convert::run(convert, layout),
        Command::Custody(CustodyCommand::Make { folder }) => custody::make(folder),
        Command::Custody(CustodyCommand::Check(check)) => custody::check(check),
        Command::Fmt(fmt) => convert::fmt(fmt),
        Command::Mapping(MappingCommand::New { file, events }) => mapping::new(file, events.map(usize::from)),
        Command::Mapping(MappingCommand::Check { file }) => mapping::check(file),
        Command::Rehearse(RehearseCommand::Life(life)) => rehearse::run_life(life),
        Command::Rehearse(RehearseCommand::Fault(fault)) => rehearse::run_fault(fault),
        Command::Rehearse(RehearseCommand::Faults) => Ok(rehearse::catalogue()),
        Command::Rehearse(RehearseCommand::Class(class)) => rehearse::run_class(class),
        Command::Rehearse(RehearseCommand::Judge(judged)) => judge::run(judged),
        Command::States(states) => states::run(states),
        Command::Unit { unit } => unit::run(unit.as_deref()),
    }
}
