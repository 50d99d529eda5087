//! The beginning of a mapping: what can be seen of a foreign file without taking anything for known. Cells are shown by
//! their shape only, for one of them may be a voter's choice or name.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::rows::{self, Cell};
use crate::event::EVENTS;
use crate::source::{Encoding, Shown, Source, Span, disclosure_in, names_only_kinds};

/// Rows that are looked at.
const LOOKED_AT: usize = 2_000;

/// Most different texts of the event column that are listed.
const MOST_WORDS: usize = 200;

/// Separators that are tried, each with its word in a mapping.
const SEPARATORS: [(u8, &str); 4] = [(b';', "semicolon"), (b'\t', "tab"), (b',', "comma"), (b'|', "bar")];

/// A mapping to fill in for a file. `events` is the place, from 1, of the column whose texts are events; without it, a
/// column is taken whose name says so.
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
    // A row of names holds no digits.
    let named = table.first().is_some_and(|cells| {
        cells.iter().all(|cell| !cell.text.is_empty() && !cell.text.bytes().any(|b| b.is_ascii_digit()))
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
    page.push_str("[time]\n# Day or month first? State it; it is never guessed.\n#pattern = \"DD.MM.YYYY hh:mm:ss\"\n\n");
    let names = table.first().filter(|_| named);
    let mut event_column = events.and_then(|place| place.checked_sub(1));
    for place in 0..width {
        let name = names.and_then(|cells| cells.get(place)).map(|cell| cell.text.trim());
        let cells = table.iter().skip(usize::from(named)).filter_map(|row| row.get(place));
        let looks = shapes(cells.map(|cell| cell.text.trim()));
        _ = writeln!(page, "# Column {}: its cells look like {looks}.\n#[[column]]", place + 1);
        match name {
            Some(name) => _ = writeln!(page, "#name = \"{}\"", escaped(name)),
            None => _ = writeln!(page, "#place = {}", place + 1),
        }
        page.push_str("#holds = \"number, time, event, unit or attribute\"\n");
        let says = name.map(str::to_lowercase).is_some_and(|name| {
            ["event", "action", "operation", "activity"].iter().any(|word| name.contains(word))
        });
        if says && event_column.is_none() {
            event_column = Some(place);
        }
    }
    page.push('\n');
    match event_column {
        Some(place) => {
            let cells = table.iter().skip(usize::from(named)).filter_map(|row| row.get(place));
            words(page, cells.map(|cell| cell.text.trim()));
        }
        None => page.push_str(
            "# Which column holds the events? With --events PLACE its texts are listed here, ready to be mapped.\n",
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
    page.push_str("# The shapes of its first lines, below the positions (9 is a digit, a is a letter):\n");
    page.push_str("#         1         2         3         4         5         6         7         8\n");
    page.push_str("#12345678901234567890123456789012345678901234567890123456789012345678901234567890\n");
    for line in rows::lines(source).take(12) {
        _ = writeln!(page, "#{}", Shown::inert(&line.chars().take(160).map(shape).collect::<String>()));
    }
    page.push_str(
        "\n[time]\n#pattern = \"DD.MM.YYYY hh:mm:ss\"\n\n#[[column]]\n#positions = \"1-8\"\n#holds = \"number\"\n\n\
         #[[word]]\n#text = \"What stands in the event column\"\n#event = \"enable\"\n",
    );
}

/// The texts of the event column with their numbers, each to be given its event.
fn words<'c>(page: &mut String, cells: impl Iterator<Item = &'c str>) {
    let mut met: BTreeMap<&str, usize> = BTreeMap::new();
    cells.filter(|cell| !cell.is_empty()).for_each(|cell| *met.entry(cell).or_default() += 1);
    let mut listed: Vec<(&str, usize)> = met.into_iter().collect();
    listed.sort_by_key(|(text, times)| (std::cmp::Reverse(*times), *text));
    page.push_str(
        "# The texts of the event column, the most frequent first. grammar/events.md lists the events.\n",
    );
    let mut covered = 0;
    for (text, times) in listed.iter().take(MOST_WORDS) {
        let telling = disclosure_in(text.as_bytes(), true).is_some()
            && !names_only_kinds(&text.to_lowercase().replace(' ', "-"));
        if telling {
            covered += 1;
            continue;
        }
        let near = EVENTS.iter().find(|entry| text.to_lowercase().replace([' ', '_'], "-") == entry.word);
        _ = writeln!(
            page,
            "#[[word]] # stands {times} times\n#text = \"{}\"\n#event = \"{}\"",
            escaped(text),
            near.map_or("", |entry| entry.word)
        );
    }
    if covered > 0 {
        _ = writeln!(
            page,
            "# Not listed, because they may name a choice or a voter: {covered} texts. They may be mapped by a pattern."
        );
    }
    if listed.len() > MOST_WORDS {
        _ = writeln!(page, "# Not listed: {} further texts.", listed.len() - MOST_WORDS);
    }
}

/// The most frequent shapes of cells.
fn shapes<'c>(cells: impl Iterator<Item = &'c str>) -> String {
    let mut met: BTreeMap<String, usize> = BTreeMap::new();
    for cell in cells {
        *met.entry(cell.chars().take(30).map(shape).collect()).or_default() += 1;
    }
    let mut listed: Vec<(String, usize)> = met.into_iter().collect();
    listed.sort_by_key(|(text, times)| (std::cmp::Reverse(*times), text.clone()));
    let shown: Vec<String> =
        listed.iter().take(3).map(|(text, _)| format!("`{}`", Shown::inert(text))).collect();
    if shown.is_empty() { "nothing".to_owned() } else { shown.join(", ") }
}

/// A character by its kind: what it is stays covered.
fn shape(c: char) -> char {
    match c {
        c if c.is_numeric() => '9',
        c if c.is_alphabetic() => 'a',
        c if c.is_control() => ' ',
        c => c,
    }
}

/// As it stands in a TOML basic string.
fn escaped(text: &str) -> String {
    Shown::inert(text).as_str().replace('\\', "\\\\").replace('"', "\\\"")
}
