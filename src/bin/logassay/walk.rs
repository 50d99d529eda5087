//! `walk`: the log line by line.

use logassay::report::{Layout, walk};

use crate::Done;
use crate::arguments::Walk;
use crate::failure::Failure;
use crate::setting::Setting;

pub(crate) fn run(arguments: &Walk, layout: Layout) -> Result<Done, Failure> {
    let setting = Setting::read(&arguments.evidence)?;
    let examinations = setting.examinations();
    let text = match (arguments.json, arguments.blank) {
        (true, _) => walk::json(&examinations, &setting.frame),
        (false, true) => walk::blank(&examinations, &setting.frame, layout),
        (false, false) => walk::page(&examinations, &setting.frame, layout),
    };
    Ok(Done::well(text))
}
