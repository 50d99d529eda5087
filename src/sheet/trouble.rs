//! Troubles: what is wrong in a sheet, where it stands, and the right form; every text of them has passed the gate.

use std::collections::BTreeSet;
use std::fmt;

use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError, MietteSpanContents,
    SourceCode, SourceSpan, SpanContents,
};

use super::secrecy::{reads_like_evidence, shown_until};
use super::{LARGEST, MOST_TROUBLES, Sheet};
use crate::source::{MASK, Shown, Span};

/// Characters of a line that an excerpt shows before the place of the trouble.
const BEFORE: usize = 40;
/// Characters of a line that an excerpt shows from the place of the trouble on.
const BEHIND: usize = 60;

/// One thing that is wrong in a sheet. It is a [`miette::Diagnostic`] with a short excerpt of its line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trouble {
    /// The bytes at fault; the table's header where a key is missing.
    pub span: Span,
    /// Line of the first of them, from 1.
    pub line: usize,
    /// Column of the first of them in characters, from 1.
    pub column: usize,
    /// What is wrong.
    pub message: Shown,
    /// The right form.
    pub help: Shown,
    excerpt: Excerpt,
}

/// One line of a sheet, or a part of it, behind the gate, and the place marked in it.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Excerpt {
    name: Shown,
    text: Shown,
    mark: Span,
    line: usize,
    column: usize,
}

impl Trouble {
    /// Where it stands: `name:line:column`.
    #[must_use]
    pub fn place(&self) -> String {
        format!("{}:{}:{}", self.excerpt.name, self.line, self.column)
    }

    /// The trouble as a report for the terminal: message, excerpt with line and column, help.
    #[must_use]
    pub fn render(&self, width: usize, colour: bool) -> String {
        let theme = if colour { GraphicalTheme::unicode() } else { GraphicalTheme::unicode_nocolor() };
        let mut page = String::new();
        let handler = GraphicalReportHandler::new_themed(theme)
            .with_width(width)
            .with_links(false)
            .without_cause_chain()
            .without_syntax_highlighting();
        if handler.render_report(&mut page, self).is_err() {
            // Miette gives up only where a label lies outside its text; the plain words are then still true.
            page = format!("{}: {}\n  help: {}\n", self.place(), self.message, self.help);
        }
        page
    }
}

/// All troubles of a sheet, one report after the other.
#[must_use]
pub fn explain(troubles: &[Trouble], width: usize, colour: bool) -> String {
    troubles.iter().map(|trouble| trouble.render(width, colour)).collect::<Vec<_>>().join("\n")
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.message)
    }
}

impl std::error::Error for Trouble {}

impl Diagnostic for Trouble {
    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Some(Box::new(&self.help))
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(&self.excerpt)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let mark = self.excerpt.mark;
        let label = LabeledSpan::new_primary_with_span(Some("here".to_owned()), (mark.start, mark.len()));
        Some(Box::new(std::iter::once(label)))
    }
}

impl SourceCode for Excerpt {
    fn read_span<'a>(
        &'a self,
        _span: &SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        // Asked without context, miette wants the place to print; asked with context, the text to draw.
        let column = if before == 0 && after == 0 { self.column.saturating_sub(1) } else { 0 };
        let text = self.text.as_str();
        Ok(Box::new(MietteSpanContents::new_named(
            self.name.as_str().to_owned(),
            text.as_bytes(),
            SourceSpan::from((0, text.len())),
            self.line.saturating_sub(1),
            column,
            1,
        )))
    }
}

/// The troubles of one sheet while it is being read.
pub(crate) struct Troubles<'t> {
    sheet: &'t Sheet,
    name: &'t str,
    text: &'t str,
    /// Offset of the first byte of each line.
    starts: Vec<usize>,
    /// Lines, from 1, on which the text is no TOML: what follows from them is not said again.
    torn: BTreeSet<usize>,
    /// Place, message and help; excerpts are cut only for those that are listed in the end.
    list: Vec<(Span, String, String)>,
}

impl<'t> Troubles<'t> {
    pub(crate) fn new(sheet: &'t Sheet, name: &'t str, text: &'t str) -> Troubles<'t> {
        let behind = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(place, _)| place + 1);
        let starts = std::iter::once(0).chain(behind).collect();
        Troubles { sheet, name, text, starts, torn: BTreeSet::new(), list: Vec::new() }
    }

    /// Adds a trouble at a place where the text is no TOML.
    pub(crate) fn tear(&mut self, span: Span, message: &str, help: &str) {
        self.torn.insert(self.line_of(span.start));
        self.list.push((span, message.to_owned(), help.to_owned()));
    }

    /// Adds a trouble, unless it stands on a line that is no TOML and so was said already.
    pub(crate) fn add(&mut self, span: Span, message: &str, help: &str) {
        if !self.torn.contains(&self.line_of(span.start)) {
            self.list.push((span, message.to_owned(), help.to_owned()));
        }
    }

    /// Adds a trouble about something missing, unless it may stand where the text is no TOML.
    pub(crate) fn lack(&mut self, span: Span, message: &str, help: &str) {
        if self.torn.is_empty() {
            self.list.push((span, message.to_owned(), help.to_owned()));
        }
    }

    /// Whether nothing was found so far.
    pub(crate) fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// Line, from 1, of an offset.
    pub(crate) fn line_of(&self, offset: usize) -> usize {
        self.starts.partition_point(|start| *start <= offset)
    }

    /// The text of a span.
    pub(crate) fn text_at(&self, span: Span) -> &'t str {
        self.text.get(span.start..span.end).unwrap_or_default()
    }

    /// The troubles in the order of the file; past [`MOST_TROUBLES`] the last one says that more were found.
    pub(crate) fn finish(mut self) -> Vec<Trouble> {
        let mut list = std::mem::take(&mut self.list);
        if !list.is_empty() && reads_like_evidence(self.text) {
            // A log named in the place of a sheet: no word of it is repeated.
            let title = self.sheet.title;
            let message = format!("this reads like a log or an export of one, not like a {title}");
            let help = format!(
                "name a {title} here, and the log where a log belongs; nothing of this file is shown, for it may hold \
                 a voter's choice"
            );
            return vec![self.trouble(Span::default(), &message, &help, |_, _| 0)];
        }
        list.sort_by_key(|(span, _, _)| *span);
        list.dedup();
        let found = list.len();
        if let Some((rest, message, help)) = list.get_mut(MOST_TROUBLES) {
            *message = format!("{} more troubles begin here and are not listed", found - MOST_TROUBLES);
            "mend those listed above and read the file again".clone_into(help);
            *rest = Span::new(rest.start, rest.start);
        }
        list.truncate(MOST_TROUBLES + 1);
        let until = |line: &str, torn: bool| shown_until(self.sheet, line, torn);
        list.iter().map(|(span, message, help)| self.trouble(*span, message, help, until)).collect()
    }

    /// A trouble with as much of its line as may be shown: `until` this offset, by what the line says and whether it is torn.
    fn trouble(&self, span: Span, message: &str, help: &str, until: impl Fn(&str, bool) -> usize) -> Trouble {
        let line = self.line_of(span.start);
        let start = self.starts.get(line.saturating_sub(1)).copied().unwrap_or_default();
        let rest = self.text.get(start..).unwrap_or_default();
        let written = rest.split('\n').next().unwrap_or_default().trim_end_matches('\r');
        let behind = start + written.len();
        let head = self.text_at(Span::new(start, span.start.min(behind)));
        let marked = self.text_at(Span::new(start + head.len(), span.end.min(behind))).len();
        let column = head.chars().count() + 1;
        let until = until(written, self.torn.contains(&line));
        let (covered, head, marked) = cover(written, until, head, marked);
        Trouble {
            span,
            line,
            column,
            message: Shown::inert(message),
            help: Shown::inert(help),
            excerpt: Excerpt::cut(Shown::inert(self.name), &covered, head, marked, (line, column)),
        }
    }
}

/// A line covered from an offset on: the line, what stands before the mark, and the length of the mark.
fn cover<'l>(line: &'l str, until: usize, head: &'l str, marked: usize) -> (String, &'l str, usize) {
    let shown = line.get(..until).unwrap_or_default();
    if shown.len() == line.len() {
        return (line.to_owned(), head, marked);
    }
    let space = if shown.is_empty() { "" } else { " " };
    let covered = format!("{shown}{space}{MASK}");
    if head.len() < shown.len() {
        return (covered, head, marked.min(shown.len() - head.len()));
    }
    (covered, shown, space.len() + MASK.len())
}

impl Excerpt {
    /// Cuts a line down to what stands around the mark, and passes it through the gate.
    fn cut(name: Shown, written: &str, head: &str, marked: usize, at: (usize, usize)) -> Excerpt {
        let skipped = head.chars().count().saturating_sub(BEFORE);
        let near: String = head.chars().skip(skipped).collect();
        let tail = written.get(head.len()..).unwrap_or_default();
        let shown: String = tail.chars().take(BEHIND).collect();
        let within = shown.get(..marked).unwrap_or(&shown);
        let mut text = String::new();
        if skipped > 0 {
            text.push_str("... ");
        }
        text.push_str(Shown::inert(&near).as_str());
        let start = text.len();
        let mark = Span::new(start, start + Shown::inert(within).as_str().len());
        text.push_str(Shown::inert(&shown).as_str());
        if shown.len() < tail.len() {
            text.push_str(" ...");
        }
        if text.is_empty() {
            // Miette draws no line for an empty text.
            text.push(' ');
        }
        Excerpt { name, text: Shown::inert(&text), mark, line: at.0, column: at.1 }
    }
}

/// Bytes as the text of a sheet: at most [`LARGEST`] of them, and all UTF-8.
pub(crate) fn decode<'b>(sheet: &Sheet, name: &str, bytes: &'b [u8]) -> Result<&'b str, Vec<Trouble>> {
    let fail = |text: &str, span: Span, message: &str, help: &str| {
        let mut troubles = Troubles::new(sheet, name, text);
        troubles.tear(span, message, help);
        Err(troubles.finish())
    };
    if bytes.len() > LARGEST {
        let message = format!("the file has {} bytes; at most {LARGEST} are read", bytes.len());
        return fail("", Span::default(), &message, "split the file, or take out what is not meant for it");
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => Ok(text),
        Err(error) => {
            let good = bytes.get(..error.valid_up_to()).unwrap_or_default();
            let text = std::str::from_utf8(good).unwrap_or_default();
            let span = Span::new(text.len(), text.len());
            fail(text, span, "the bytes from here on are not UTF-8", "save the file as UTF-8 text")
        }
    }
}
