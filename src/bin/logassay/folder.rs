//! Folders and large files of the outside world: walked without following links, hashed without being held in memory.

use std::fs::{self, File};
use std::io::{self, Read as _, Write as _};
use std::path::{Path, PathBuf};

use logassay::custody::EMPTY_FOLDER;
use logassay::source::{Digest, Shown};
use sha2::{Digest as _, Sha256};

use crate::failure::Failure;

/// The most files and folders in a folder.
const MOST: usize = 100_000;

fn cannot(path: &Path, what: &str) -> impl Fn(io::Error) -> Failure {
    let message = format!("{} cannot be {what}", Shown::inert(&path.display().to_string()));
    move |error| Failure::new(&message, &error.to_string())
}

/// All that lies in a folder and its folders but these, by name: parts are separated by `/`. What is no file is said in
/// words, and no link is followed.
pub(crate) fn walk(folder: &Path) -> Result<Vec<(String, Option<&'static str>)>, Failure> {
    let mut list = Vec::new();
    let mut todo: Vec<(PathBuf, String)> = vec![(folder.to_owned(), String::new())];
    let mut entries = 0;
    while let Some((path, prefix)) = todo.pop() {
        let mut is_empty = true;
        for entry in fs::read_dir(&path).map_err(cannot(&path, "read as a folder"))? {
            let entry = entry.map_err(cannot(&path, "read as a folder"))?;
            entries += 1;
            is_empty = false;
            if entries > MOST {
                return Err(Failure::new(
                    &format!(
                        "{} holds too much: more than {MOST} files",
                        Shown::inert(&folder.display().to_string())
                    ),
                    "name the folder of one bundle",
                ));
            }
            let name = format!("{prefix}{}", last_name(&entry.path())?);
            let kind = entry.file_type().map_err(cannot(&entry.path(), "looked at"))?;
            if kind.is_dir() {
                todo.push((entry.path(), format!("{name}/")));
            } else if kind.is_file() {
                list.push((name, None));
            } else if kind.is_symlink() {
                list.push((name, Some("a link")));
            } else {
                list.push((name, Some("a device, pipe or socket")));
            }
        }
        // The folder itself may be empty; one inside it would otherwise be seen by nobody.
        if is_empty && let Some(name) = prefix.strip_suffix('/') {
            list.push((name.to_owned(), Some(EMPTY_FOLDER)));
        }
    }
    list.sort_unstable();
    Ok(list)
}

/// The last part of a path, which must be text: a manifest is text.
pub(crate) fn last_name(path: &Path) -> Result<&str, Failure> {
    let name = path.file_name().and_then(|name| name.to_str());
    name.ok_or_else(|| {
        Failure::new(
            &format!("the name of {} is not UTF-8 text", Shown::inert(&path.display().to_string())),
            "rename a copy of it",
        )
    })
}

/// Length and digest of a file, which is opened for reading only.
pub(crate) fn digest(path: &Path) -> Result<(u64, Digest), Failure> {
    pump(path, |_| Ok(()))
}

/// Copies a file to a place where none is, and gives length and digest of what was copied.
pub(crate) fn copy(from: &Path, to: &Path) -> Result<(u64, Digest), Failure> {
    let mut file = File::create_new(to).map_err(cannot(to, "written"))?;
    let done = pump(from, |part| file.write_all(part))?;
    file.sync_all().map_err(cannot(to, "written"))?;
    Ok(done)
}

fn pump(path: &Path, mut take: impl FnMut(&[u8]) -> io::Result<()>) -> Result<(u64, Digest), Failure> {
    let mut file = File::open(path).map_err(cannot(path, "opened"))?;
    let (mut hasher, mut bytes, mut buffer) = (Sha256::new(), 0_u64, vec![0; 1 << 17]);
    loop {
        let read = match file.read(&mut buffer) {
            Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
            read => read.map_err(cannot(path, "read to its end"))?,
        };
        let part = buffer.get(..read).unwrap_or_default();
        if part.is_empty() {
            return Ok((bytes, Digest::finish(hasher)));
        }
        hasher.update(part);
        bytes += part.len() as u64;
        take(part).map_err(cannot(path, "copied"))?;
    }
}

/// Whether a file begins with these bytes.
pub(crate) fn begins_with(path: &Path, begin: &[u8]) -> Result<bool, Failure> {
    let mut head = Vec::new();
    let file = File::open(path).map_err(cannot(path, "opened"))?;
    file.take(begin.len() as u64).read_to_end(&mut head).map_err(cannot(path, "read"))?;
    Ok(head == begin)
}
