//! What `document` and a bundle share where a PDF is set, or what Typst's own program makes it from.

use std::path::Path;

use logassay::report::Paper;
use logassay::report::document::Document;
use logassay::report::pdf::{DATA, Fonts, Given, Sources, Standard, TEMPLATE};

use crate::arguments;
use crate::failure::Failure;
use crate::outside::{self, File};
use crate::setting::Setting;

/// The file of the folder that Typst's own program is given.
pub(crate) const MAIN: &str = "document.typ";

/// The folder of fonts in that folder.
pub(crate) const FONTS: &str = "fonts";

/// A standard, and fonts as they were read.
pub(crate) struct Press {
    standard: Standard,
    fonts: Vec<File>,
}

/// A document made ready for Typst.
pub(crate) struct Ready<'p> {
    sources: Sources,
    fonts: Fonts<'p>,
}

/// Says plainly where this program sets no PDF.
pub(crate) fn must_set() -> Result<(), Failure> {
    if cfg!(feature = "pdf") {
        return Ok(());
    }
    Err(Failure::new(
        "this program was built without the setting of PDF",
        "build it with 'cargo build --release --features pdf'; or write what the PDF is made from, with 'document --form typst' \
         or, in a bundle, '--also typst', and set it by Typst's own program, as README.md says",
    ))
}

impl Press {
    /// Reads the fonts, each named as in its folder.
    pub(crate) fn of(arguments: &arguments::Press) -> Result<Press, Failure> {
        let standard = Standard::named(&arguments.pdf_standard)
            .ok_or_else(|| Failure::new("there is no such part of PDF/A", "the help lists their names"))?;
        let fonts = arguments.font.iter().map(|path| font(path)).collect::<Result<Vec<File>, Failure>>()?;
        Ok(Press { standard, fonts })
    }

    /// Enters the fonts among what was read, and their digests in what every form says.
    pub(crate) fn enter(&self, arguments: &arguments::Press, setting: &mut Setting) {
        setting.frame.fonts = self.fonts.iter().map(|font| Paper::of(&font.name, &font.bytes)).collect();
        setting.read.extend(arguments.font.iter().zip(&self.fonts).map(|(path, font)| font.read(Some(path))));
    }

    /// The words of the command that say the same.
    pub(crate) fn words(&self) -> impl Iterator<Item = &str> {
        let fonts = self.fonts.iter().flat_map(|font| ["--font", font.name.as_str()]);
        ["--pdf-standard", self.standard.id].into_iter().chain(fonts)
    }

    /// Makes a document ready.
    pub(crate) fn ready(&self, document: &Document) -> Result<Ready<'_>, Failure> {
        if document.date.is_none() {
            return Err(Failure::new(
                "PDF/A asks for the date of the document, and none is stated",
                "add --date YYYY-MM-DD, or the date to the matter of the case file; the tool reads no clock",
            ));
        }
        let given: Vec<Given<'_>> =
            self.fonts.iter().map(|font| Given { name: &font.name, bytes: &font.bytes }).collect();
        let fonts =
            Fonts::with(&given).map_err(|misfit| Failure::new(misfit.message.as_str(), misfit.help))?;
        Ok(Ready { sources: Sources::of(document, &fonts, self.standard), fonts })
    }
}

impl Ready<'_> {
    /// The PDF.
    #[cfg(feature = "pdf")]
    pub(crate) fn pdf(&self) -> Result<Vec<u8>, Failure> {
        let failed = |said: String| {
            Failure::new(
                &format!("the PDF cannot be set: {said}"),
                "try without the fonts given by --font, one by one, or write the page with --form html",
            )
        };
        self.sources.print(&self.fonts).map_err(failed)
    }

    /// The PDF, which this program does not set.
    #[cfg(not(feature = "pdf"))]
    #[allow(clippy::unused_self, reason = "with the feature it is used")]
    pub(crate) fn pdf(&self) -> Result<Vec<u8>, Failure> {
        // It is said before anything is read.
        must_set().map(|()| Vec::new())
    }

    /// The files that Typst's own program is given, by their names in a folder: the template, the data, the fonts.
    pub(crate) fn files(&self) -> Vec<(String, &[u8])> {
        let fonts = self.fonts.bytes().enumerate();
        let fonts = fonts.map(|(at, (ending, bytes))| (format!("{FONTS}/{}.{ending}", at + 1), bytes));
        [(MAIN.to_owned(), TEMPLATE.as_bytes()), (DATA.to_owned(), self.sources.data.as_bytes())]
            .into_iter()
            .chain(fonts)
            .collect()
    }

    /// How somebody goes on in that folder.
    pub(crate) fn advice(&self) -> String {
        format!(
            "Typst {} sets it:\n  typst compile --ignore-system-fonts --ignore-embedded-fonts --font-path {FONTS} \
             --pdf-standard {} {MAIN}\n",
            logassay::report::pdf::TYPST,
            self.sources.standard.id
        )
    }
}

fn font(path: &Path) -> Result<File, Failure> {
    let mut file = outside::read_font(path)?;
    if let Some(name) = Path::new(&file.name).file_name() {
        file.name = name.to_string_lossy().into_owned();
    }
    Ok(file)
}
