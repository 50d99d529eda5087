//! The outside world: files are read whole and within limits, texts go to the standard output, complaints beside it.

use std::io::{self, ErrorKind, IsTerminal as _, Read as _, Write as _};
use std::path::Path;

use anstream::{AutoStream, ColorChoice};
use logassay::report::{Layout, grouped};
use logassay::source::{Digest, Shown};

use crate::arguments::{Colour, Face};
use crate::failure::Failure;
use crate::guard::{self, Identity, Read};

/// Largest log, in bytes.
pub(crate) const LARGEST_LOG: u64 = 256 * 1024 * 1024;

/// Largest case file or unit description, in bytes.
pub(crate) const LARGEST_SHEET: u64 = 1024 * 1024;

/// Largest font, in bytes.
const LARGEST_FONT: u64 = 64 * 1024 * 1024;

/// Widest page that a terminal is filled with: longer lines are hard to read.
const WIDEST: usize = 140;

/// Width without a terminal.
const PIPED: usize = 80;

/// A file as read: its name, its bytes, and which file it is.
pub(crate) struct File {
    pub(crate) name: String,
    pub(crate) bytes: Vec<u8>,
    pub(crate) identity: Option<Identity>,
}

impl File {
    /// What is kept of it to tell what was read; with where it lies, if it lies anywhere.
    pub(crate) fn read(&self, path: Option<&Path>) -> Read {
        Read {
            path: path.filter(|path| path.as_os_str() != "-").map(Path::to_owned),
            digest: Digest::of(&self.bytes),
            identity: self.identity,
        }
    }
}

/// Reads a log; `-` is the standard input.
pub(crate) fn read_log(path: &Path) -> Result<File, Failure> {
    if path.as_os_str() == "-" {
        let name = "standard input".to_owned();
        return within(io::stdin().lock(), name, LARGEST_LOG, Identity::of_standard_input());
    }
    read(path, "log", LARGEST_LOG)
}

/// Reads a case file or a unit description.
pub(crate) fn read_sheet(path: &Path, what: &str) -> Result<File, Failure> {
    read(path, what, LARGEST_SHEET)
}

/// Reads a font.
pub(crate) fn read_font(path: &Path) -> Result<File, Failure> {
    read(path, "font", LARGEST_FONT)
}

/// Reads a manifest, which is no link: that of another folder would say nothing about this one.
pub(crate) fn read_manifest(path: &Path) -> Result<Vec<u8>, Failure> {
    match path.symlink_metadata() {
        Ok(data) if !data.is_file() => {
            let shown = Shown::inert(&path.display().to_string());
            Err(Failure::new(
                &format!("{shown} is no file of its own"),
                "put the manifest itself in its place",
            ))
        }
        _ => read(path, "manifest", LARGEST_LOG).map(|file| file.bytes),
    }
}

fn read(path: &Path, what: &str, limit: u64) -> Result<File, Failure> {
    let name = path.display().to_string();
    let shown = Shown::inert(&name);
    if path.is_dir() {
        return Err(Failure::new(
            &format!("{shown} is a folder, not a {what}"),
            "name one file; several logs are examined one by one",
        ));
    }
    let file = std::fs::File::open(path).map_err(|error| {
        let (message, help) = match error.kind() {
            ErrorKind::NotFound => (
                format!("there is no file {shown}"),
                "check the name and the folder; a log named like a subcommand is given as ./NAME".to_owned(),
            ),
            ErrorKind::PermissionDenied => {
                (format!("{shown} may not be read"), "ask for the right to read it, or for a copy".to_owned())
            }
            _ => (format!("{shown} cannot be opened"), error.to_string()),
        };
        Failure::new(&message, &help)
    })?;
    let identity = file.metadata().ok().as_ref().and_then(Identity::of);
    within(file, name_of(path), limit, identity)
}

fn within(
    from: impl io::Read,
    name: String,
    limit: u64,
    identity: Option<Identity>,
) -> Result<File, Failure> {
    let mut bytes = Vec::new();
    let shown = Shown::inert(&name);
    from.take(limit + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| Failure::new(&format!("{shown} cannot be read to its end"), &error.to_string()))?;
    if bytes.len() as u64 > limit {
        return Err(Failure::new(
            &format!("{shown} is larger than {} bytes", grouped(limit)),
            "a log of this size was not written by one unit; cut it at its heading lines and examine the parts",
        ));
    }
    Ok(File { name, bytes, identity })
}

/// The name of a file as reports say it: as it was given, but without the folders of the machine where it was given whole.
pub(crate) fn name_of(path: &Path) -> String {
    let name = if path.is_absolute() { path.file_name().map(Path::new) } else { None };
    name.unwrap_or(path).display().to_string()
}

/// Writes a file that must not exist yet: all of it or nothing.
pub(crate) fn write_new(path: &Path, bytes: impl AsRef<[u8]>) -> Result<(), Failure> {
    store(path, bytes.as_ref(), false)
}

/// Writes a file: one that must not exist yet, or where `replace` says so over an older one, but never over one of those
/// that were read.
pub(crate) fn write(
    path: &Path,
    bytes: impl AsRef<[u8]>,
    replace: bool,
    read: &[Read],
) -> Result<(), Failure> {
    let over = replace && guard::allow(path, read)?;
    store(path, bytes.as_ref(), over)
}

/// The bytes are written beside the place where they belong and take their name when all of them are on the disk: whoever
/// looks sees the whole file or none. Without `over`, the name is taken by a second name for the same file, which fails
/// where the name is in use: no moment lies between looking and taking.
fn store(path: &Path, bytes: &[u8], over: bool) -> Result<(), Failure> {
    let shown = Shown::inert(&path.display().to_string());
    let cannot = |error: &io::Error| match error.kind() {
        ErrorKind::AlreadyExists => Failure::new(
            &format!("{shown} exists, and nothing is written over it"),
            "choose another name with --out, or move the file away",
        ),
        _ => Failure::new(&format!("{shown} cannot be written"), &error.to_string()),
    };
    refuse_dash(path)?;
    if !over && path.symlink_metadata().is_ok() {
        return Err(cannot(&ErrorKind::AlreadyExists.into()));
    }
    if path.is_dir() || path.file_name().is_none() {
        return Err(Failure::new(&format!("{shown} is no name for a file"), "name a file with --out"));
    }
    let begun = path.with_file_name(format!(".logassay-{}.part", std::process::id()));
    let mut file = std::fs::File::create_new(&begun)
        .map_err(|error| Failure::new(&format!("{shown} cannot be written"), &error.to_string()))?;
    let written = file.write_all(bytes).and_then(|()| file.sync_all());
    let named = written.and_then(|()| if over { std::fs::rename(&begun, path) } else { name(&begun, path) });
    if named.is_err() || !over {
        // The file is this run's own and holds a part only, or has its name by now.
        let _left = std::fs::remove_file(&begun);
    }
    named.map_err(|error| cannot(&error))
}

/// Gives a file a name that must not be in use. Where the disk knows no second names, the new file is made under its name.
fn name(begun: &Path, path: &Path) -> io::Result<()> {
    match std::fs::hard_link(begun, path) {
        Err(error) if matches!(error.kind(), ErrorKind::Unsupported | ErrorKind::PermissionDenied) => {
            let mut file = std::fs::File::create_new(path)?;
            let whole = io::copy(&mut std::fs::File::open(begun)?, &mut file).and_then(|_| file.sync_all());
            whole.inspect_err(|_| {
                let _left = std::fs::remove_file(path);
            })
        }
        named => named,
    }
}

/// Standard output has no place among files that are made whole or not at all.
pub(crate) fn refuse_dash(path: &Path) -> Result<(), Failure> {
    if path.as_os_str() == "-" {
        return Err(Failure::new(
            "'-' is no name for a file here",
            "leave --out out for standard output, where the command allows it, or name a file; './-' names one of that name",
        ));
    }
    Ok(())
}

/// Makes a folder for files, with those above it, where it is not there yet.
pub(crate) fn make_folder(folder: &Path) -> Result<(), Failure> {
    refuse_dash(folder)?;
    std::fs::create_dir_all(folder).map_err(|error| {
        let shown = Shown::inert(&folder.display().to_string());
        Failure::new(&format!("the folder {shown} cannot be made"), &error.to_string())
    })
}

/// The line that says which file was written.
pub(crate) fn written(path: &Path, bytes: impl AsRef<[u8]>) -> String {
    let (name, bytes) = (Shown::inert(&path.display().to_string()), bytes.as_ref());
    format!("written: {name}, {} bytes, SHA-256 {}\n", bytes.len(), Digest::of(bytes))
}

/// The layout of the page: as asked, else as the terminal has it.
pub(crate) fn layout(face: Face) -> Layout {
    let columns = || terminal_size::terminal_size().map(|(width, _)| usize::from(width.0));
    let width = match face.width {
        Some(width) => width,
        None if io::stdout().is_terminal() => columns().unwrap_or(PIPED).clamp(Layout::LEAST, WIDEST),
        None => PIPED,
    };
    Layout { width, colour: choice(face.colour, &io::stdout()) != ColorChoice::Never }
}

fn choice(colour: Colour, stream: &impl anstream::stream::RawStream) -> ColorChoice {
    match colour {
        Colour::Always => ColorChoice::Always,
        Colour::Never => ColorChoice::Never,
        Colour::Auto => AutoStream::choice(stream),
    }
}

/// Prints a text. A reader that has closed the pipe has seen enough: that is no failure.
pub(crate) fn print(text: &str, face: Face) -> Result<(), Failure> {
    let choice = choice(face.colour, &io::stdout());
    let mut out = AutoStream::new(io::stdout().lock(), choice);
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => Err(Failure::new(
            "the output cannot be written",
            &format!("check the disk or the program that reads the output ({error})"),
        )),
        _ => Ok(()),
    }
}

/// Prints a failure beside the output.
pub(crate) fn complain(failure: &Failure, face: Face) {
    let choice = choice(face.colour, &io::stderr());
    let text = failure.render(face.width.unwrap_or(PIPED), choice != ColorChoice::Never);
    // When even the complaint cannot be written, the exit code still says it.
    let _unheard = AutoStream::new(io::stderr().lock(), choice).write_all(text.as_bytes());
}
