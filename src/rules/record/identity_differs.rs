//! A serial, role or software version in the log that is not the one in the case file.

use super::{EXPORTER, MAKER, WAY_OF_THE_FILE};
use crate::case::Stated;
use crate::event::Event;
use crate::finding::{Kind, Place, Weight};
use crate::rules::phases::said;
use crate::rules::{Basis, Contrary, Example, Family, Needs, Ordinary, Rule, Scope, Walk, Want};
use crate::source::Shown;
use crate::syntax::Value;

pub(crate) static RULE: Rule = Rule {
    id: "identity-differs",
    family: Family::Record,
    kind: Kind::Conditional,
    weight: Weight::Discrepancy,
    title: "The log names another serial, role or software version than the case file.",
    asks: "Serial, role and software version in the log are those that the case file states.",
    basis: &[
        Basis::Format(
            "the header's `serial`, `role` and `software`, and the version in software-version records",
        ),
        Basis::Practice("the units of a station are listed by serial before the poll"),
        Basis::Comparable("VVSG 1.1, volume 1, 2.1.5.1 D: each logged event names its system"),
    ],
    why: "Every other answer speaks about the unit whose log this is. When log and papers name different units, parts \
          or versions, one of them is wrong or they are about different units, and then the papers do not fit the log. \
          Capital letters and spaces make no difference here.",
    ordinary: &[
        Ordinary::new(
            "The log of another unit was handed over, for instance a spare or one of a neighbouring station.",
            "the plate and the seals of the unit, and the custody papers",
        ),
        Ordinary::new(
            "A slip of the pen in the paper, or another way of writing the serial.",
            "the other papers that name the unit",
        ),
        Ordinary::new(
            "A unit or its software was replaced after the paper was written.",
            "the papers of the replacement or of the update",
        ),
    ],
    look_next: &[
        "The plate of the unit, from its custodian.",
        "The register of units for the station.",
        WAY_OF_THE_FILE,
    ],
    needs: &[Needs::Identity],
    scope: Scope::Text,
    occasions: "statements of serial, role or software",
    examples: &[
        Example {
            title: "The header names another serial than the register.",
            log: "serial: CU-20417\n\
                  ^ identity-differs\n\
                  role: control\n\
                  1201 2031-05-10 07:00:05 total\n",
            case: "[[unit]]\nserial = \"CU-20471\"\nsource = \"Register of units\"\nby = \"Registrar\"\n",
        },
        Example {
            title: "The unit states another software version than the certificate.",
            log: "software: 4.2\n\
                  1201 2031-05-10 06:58:05 power-on\n\
                  1202 2031-05-10 06:58:07 software-version version=4.3\n\
                  ^ identity-differs\n",
            case: "[[unit]]\nsoftware = \"4.2\"\nsource = \"Certificate of first-level check\"\nby = \"Registrar\"\n",
        },
        Example {
            title: "Near miss: the paper writes the serial in small letters.",
            log: "serial: CU-20417\n\
                  1201 2031-05-10 07:00:05 total\n",
            case: "[[unit]]\nserial = \"cu-20417\"\nsource = \"Register of units\"\nby = \"Registrar\"\n",
        },
        Example {
            title: "Near miss: the log does not name the role that the case file states. This stays open.",
            log: "serial: CU-20417\n\
                  1201 2031-05-10 07:00:05 total\n",
            case: "[[unit]]\nserial = \"CU-20417\"\nrole = \"control\"\nsource = \"Register of units\"\nby = \"Registrar\"\n",
        },
    ],
    walk: |known, walk| {
        let unit = &known.case.unit;
        for (key, what, stated) in [
            ("serial", "serial", &unit.serial),
            ("role", "role", &unit.role),
            ("software", "software version", &unit.software),
        ] {
            if stated.is_empty() {
                continue;
            }
            match known.log.header_line(key) {
                Some((line, value)) => compare(walk, Place::Line(line), what, value, stated),
                None => walk.open(
                    Place::Log,
                    Want::Other(
                        format!("the header of the log names no {what}"),
                        EXPORTER,
                        format!("the {what} of the unit whose log was exported"),
                    ),
                ),
            }
        }
        if unit.software.is_empty() {
            return;
        }
        for step in known.steps_of(Event::SoftwareVersion) {
            let Some(record) = known.record(*step) else {
                continue;
            };
            match known.log.attribute(record, "version") {
                Some(value) => {
                    compare(walk, Place::Line(record.line), "software version", value, &unit.software)
                }
                None => walk.open(
                    Place::Line(record.line),
                    Want::Other(
                        "a software-version record does not state the version".to_owned(),
                        MAKER,
                        "the version of the unit's software".to_owned(),
                    ),
                ),
            }
        }
    },
};

fn compare(walk: &mut Walk<'_>, at: Place, what: &str, value: Value<'_>, stated: &[Stated<String>]) {
    if stated.iter().any(|stated| plain(&stated.value) == plain(value.text())) {
        walk.in_order(at);
        return;
    }
    let Some(first) = stated.first() else { return };
    let paper = Shown::inert(&first.value);
    let contrary = Contrary {
        expected: format!("The {what} in the log is '{paper}', as the case file states."),
        shows: format!("The log names the {what} '{}'; the case file states '{paper}'.", value.shown()),
        assumptions: vec![format!("the {what} of the unit is '{paper}', {}", said(&first.basis))],
        ..Contrary::default()
    };
    walk.contrary(at, contrary);
}

/// People write serials with spaces and in either case.
fn plain(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_lowercase).collect()
}
