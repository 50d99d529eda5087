//! Fonts: those that come with the program, and those that are given; which characters all faces of a family cover.

use std::fmt;

use ttf_parser::{Face, name_id};

use crate::source::{Digest, Shown};

/// The family of words, and the family of what stands letter by letter. Both come with the program; together they cover
/// Latin, Greek, Cyrillic, Hebrew, Armenian and Arabic (the letters of the Arabic language).
const BUILT_IN: [&str; 2] = ["Libertinus Serif", "DejaVu Sans Mono"];

/// Endings of a face's name that say how it looks and not what it is.
const LOOKS: &[&str] = &[
    "regular",
    "normal",
    "italic",
    "oblique",
    "thin",
    "light",
    "book",
    "medium",
    "bold",
    "black",
    "heavy",
    "condensed",
    "extralight",
    "semibold",
    "extrabold",
    "semicondensed",
    "extracondensed",
];

/// A font that somebody gives: the name of its file, and its bytes.
#[derive(Debug, Clone, Copy)]
pub struct Given<'a> {
    /// Name of the file.
    pub name: &'a str,
    /// What is in it.
    pub bytes: &'a [u8],
}

/// Why a font cannot be taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misfit {
    /// What is wrong.
    pub message: Shown,
    /// What would help.
    pub help: &'static str,
}

/// A file of fonts.
#[derive(Debug, Clone, Copy)]
pub(super) struct File<'a> {
    /// Its name; that of the family for a font that comes with the program.
    pub(super) name: &'a str,
    /// Whether it was given.
    pub(super) is_given: bool,
    /// What is in it.
    pub(super) bytes: &'a [u8],
}

/// Fonts of one name in all their faces.
struct Family<'a> {
    name: String,
    faces: Vec<Face<'a>>,
}

/// The fonts with which a document is set, in the order in which they are asked for a character.
pub struct Fonts<'a> {
    files: Vec<File<'a>>,
    families: Vec<Family<'a>>,
}

impl fmt::Debug for Fonts<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_list().entries(self.families.iter().map(|family| &family.name)).finish()
    }
}

impl<'a> Fonts<'a> {
    /// The fonts that come with the program, and behind them those that are given.
    ///
    /// # Errors
    /// A file that holds no font, or one of a family that comes with the program: of two fonts with one name it would not
    /// be sure which is used.
    pub fn with(given: &[Given<'a>]) -> Result<Fonts<'a>, Misfit> {
        let mut fonts = Fonts { files: Vec::new(), families: Vec::new() };
        for name in BUILT_IN {
            for bytes in typst_assets::fonts() {
                let upright = |face: &Face<'_>| !face.is_italic() && !face.is_oblique();
                let plain = |face: &Face<'_>| matches!(face.weight().to_number(), 400 | 700);
                let face = Face::parse(bytes, 0).ok().filter(|face| upright(face) && plain(face));
                if let Some(face) = face.filter(|face| family(face).as_deref() == Some(name)) {
                    fonts.files.push(File { name, is_given: false, bytes });
                    fonts.take(name.to_owned(), face);
                }
            }
        }
        for Given { name, bytes } in given.iter().copied() {
            let misfit =
                |message: &str, help| Misfit { message: Shown::inert(&format!("{name}: {message}")), help };
            let count = ttf_parser::fonts_in_collection(bytes).unwrap_or(1);
            for index in 0..count {
                let face = Face::parse(bytes, index).ok();
                let named = face.and_then(|face| family(&face).map(|name| (name, face)));
                let Some((family, face)) = named else {
                    return Err(misfit(
                        "this file holds no font with a name",
                        "give a TrueType or OpenType font",
                    ));
                };
                if BUILT_IN.iter().any(|name| name.eq_ignore_ascii_case(&family)) {
                    return Err(misfit(
                        "a family of this name comes with the program",
                        "leave it out; nothing else is needed for its characters",
                    ));
                }
                fonts.take(family, face);
            }
            fonts.files.push(File { name, is_given: true, bytes });
        }
        Ok(fonts)
    }

    fn take(&mut self, name: String, face: Face<'a>) {
        match self.families.iter_mut().find(|family| family.name.eq_ignore_ascii_case(&name)) {
            Some(family) => family.faces.push(face),
            None => self.families.push(Family { name, faces: vec![face] }),
        }
    }

    /// The bytes of each file of fonts, in their order, with the ending of a name that says what is in them.
    pub fn bytes(&self) -> impl Iterator<Item = (&'static str, &'a [u8])> {
        self.files.iter().map(|file| {
            let ending = match file.bytes.get(..4) {
                Some(b"OTTO") => "otf",
                Some(b"ttcf") => "ttc",
                _ => "ttf",
            };
            (ending, file.bytes)
        })
    }

    /// The files, in their order.
    pub(super) fn files(&self) -> &[File<'a>] {
        &self.files
    }

    /// The families in the order in which words look for them, and in that of what stands letter by letter: each begins
    /// with its own and ends with the other's, and between them stand those that were given.
    pub(super) fn families(&self) -> (Vec<&str>, Vec<&str>) {
        let name = |at: usize| self.families.get(at).map(|family| family.name.as_str());
        let order = |first: usize, last: usize| {
            let given = (BUILT_IN.len()..self.families.len()).filter_map(name);
            name(first).into_iter().chain(given).chain(name(last)).collect()
        };
        (order(0, 1), order(1, 0))
    }

    /// Whether some family has all of these characters in each of its faces: only then do they surely stand together as
    /// they should, bold or not.
    pub(super) fn cover(&self, cluster: &str) -> bool {
        self.families.iter().any(|family| {
            cluster.chars().all(|c| {
                family.faces.iter().all(|face| face.glyph_index(c).is_some_and(|glyph| glyph.0 != 0))
            })
        })
    }
}

impl File<'_> {
    /// Digest of the file.
    pub(super) fn digest(&self) -> Digest {
        Digest::of(self.bytes)
    }

    /// What kinds of face are in it, in one word.
    pub(super) fn look(&self) -> &'static str {
        match Face::parse(self.bytes, 0) {
            Ok(face) if face.is_bold() => "bold",
            _ => "regular",
        }
    }
}

/// The family of a face of a file: by this name the data ask for it.
#[cfg(feature = "pdf")]
pub(super) fn family_of(bytes: &[u8], face: usize) -> Option<String> {
    family(&Face::parse(bytes, u32::try_from(face).ok()?).ok()?)
}

/// The family of a face: its name in English, without the words on how it looks.
fn family(face: &Face<'_>) -> Option<String> {
    let name = face
        .names()
        .into_iter()
        .filter(|name| name.name_id == name_id::FAMILY)
        .find_map(|name| name.to_string())?;
    let mut rest = name.trim();
    while let Some((before, last)) = rest.rsplit_once([' ', '-']) {
        if !LOOKS.contains(&last.to_ascii_lowercase().as_str()) {
            break;
        }
        rest = before.trim_end();
    }
    Some(rest.to_owned()).filter(|name| !name.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_program_brings_four_faces_of_two_families() {
        let fonts = Fonts::with(&[]).unwrap();
        let files: Vec<(&str, &str)> = fonts.files().iter().map(|file| (file.name, file.look())).collect();
        assert_eq!(
            files,
            [
                ("Libertinus Serif", "regular"),
                ("Libertinus Serif", "bold"),
                ("DejaVu Sans Mono", "bold"),
                ("DejaVu Sans Mono", "regular")
            ]
        );
        assert_eq!(fonts.families(), (BUILT_IN.to_vec(), vec![BUILT_IN[1], BUILT_IN[0]]));
    }

    #[test]
    fn what_is_promised_is_covered_and_what_is_not_is_known() {
        let fonts = Fonts::with(&[]).unwrap();
        for c in
            (' '..='~').chain("äßñøçğşžőấặΑωάЖяёіїքՏאשתםابتثجحخدذرزسشصضطظعغفقكلمنهويءآأؤإئةى–—…·€§".chars())
        {
            assert!(fonts.cover(c.encode_utf8(&mut [0; 4])), "{c}");
        }
        for c in ['\u{928}', '\u{1200}', '\u{4e00}', '\u{e000}'] {
            assert!(!fonts.cover(c.encode_utf8(&mut [0; 4])), "{c}");
        }
    }

    #[test]
    fn what_is_no_font_or_comes_with_the_program_is_not_taken() {
        let given = |bytes| Fonts::with(&[Given { name: "a\u{202e}.ttf", bytes }]).map(|_| ()).unwrap_err();
        assert!(given(b"no font").message.as_str().starts_with("a\\u{202e}.ttf: "));
        assert!(given(b"").message.as_str().contains("no font"));
        let own = typst_assets::fonts().next().unwrap();
        assert!(given(own).message.as_str().contains("comes with the program"));
    }
}
