//! Spreadsheets: a sheet's rows as a text with one line a row and tabs between the cells. The evidence is the file.

/// How the file of a spreadsheet begins, as every ZIP archive does (APPNOTE.TXT 6.3, 4.3.7: local file header).
pub(super) const ARCHIVE: &[u8] = b"PK\x03\x04";

/// The rows of a sheet: the named one, else the first.
///
/// # Errors
/// Where the file is no spreadsheet, has no such sheet, or is larger than the limits when unpacked.
#[cfg(not(feature = "spreadsheet"))]
pub(super) fn text(_bytes: &[u8], _sheet: Option<&str>) -> Result<String, super::Misfit> {
    Err(super::Misfit::new(
        "this build of the program reads no spreadsheets",
        "build it with --features spreadsheet, or save the sheet as a delimited text and say so in the mapping",
    ))
}

#[cfg(feature = "spreadsheet")]
pub(super) use reading::text;

#[cfg(feature = "spreadsheet")]
mod reading {
    use std::collections::BTreeMap;
    use std::io::{Cursor, Read as _};

    use calamine::{DataRef, ExcelDateTime, Reader as _, Xlsx, XlsxError, open_workbook_from_rs};
    use quick_xml::events::{BytesStart, Event};
    use zip::ZipArchive;

    use super::ARCHIVE;
    use crate::exchange::Misfit;

    /// Largest size of all parts of the file together when unpacked, in bytes.
    const LARGEST: u64 = 256 << 20;

    /// Most rows, columns and filled cells of a sheet.
    const MOST_ROWS: usize = 1_000_000;
    const MOST_CELLS: usize = 10_000_000;
    const MOST_COLUMNS: usize = 256;

    /// What stands for a cell that holds a formula: what it shows was computed, not recorded.
    const FORMULA: &str = "[formula]";

    /// A sheet in the making: cells by row and column.
    #[derive(Default)]
    struct Rows {
        cells: BTreeMap<usize, BTreeMap<usize, String>>,
        number: usize,
    }

    impl Rows {
        fn put(&mut self, row: usize, column: usize, text: &str) -> Result<(), Misfit> {
            // No cell breaks the row that it stands in.
            let text: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
            if text.trim().is_empty() {
                return Ok(());
            }
            self.number += 1;
            if row >= MOST_ROWS || column >= MOST_COLUMNS || self.number > MOST_CELLS {
                return Err(Misfit::new(
                    &format!(
                        "the sheet is larger than {MOST_ROWS} rows, {MOST_COLUMNS} columns or {MOST_CELLS} cells"
                    ),
                    "take the log into a sheet of its own",
                ));
            }
            self.cells.entry(row).or_default().insert(column, text);
            Ok(())
        }

        /// One line a row, each with as many cells as the widest.
        fn text(self) -> String {
            let last = self.cells.values().filter_map(|row| row.keys().next_back()).max();
            let width = last.map_or(0, |last| last + 1);
            let mut text = String::new();
            let mut next = 0;
            for (row, cells) in self.cells {
                (next..row).for_each(|_| text.push('\n'));
                for column in 0..width {
                    if column > 0 {
                        text.push('\t');
                    }
                    text.push_str(cells.get(&column).map_or("", String::as_str));
                }
                text.push('\n');
                next = row + 1;
            }
            text
        }
    }

    fn broken(why: &str) -> Misfit {
        Misfit::new(
            &format!("the file is no spreadsheet in xlsx or ods: {why}"),
            "save it anew as xlsx, or as a delimited text",
        )
    }

    pub(in crate::exchange) fn text(bytes: &[u8], sheet: Option<&str>) -> Result<String, Misfit> {
        if !bytes.starts_with(ARCHIVE) {
            return Err(broken("it does not begin as one"));
        }
        let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(|error| broken(&error.to_string()))?;
        unpacked_within_limit(&mut archive)?;
        let content = archive.by_name("content.xml").ok().map(|mut part| {
            let mut text = String::new();
            part.read_to_string(&mut text).map(|_| text)
        });
        let rows = match content {
            Some(Ok(content)) => ods(&content, sheet),
            Some(Err(_)) => Err(broken("its content is no text")),
            None => xlsx(bytes, sheet),
        }?;
        Ok(rows.text())
    }

    /// Unpacks every part once and counts: what an archive says of its own sizes is not believed.
    fn unpacked_within_limit(archive: &mut ZipArchive<Cursor<&[u8]>>) -> Result<(), Misfit> {
        let mut left = LARGEST;
        for place in 0..archive.len() {
            let part = archive.by_index(place).map_err(|error| broken(&error.to_string()))?;
            let size = std::io::copy(&mut part.take(left + 1), &mut std::io::sink())
                .map_err(|error| broken(&error.to_string()))?;
            left = left.checked_sub(size).ok_or_else(|| {
                Misfit::new(
                    &format!("the spreadsheet holds more than {LARGEST} bytes when unpacked"),
                    "take the log into a file of its own",
                )
            })?;
        }
        Ok(())
    }

    fn no_sheet(sheet: &str, names: &[String]) -> Misfit {
        Misfit::new(
            &format!("the spreadsheet has no sheet named '{sheet}'"),
            &format!("its sheets are named: {}", names.join(", ")),
        )
    }

    fn xlsx(bytes: &[u8], sheet: Option<&str>) -> Result<Rows, Misfit> {
        let wrong = |error: XlsxError| broken(&error.to_string());
        let mut book: Xlsx<_> = open_workbook_from_rs(Cursor::new(bytes)).map_err(wrong)?;
        let names = book.sheet_names();
        let name = match sheet {
            Some(sheet) if !names.iter().any(|name| name == sheet) => return Err(no_sheet(sheet, &names)),
            Some(sheet) => sheet.to_owned(),
            None => names.first().cloned().ok_or_else(|| broken("it has no sheet"))?,
        };
        let mut cells = book.worksheet_cells_reader(&name).map_err(wrong)?;
        let mut rows = Rows::default();
        while let Some(cell) = cells.next_cell_with_formula().map_err(wrong)? {
            let (row, column) = (cell.pos.0 as usize, cell.pos.1 as usize);
            let text = if cell.formula.is_some() { FORMULA.to_owned() } else { said(&cell.value) };
            rows.put(row, column, &text)?;
        }
        Ok(rows)
    }

    /// A cell of xlsx as text: whole numbers without a point, dates and times in full.
    fn said(value: &DataRef<'_>) -> String {
        match value {
            DataRef::Empty => String::new(),
            DataRef::String(text) | DataRef::DurationIso(text) => text.clone(),
            DataRef::SharedString(text) => (*text).to_owned(),
            DataRef::Int(number) => number.to_string(),
            DataRef::Float(number) => number.to_string(),
            DataRef::Bool(truth) => truth.to_string(),
            DataRef::DateTime(moment) => serial(moment),
            DataRef::DateTimeIso(text) => iso(text),
            DataRef::Error(error) => format!("[{error}]"),
        }
    }

    /// A serial date. What lies outside the range of such dates is not brought into it.
    fn serial(moment: &ExcelDateTime) -> String {
        let value = moment.as_f64();
        if !(0.0..2_958_466.0).contains(&value) {
            return format!("[{value}]");
        }
        let (year, month, day, hour, minute, second, ms) = moment.to_ymd_hms_milli();
        let fraction = if ms == 0 { String::new() } else { format!(".{ms:03}") };
        let clock = format!("{hour:02}:{minute:02}:{second:02}{fraction}");
        if value < 1.0 { clock } else { format!("{year:04}-{month:02}-{day:02} {clock}") }
    }

    /// A date with or without time as ISO 8601 writes it, with a space between and in full.
    fn iso(text: &str) -> String {
        match text.split_once('T') {
            Some((day, time)) => format!("{day} {time}"),
            None => format!("{text} 00:00:00"),
        }
    }

    /// A duration of less than a day as ISO 8601 writes it, `PT06H58M12S`, as a time of day.
    fn time_of_day(text: &str) -> Option<String> {
        let rest = text.strip_prefix("PT")?;
        let (hours, rest) = rest.split_once('H')?;
        let (minutes, rest) = rest.split_once('M')?;
        let seconds = rest.strip_suffix('S')?;
        let two = |text: &str, most: u32| {
            text.parse().ok().filter(|number: &u32| *number < most).map(|number| format!("{number:02}"))
        };
        let (whole, fraction) = seconds.split_once(['.', ',']).unwrap_or((seconds, ""));
        let fraction =
            if fraction.bytes().all(|b| b == b'0') { String::new() } else { format!(".{fraction}") };
        Some(format!("{}:{}:{}{fraction}", two(hours, 24)?, two(minutes, 60)?, two(whole, 60)?))
    }

    /// The table of an ods file (ISO/IEC 26300, tables: `table:table`, `table:table-row`, `table:table-cell`, their
    /// repetitions and values; from memory).
    fn ods(content: &str, sheet: Option<&str>) -> Result<Rows, Misfit> {
        let mut reader = quick_xml::Reader::from_str(content);
        let mut names: Vec<String> = Vec::new();
        let mut rows = Rows::default();
        let mut at = Place::default();
        loop {
            let event = reader.read_event().map_err(|error| broken(&error.to_string()))?;
            match event {
                Event::Eof => break,
                Event::Start(element) if name(&element) == "table:table" => {
                    let title = attribute(&element, "table:name").unwrap_or_default();
                    at.inside = (names.is_empty() && sheet.is_none()) || sheet == Some(title.as_str());
                    at.row = 0;
                    names.push(title);
                }
                Event::End(element) if at.inside => {
                    let name = element.name();
                    if name.as_ref() == "table:table" {
                        at.inside = false;
                    } else {
                        at.end(name.as_ref(), &mut rows)?;
                    }
                }
                Event::Start(element) if at.inside => at.start(&element),
                Event::Empty(element) if at.inside => {
                    at.start(&element);
                    at.end(&name(&element), &mut rows)?;
                }
                Event::Text(text) if at.inside && at.in_paragraph => at.text.push_str(&text),
                // The five entities that XML itself knows; others are not looked up anywhere.
                Event::GeneralRef(entity) if at.inside && at.in_paragraph => {
                    let known = quick_xml::escape::unescape(&format!("&{};", &*entity))
                        .map_or_else(|_| "\u{FFFD}".to_owned(), std::borrow::Cow::into_owned);
                    at.text.push_str(&known);
                }
                _ => {}
            }
        }
        match sheet {
            Some(sheet) if !names.iter().any(|name| name == sheet) => Err(no_sheet(sheet, &names)),
            _ => Ok(rows),
        }
    }

    /// Where in a table the reader stands.
    #[derive(Default)]
    struct Place {
        inside: bool,
        row: usize,
        column: usize,
        rows_repeated: usize,
        columns_repeated: usize,
        /// The cells of the row so far.
        cells: Vec<(usize, String)>,
        in_paragraph: bool,
        text: String,
        /// The value that the cell states, where its text is only how it is shown.
        value: Option<String>,
    }

    impl Place {
        fn start(&mut self, element: &BytesStart<'_>) {
            let times =
                |key: &str| attribute(element, key).and_then(|n| n.parse().ok()).unwrap_or(1_usize).max(1);
            match name(element).as_str() {
                "table:table-row" => {
                    self.column = 0;
                    self.rows_repeated = times("table:number-rows-repeated");
                    self.cells.clear();
                }
                "table:table-cell" | "table:covered-table-cell" => {
                    self.columns_repeated = times("table:number-columns-repeated");
                    self.text.clear();
                    self.value = value(element);
                }
                "text:p" => self.in_paragraph = true,
                "text:s" | "text:tab" | "text:line-break" => self.text.push(' '),
                _ => {}
            }
        }

        fn end(&mut self, name: &str, rows: &mut Rows) -> Result<(), Misfit> {
            match name {
                "text:p" => {
                    self.in_paragraph = false;
                    self.text.push(' ');
                }
                "table:table-cell" | "table:covered-table-cell" => {
                    let text = self.value.take().unwrap_or_else(|| self.text.trim().to_owned());
                    if !text.is_empty() {
                        // A cell that holds something is repeated in earnest; past the limit the sheet is refused.
                        let last = self.column.saturating_add(self.columns_repeated);
                        for column in (self.column..last).take(MOST_COLUMNS + 1) {
                            self.cells.push((column, text.clone()));
                        }
                    }
                    self.column = self.column.saturating_add(self.columns_repeated);
                }
                "table:table-row" => {
                    let last = self.row.saturating_add(self.rows_repeated);
                    if !self.cells.is_empty() {
                        for row in (self.row..last).take(MOST_ROWS + 1) {
                            for (column, text) in &self.cells {
                                rows.put(row, *column, text)?;
                            }
                        }
                    }
                    self.row = last;
                }
                _ => {}
            }
            Ok(())
        }
    }

    /// The value that a cell states beside its text: a formula, a number, a date, a time.
    fn value(element: &BytesStart<'_>) -> Option<String> {
        if attribute(element, "table:formula").is_some() {
            return Some(FORMULA.to_owned());
        }
        match attribute(element, "office:value-type")?.as_str() {
            "float" => attribute(element, "office:value"),
            "date" => attribute(element, "office:date-value").map(|text| iso(&text)),
            "time" => attribute(element, "office:time-value").map(|text| time_of_day(&text).unwrap_or(text)),
            _ => None,
        }
    }

    fn name(element: &BytesStart<'_>) -> String {
        element.name().as_ref().to_owned()
    }

    fn attribute(element: &BytesStart<'_>, key: &str) -> Option<String> {
        let found = element.attributes().flatten().find(|attribute| attribute.key.as_ref() == key)?;
        Some(found.value.into_owned())
    }
}
