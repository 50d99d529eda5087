//! `examine`: the report on a log.

use logassay::report::{Layout, exit_code, json, terminal};

use crate::Done;
use crate::arguments::Examine;
use crate::failure::Failure;
use crate::setting::Setting;

pub(crate) fn run(arguments: &Examine, layout: Layout) -> Result<Done, Failure> {
    let mut setting = Setting::read(&arguments.evidence)?;
    if arguments.questions.is_some() {
        setting.ask_standard_questions();
    }
    let examinations = setting.examinations();
    let text = if arguments.json {
        json::report(&examinations, &setting.frame)
    } else {
        terminal::report(&examinations, &setting.frame, layout)
    };
    Ok(Done { text, code: exit_code(&examinations) })
}
