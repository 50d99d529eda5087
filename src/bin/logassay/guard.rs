//! What `--replace` may write over: an older file, and never evidence, whatever name it has.

use std::fs::{File, Metadata};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use logassay::source::{Digest, Shown};

use crate::failure::Failure;
use crate::folder;

/// What tells a file apart from every other on the machine, whatever names it has: device and number on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Identity(u64, u64);

impl Identity {
    /// That of an open file or a name; none where the system says nothing of the kind.
    #[cfg(unix)]
    #[allow(clippy::unnecessary_wraps, reason = "other systems say nothing of the kind")]
    pub(crate) fn of(data: &Metadata) -> Option<Identity> {
        use std::os::unix::fs::MetadataExt as _;
        Some(Identity(data.dev(), data.ino()))
    }

    #[cfg(not(unix))]
    pub(crate) fn of(_: &Metadata) -> Option<Identity> {
        None
    }

    /// That of what stands behind the standard input.
    #[cfg(unix)]
    pub(crate) fn of_standard_input() -> Option<Identity> {
        use std::os::fd::AsFd as _;
        let file = File::from(io::stdin().as_fd().try_clone_to_owned().ok()?);
        Identity::of(&file.metadata().ok()?)
    }

    #[cfg(not(unix))]
    pub(crate) fn of_standard_input() -> Option<Identity> {
        None
    }
}

/// A file that was read.
#[derive(Debug, Clone)]
pub(crate) struct Read {
    /// Where it lies; none for the standard input and for what is built in.
    pub(crate) path: Option<PathBuf>,
    /// The digest of what was read.
    pub(crate) digest: Digest,
    /// Which file it is.
    pub(crate) identity: Option<Identity>,
}

/// Holds the place of an output against what was read. An output may take the place of nothing, or of a file of its own
/// with other bytes than any that was read; whether there is such a file. Bytes are compared too: what came through a pipe has no name, and not every
/// system tells one file from another.
pub(crate) fn allow(path: &Path, read: &[Read]) -> Result<bool, Failure> {
    let shown = Shown::inert(&path.display().to_string());
    let refuse = |message: String| Err(Failure::new(&message, "choose another name with --out"));
    let data = match path.symlink_metadata() {
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(false),
        Err(error) => {
            return refuse(format!("{shown} cannot be looked at, and nothing is written over it ({error})"));
        }
        Ok(data) => data,
    };
    if data.is_dir() {
        return refuse(format!("{shown} is a folder, and nothing is written over it"));
    }
    if !data.is_file() {
        return refuse(format!("{shown} is a link, device or pipe, and nothing is written over it"));
    }
    let identity = Identity::of(&data);
    let is_same = |read: &Read| read.identity.is_some() && read.identity == identity;
    let (_, digest) = folder::digest(path)?;
    if read.iter().any(|read| is_same(read) || read.digest == digest) {
        return refuse(format!(
            "{shown} is one of the files that were read, or holds the same bytes, and nothing is written over it"
        ));
    }
    Ok(true)
}
