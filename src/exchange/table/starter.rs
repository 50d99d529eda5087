//! The beginning of a mapping: what can be seen of a foreign file without taking anything for known. Cells are shown by
//! their shape only, for one of them may be a voter's choice or name.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::rows::{self, Cell};
use super::trade::is_of_the_trade;
use crate::event::EVENTS;
use crate::source::{Encoding, Shown, Source, Span};

/// Rows that are looked at.
const LOOKED_AT: usize = 2_000;

/// Most different texts of the event column that are listed.
const MOST_WORDS: usize = 200;

/// Separators that are tried, each with its word in a mapping.
const SEPARATORS: [(u8, &str); 4] = [(b';', "semicolon"), (b'\t', "tab"), (b',', "comma"), (b'|', "bar")];

/// A mapping to fill in for a file. `events` is the place, from 1, of the column whose texts are to be listed.
#[must_use]
pub fn starter(source: Source, events: Option<usize>) -> String {
    let encoding = encoding_of(&source);
    let source = source.read_in(encoding);
    let mut page = format!(
        "# A mapping for {}, begun from what can be seen. Every line that begins with #[ or a # and a key is for you to\n\
         # decide: remove the # where it is right. grammar/mapping.md says what each key means. Nothing here is known:\n\
         # check it against the paper that describes the export.\n\n\
         [mapping]\nname = \"What kind of export this is\"\nversion = \"1\"\n#source = \"The paper that describes it\"\n\n",
        source.name()
    );
    match separator(&source) {
        Some((byte, word)) => delimited(&mut page, &source, encoding, (byte, word), events),
        None => fixed(&mut page, &source, encoding),
    }
    page
}

/// By its mark; without one UTF-8 if it is that, else Latin-1, in which every byte is a character.
fn encoding_of(source: &Source) -> Encoding {
    let bytes = source.raw();
    match Encoding::of_mark(bytes) {
        Encoding::Utf8 if std::str::from_utf8(bytes).is_err() => Encoding::Latin1,
        encoding => encoding,
    }
}

/// The separator that cuts most of the rows into the same number of cells, more than one.
fn separator(source: &Source) -> Option<(u8, &'static str)> {
    let usual = |byte: u8| {
        let mut widths: BTreeMap<usize, usize> = BTreeMap::new();
        for cells in rows::cut(source, byte, LOOKED_AT) {
            *widths.entry(cells.len()).or_default() += 1;
        }
        widths.into_iter().filter(|(width, _)| *width > 1).max_by_key(|(width, times)| (*times, *width))
    };
    SEPARATORS
        .into_iter()
        .filter_map(|(byte, word)| usual(byte).map(|(width, times)| ((times, width), (byte, word))))
        .max_by_key(|(rank, _)| *rank)
        .map(|(_, found)| found)
}

fn delimited(
    page: &mut String,
    source: &Source,
    encoding: Encoding,
    (byte, word): (u8, &str),
    events: Option<usize>,
) {
    let all: Vec<Vec<Cell>> = rows::cut(source, byte, LOOKED_AT).collect();
    let mut widths: BTreeMap<usize, usize> = BTreeMap::new();
    all.iter().for_each(|cells| *widths.entry(cells.len()).or_default() += 1);
    let width = widths.into_iter().max_by_key(|(_, times)| *times).map_or(0, |(width, _)| width);
    let first = all.iter().find(|cells| cells.len() == width).and_then(|cells| cells.first());
    let before = first.map_or(0, |cell| rows::newlines(source, Span::new(0, cell.span.start)));
    let table: Vec<&Vec<Cell>> = all.iter().filter(|cells| cells.len() == width).collect();
    // A row of names holds no digits, and nothing that stands in a row below it.
    let named = table.split_first().is_some_and(|(first, rest)| {
        first.iter().enumerate().all(|(place, cell)| {
            let recurs =
                || rest.iter().any(|row| row.get(place).is_some_and(|below| below.text == cell.text));
            !cell.text.is_empty() && !cell.text.bytes().any(|b| b.is_ascii_digit()) && !recurs()
        })
    });
    _ = writeln!(
        page,
        "[file]\nform = \"delimited\"\nencoding = \"{}\"\nseparator = \"{word}\"",
        encoding.word()
    );
    if before > 0 {
        _ = writeln!(
            page,
            "# So many lines stand before the first row of {width} cells.\nskip-first = {before}"
        );
    }
    _ = writeln!(
        page,
        "# The first row {}.\ncolumn-names = {named}",
        if named { "holds no digit" } else { "holds digits" }
    );
    page.push_str("#newest-first = true\n#ignore-case = true\n\n");
    page.push_str(
        "# Day or month first? State it; it is never guessed.\n#[time]\n#pattern = \"DD.MM.YYYY hh:mm:ss\"\n\n",
    );
    let names = table.first().filter(|_| named);
    let event_column = events.and_then(|place| place.checked_sub(1)).filter(|place| *place < width);
    for place in 0..width {
        let name = names.and_then(|cells| cells.get(place)).map(|cell| cell.text.trim());
        let cells = table.iter().skip(usize::from(named)).filter_map(|row| row.get(place));
        let looks = shapes(cells.map(|cell| cell.text.trim()));
        _ = writeln!(page, "# Column {}: its cells look like {looks}.\n#[[column]]", place + 1);
        match name {
            Some(name) => _ = writeln!(page, "#name = \"{}\"", escaped(name)),
            None => _ = writeln!(page, "#place = {}", place + 1),
        }
        page.push_str("#holds = \"number, time, event, unit, attribute or left-out\"\n");
    }
    page.push('\n');
    match event_column {
        Some(place) => {
            let cells = table.iter().skip(usize::from(named)).filter_map(|row| row.get(place));
            let line = |cell: &Cell| rows::newlines(source, Span::new(0, cell.span.start)) + 1;
            words(page, cells.map(|cell| (line(cell), cell.text.trim())));
        }
        None => page.push_str(
            "# Which column holds the events? With --events PLACE (from 1) its texts are listed here, ready to be mapped.\n",
        ),
    }
}

fn fixed(page: &mut String, source: &Source, encoding: Encoding) {
    _ = writeln!(
        page,
        "# No separator cuts the rows into equal numbers of cells: it may be a printout.\n[file]\nform = \"fixed\"\n\
         encoding = \"{}\"\n#skip-first = 3\n#skip-matching = ['^Page']\n",
        encoding.word()
    );
    page.push_str(
        "# What its lines have at each position: 9 figures only, a letters too, . nothing in most lines.\n",
    );
    page.push_str("#         1         2         3         4         5         6         7         8\n");
    page.push_str("#12345678901234567890123456789012345678901234567890123456789012345678901234567890\n");
    _ = writeln!(page, "#{}", profile(source));
    page.push_str(
        "\n#[time]\n#pattern = \"DD.MM.YYYY hh:mm:ss\"\n\n#[[column]]\n#positions = \"1-8\"\n#holds = \"number\"\n\n\
         #[[word]]\n#text = \"What stands in the event column\"\n#event = \"enable\"\n",
    );
}

/// The texts of the event column with their numbers, each to be given its event. A text is shown only where every word of
/// it is of the trade; of another, which may name a choice or a voter, the place where it can be looked up.
fn words<'c>(page: &mut String, cells: impl Iterator<Item = (usize, &'c str)>) {
    let mut met: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    for (line, text) in cells.filter(|(_, text)| !text.is_empty()) {
        met.entry(text).or_insert((0, line)).0 += 1;
    }
    let mut listed: Vec<(&str, (usize, usize))> = met.into_iter().collect();
    listed.sort_by_key(|(text, (times, _))| (std::cmp::Reverse(*times), *text));
    page.push_str(
        "# The texts of the event column, the most frequent first. grammar/events.md lists the events. A text with a word\n\
         # that is not of the trade may name a choice or a voter and is not printed: look it up in the file.\n",
    );
    for (text, (times, line)) in listed.iter().take(MOST_WORDS) {
        let near = EVENTS.iter().find(|entry| text.to_lowercase().replace([' ', '_'], "-") == entry.word);
        let shown = if is_of_the_trade(text) {
            escaped(text)
        } else {
            format!("what stands on line {line}, of {} words", text.split_whitespace().count())
        };
        let event = near.map_or("", |entry| entry.word);
        _ = writeln!(
            page,
            "#[[word]] # stands {times} times, first on line {line}\n#text = \"{shown}\"\n#event = \"{event}\""
        );
    }
    if listed.len() > MOST_WORDS {
        _ = writeln!(page, "# Not listed: {} further texts.", listed.len() - MOST_WORDS);
    }
}

/// What most lines of a printout have at each position.
fn profile(source: &Source) -> String {
    const WIDEST: usize = 160;
    let mut letters = [0usize; WIDEST];
    let mut figures = [0usize; WIDEST];
    let mut lines = 0usize;
    for line in rows::lines(source).take(LOOKED_AT) {
        lines += 1;
        for ((letter, figure), c) in letters.iter_mut().zip(&mut figures).zip(line.chars()) {
            *figure += usize::from(c.is_numeric());
            *letter += usize::from(!c.is_whitespace() && !c.is_numeric());
        }
    }
    let shown =
        letters.iter().zip(&figures).map(|(letter, figure)| match (letter * 2 > lines, figure * 2 > lines) {
            (false, true) => '9',
            (true, _) => 'a',
            (false, false) if (letter + figure) * 2 > lines => 'a',
            (false, false) => '.',
        });
    shown.collect::<String>().trim_end_matches('.').to_owned()
}

/// The most frequent shapes of cells: figures and what parts them as they stand, anything else as one letter.
fn shapes<'c>(cells: impl Iterator<Item = &'c str>) -> String {
    let mut met: BTreeMap<String, usize> = BTreeMap::new();
    for cell in cells {
        *met.entry(shape(cell)).or_default() += 1;
    }
    let mut listed: Vec<(String, usize)> = met.into_iter().collect();
    listed.sort_by_key(|(text, times)| (std::cmp::Reverse(*times), text.clone()));
    let shown: Vec<String> = listed.iter().take(3).map(|(text, _)| format!("`{text}`")).collect();
    if shown.is_empty() { "nothing".to_owned() } else { shown.join(", ") }
}

/// A cell by the kinds of its characters: what it says, and how long a word in it is, stays covered.
fn shape(cell: &str) -> String {
    let mut shape = String::new();
    for c in cell.chars().take(40) {
        let kind = match c {
            c if c.is_ascii_digit() => '9',
            ' ' | '-' | ':' | '/' | '.' | ',' => c,
            _ => 'a',
        };
        if !(kind == 'a' && shape.ends_with('a')) {
            shape.push(kind);
        }
    }
    shape
}

/// As it stands in a TOML basic string.
fn escaped(text: &str) -> String {
    Shown::inert(text).as_str().replace('\\', "\\\\").replace('"', "\\\"")
}
