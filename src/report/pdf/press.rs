//! The press: Typst as a library, in a world of two texts and the fonts that it is given. There is no network in it, no
//! clock, no font and no file of the machine.

use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt as _, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};

use crate::report::pdf::font::family_of;
use crate::report::pdf::{DATA, Fonts, Sources, Standard, TEMPLATE};

/// Sets the sources. A warning stops the press too: it would mean that something is not set as the data say.
pub(super) fn print(sources: &Sources, fonts: &Fonts<'_>) -> Result<Vec<u8>, String> {
    let world = Room::new(sources, fonts)?;
    let set = typst::compile::<PagedDocument>(&world);
    let document = set.output.map_err(|errors| said(&errors))?;
    if !set.warnings.is_empty() {
        return Err(said(&set.warnings));
    }
    let standards =
        PdfStandards::new(&[part(sources.standard)?]).map_err(|error| error.message().to_string())?;
    let options = PdfOptions { standards, ..PdfOptions::default() };
    typst_pdf::pdf(&document, &options).map_err(|errors| said(&errors))
}

fn part(standard: Standard) -> Result<PdfStandard, String> {
    match standard.id {
        "a-1b" => Ok(PdfStandard::A_1b),
        "a-2b" => Ok(PdfStandard::A_2b),
        "a-2u" => Ok(PdfStandard::A_2u),
        "a-3b" => Ok(PdfStandard::A_3b),
        other => Err(format!("the press does not know {other}")),
    }
}

/// The first few complaints, in Typst's words.
fn said(list: &[SourceDiagnostic]) -> String {
    let texts: Vec<&str> = list.iter().take(3).map(|one| one.message.as_str()).collect();
    texts.join("; ")
}

/// All that the press can see.
struct Room {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
    main: Source,
    data: (FileId, Bytes),
}

impl Room {
    fn new(sources: &Sources, fonts: &Fonts<'_>) -> Result<Room, String> {
        let place = |name: &str| {
            let path = VirtualPath::new(name).map_err(|_| format!("{name} is no path"))?;
            Ok::<FileId, String>(RootedPath::new(VirtualRoot::Project, path).intern())
        };
        let (mut faces, mut book) = (Vec::new(), FontBook::new());
        for (_, bytes) in fonts.bytes() {
            for (at, face) in Font::iter(Bytes::new(bytes.to_vec())).enumerate() {
                // Typst knows some fonts by names of its own; the data ask for them by the name that stands in the file.
                let mut info = face.info().clone();
                info.family = family_of(bytes, at).unwrap_or(info.family);
                book.push(info);
                faces.push(face);
            }
        }
        Ok(Room {
            library: LazyHash::new(Library::default()),
            book: LazyHash::new(book),
            fonts: faces,
            main: Source::new(place("/document.typ")?, TEMPLATE.to_owned()),
            data: (place(&format!("/{DATA}"))?, Bytes::new(sources.data.clone().into_bytes())),
        })
    }
}

impl World for Room {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.book
    }

    fn main(&self) -> FileId {
        self.main.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.main.id() { Ok(self.main.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        if id == self.data.0 { Ok(self.data.1.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn font(&self, index: usize) -> Option<Font> {
        self.fonts.get(index).cloned()
    }

    /// There is no today: the date of a document is the one that people state.
    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}
