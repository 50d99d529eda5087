//! An error: the command cannot do its work. It names the file and says what would help.

use std::fmt;

use logassay::sheet::Trouble;
use logassay::source::Shown;
use miette::{Diagnostic, GraphicalReportHandler, GraphicalTheme};

/// The exit code of every failure; its meaning stands in the library's table.
pub(crate) const CODE: u8 = 2;

/// Why a command cannot do its work.
#[derive(Debug)]
pub(crate) enum Failure {
    /// One thing is wrong.
    One {
        /// What is wrong.
        message: Shown,
        /// What would help.
        help: Shown,
    },
    /// A case file or a unit description has errors, each with its place.
    Sheet {
        /// What the file is.
        what: &'static str,
        /// Its errors.
        troubles: Vec<Trouble>,
    },
}

impl Failure {
    pub(crate) fn new(message: &str, help: &str) -> Failure {
        Failure::One { message: Shown::inert(message), help: Shown::inert(help) }
    }

    /// The failure as a report for the terminal.
    pub(crate) fn render(&self, width: usize, colour: bool) -> String {
        let mut page = String::new();
        if let Failure::Sheet { troubles, .. } = self {
            page.push_str(&logassay::sheet::explain(troubles, width, colour));
            page.push('\n');
        }
        let theme = if colour { GraphicalTheme::unicode() } else { GraphicalTheme::unicode_nocolor() };
        let handler = GraphicalReportHandler::new_themed(theme).with_width(width).with_links(false);
        let mut last = String::new();
        match handler.render_report(&mut last, self) {
            Ok(()) => page.push_str(&last),
            Err(_) => page.push_str(&format!("{self}\n")),
        }
        page
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Failure::One { message, .. } => message.fmt(f),
            Failure::Sheet { what, troubles } => {
                let plural = if troubles.len() == 1 { "" } else { "s" };
                write!(f, "the {what} has {} error{plural}, and nothing was examined", troubles.len())
            }
        }
    }
}

impl std::error::Error for Failure {}

impl Diagnostic for Failure {
    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        match self {
            Failure::One { help, .. } => Some(Box::new(help)),
            Failure::Sheet { .. } => {
                Some(Box::new("mend what is listed above; each place shows the right form"))
            }
        }
    }
}
