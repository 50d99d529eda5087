//! `examine`: the report on a log.

use logassay::report::{Layout, exit_code, forms};
use logassay::source::Shown;

use crate::Done;
use crate::arguments::Examine;
use crate::failure::Failure;
use crate::outside;
use crate::setting::Setting;

pub(crate) fn run(arguments: &Examine, layout: Layout) -> Result<Done, Failure> {
    let mut setting = Setting::read(&arguments.evidence)?;
    if arguments.questions.is_some() {
        setting.ask_standard_questions();
    }
    if let Some(date) = &arguments.date {
        setting.frame.date = Some(Shown::inert(date));
    }
    let examinations = setting.examinations();
    let Some(form) = forms::form(arguments.form()) else {
        return Err(Failure::new("there is no such form of report", "the help lists them"));
    };
    // A page for a terminal has its colours only there.
    let colour = layout.colour && arguments.output.out.is_none();
    let text = (form.write)(&examinations, &setting.frame, Layout { colour, ..layout });
    let code = exit_code(&examinations);
    let Some(path) = &arguments.output.out else {
        return Ok(Done { text, code });
    };
    if arguments.output.replace {
        outside::write_over(path, text.as_bytes(), &setting.read)?;
    } else {
        outside::write_new(path, &text)?;
    }
    Ok(Done { text: outside::written(path, &text), code })
}
