//! `states`: the unit's states and moves, for a reader or for another program.

use logassay::replay::graph;
use logassay::report::drawing::{self, Way};

use crate::Done;
use crate::arguments::{Form, States};
use crate::failure::Failure;
use crate::setting::Setting;

pub(crate) fn run(arguments: &States) -> Result<Done, Failure> {
    let setting = Setting::read(&arguments.evidence)?;
    let text = match arguments.form {
        Form::Table => graph::table(&setting.unit),
        Form::Dot => graph::dot(&setting.unit),
        Form::Svg => {
            let named = arguments.evidence.log.is_some() || arguments.evidence.demonstration.is_some();
            // A picture shows the way of one log: the first of the file.
            let examinations = if named { setting.examinations() } else { Vec::new() };
            let way = examinations.first().map(Way::of).unwrap_or_default();
            drawing::svg(&setting.unit, &way, named && setting.frame.demonstration)
        }
    };
    Ok(Done::well(text))
}
