//! `examine`: the report on a log.

use logassay::report::{Layout, exit_code, forms};
use logassay::source::Shown;

use crate::Done;
use crate::arguments::Examine;
use crate::bundle;
use crate::failure::Failure;
use crate::outside;
use crate::setting::{self, Setting};

pub(crate) fn run(arguments: &Examine, layout: Layout) -> Result<Done, Failure> {
    let bundle = arguments.output.bundle.as_deref();
    let read = if bundle.is_some() { Setting::read_in_folder } else { Setting::read };
    let mut setting = read(&arguments.evidence)?;
    if arguments.questions.is_some() {
        setting.ask_standard_questions();
    }
    if let Some(date) = &arguments.date {
        setting.frame.date = Some(Shown::inert(date));
    }
    if let Some(place) = bundle {
        let date = arguments.date.iter().flat_map(|date| ["--date", date]);
        let rest = date.chain(["--bundle", "FOLDER"]).map(str::to_owned);
        setting.frame.command = setting::repeated("examine", &arguments.evidence, rest);
        let examinations = setting.examinations();
        let said = bundle::write(place, &setting, &examinations)?;
        return Ok(Done { text: said, code: exit_code(&examinations) });
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
    outside::write(path, &text, arguments.output.replace, &setting.read)?;
    Ok(Done { text: outside::written(path, &text), code })
}
