//! `custody`: a manifest of a folder, and what became of the folder since. Links are never followed.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Stdio};

use logassay::custody::{
    Found, Item, MANIFEST, Manifest, NAMESPACE, RecordLines, Role, SIGNATURE, Standing, compare, read, unfit,
};
use logassay::report::{TOOL, VERSION};
use logassay::source::{Digest, Shown, Source};

use crate::Done;
use crate::arguments::CustodyCheck;
use crate::failure::Failure;
use crate::folder;
use crate::outside;

/// The code where anything is not as the manifest has it, or a signature does not hold.
const DIFFERS: u8 = 1;

/// Writes a manifest of a folder into it.
pub(crate) fn make(folder: &Path) -> Result<Done, Failure> {
    let path = folder.join(MANIFEST);
    if path.symlink_metadata().is_ok() {
        return Err(Failure::new(
            &format!("{} has a manifest already, and nothing is written over it", shown(folder)),
            "'custody check' holds the folder against it",
        ));
    }
    let mut items = BTreeMap::new();
    for (name, found) in look(folder, |_, _| true)? {
        let refuse = |why: &str| {
            Failure::new(
                &format!("{} cannot stand in a manifest: {why}", Shown::inert(&name)),
                "put a file of its own with another name in its place, or take it out",
            )
        };
        if let Some(why) = unfit(&name) {
            return Err(refuse(why));
        }
        match found {
            Found::File { bytes, digest, records } => {
                items.insert(name, Item { role: Role::Kept, bytes, digest, records });
            }
            Found::Other(what) => return Err(refuse(&format!("it is {what}"))),
        }
    }
    let about = vec![("tool".to_owned(), format!("{TOOL} {VERSION}"))];
    let text = Manifest { about, items }.text();
    outside::write_new(&path, &text)?;
    Ok(Done::well(outside::written(&path, &text)))
}

/// Holds a folder against its manifest.
pub(crate) fn check(arguments: &CustodyCheck) -> Result<Done, Failure> {
    let folder = &arguments.folder;
    let path = folder.join(MANIFEST);
    let bytes = outside::read_manifest(&path)?;
    let unreadable = |what: &str| {
        Failure::new(
            &format!("{} is not a manifest that can be relied on: {what}", shown(&path)),
            "compare it with another copy; nothing in the folder was looked at",
        )
    };
    let text = std::str::from_utf8(&bytes).map_err(|_| unreadable("it is not UTF-8 text"))?;
    let manifest = read(text).map_err(|wrong| unreadable(&wrong.to_string()))?;
    // Record lines are of interest where the manifest has them.
    let found = look(folder, |name, digest| {
        manifest.items.get(name).is_some_and(|item| item.records.is_some() && item.digest != digest)
    })?;
    let standings = compare(&manifest, &found);
    let mut said = format!("manifest: {}, SHA-256 {}\n", shown(&path), Digest::of(&bytes));
    for (name, standing) in &standings {
        said.push_str(&format!("{:<10} {}", standing.word(), Shown::inert(name)));
        match standing {
            Standing::Changed(what) => said.push_str(&format!(": {what}")),
            Standing::New(Some(what)) => said.push_str(&format!(": it is {what}")),
            _ => {}
        }
        said.push('\n');
    }
    let number = |word: &str| standings.values().filter(|standing| standing.word() == word).count();
    let [unchanged, changed, missing, new] = ["unchanged", "changed", "missing", "new"].map(number);
    said.push_str(&format!("{unchanged} unchanged, {changed} changed, {missing} missing, {new} new.\n"));
    let signed = signature(arguments, &bytes, &mut said)?;
    let as_listed = changed + missing + new == 0;
    Ok(Done { text: said, code: if as_listed && signed { 0 } else { DIFFERS } })
}

/// Checks the signature where it is asked for; says so where one stands unchecked.
fn signature(arguments: &CustodyCheck, manifest: &[u8], said: &mut String) -> Result<bool, Failure> {
    let beside = arguments.folder.join(SIGNATURE);
    let (Some(signers), Some(signer)) = (&arguments.signers, &arguments.signer) else {
        said.push_str(if beside.symlink_metadata().is_ok() {
            "A signature stands beside the manifest and was not checked: --signers and --signer check it.\n"
        } else {
            "The manifest is not signed: whoever can change the files can change it too, unless its SHA-256 was kept \
             elsewhere.\n"
        });
        return Ok(true);
    };
    let signature = arguments.signature.as_ref().unwrap_or(&beside);
    for path in [signers, signature] {
        if !path.is_file() {
            return Err(Failure::new(&format!("there is no file {}", shown(path)), "check the name"));
        }
    }
    let mut command = Command::new("ssh-keygen");
    command
        .args(["-Y", "verify", "-n", NAMESPACE, "-I"])
        .arg(signer)
        .arg("-f")
        .arg(signers)
        .arg("-s")
        .arg(signature);
    command.stdin(Stdio::piped()).stdout(Stdio::null()).stderr(Stdio::piped());
    let cannot = |error: &std::io::Error| {
        Failure::new(
            &format!("the signature was not checked: ssh-keygen cannot be run ({error})"),
            "install OpenSSH, or check without --signers",
        )
    };
    let mut child = command.spawn().map_err(|error| cannot(&error))?;
    if let Some(mut pipe) = child.stdin.take() {
        // Where it refuses the signature before it has read all, the pipe is closed.
        let _closed = std::io::Write::write_all(&mut pipe, manifest);
    }
    let output = child.wait_with_output().map_err(|error| cannot(&error))?;
    if output.status.success() {
        said.push_str(&format!("The signature of {} on the manifest holds.\n", Shown::inert(signer)));
    } else {
        let why = String::from_utf8_lossy(&output.stderr);
        let why = why.lines().next().unwrap_or("no reason was given");
        said.push_str(&format!(
            "The signature of {} on the manifest does NOT hold: {}\n",
            Shown::inert(signer),
            Shown::inert(why)
        ));
    }
    Ok(output.status.success())
}

/// All that lies in a folder, the manifest and its signature aside. Files for which `as_log` says so are read as logs too.
fn look(place: &Path, as_log: impl Fn(&str, Digest) -> bool) -> Result<BTreeMap<String, Found>, Failure> {
    let mut found = BTreeMap::new();
    for (name, other) in folder::walk(place)? {
        if name == MANIFEST || name == SIGNATURE {
            continue;
        }
        let one = if let Some(what) = other {
            Found::Other(what)
        } else {
            let path = place.join(&name);
            let (bytes, digest) = folder::digest(&path)?;
            let records = if as_log(&name, digest) { records(&path, bytes, digest)? } else { None };
            Found::File { bytes, digest, records }
        };
        found.insert(name, one);
    }
    Ok(found)
}

/// The record lines of a file that begins as a log of the neutral format and still has this digest.
fn records(path: &Path, bytes: u64, digest: Digest) -> Result<Option<RecordLines>, Failure> {
    if bytes > outside::LARGEST_LOG || !folder::begins_with(path, b"unit-event-log ")? {
        return Ok(None);
    }
    let file = outside::read_log(path)?;
    if Digest::of(&file.bytes) != digest {
        return Err(Failure::new(
            &format!("{} was changed by somebody while it was looked at", shown(path)),
            "look again when nobody writes into the folder",
        ));
    }
    Ok(RecordLines::of(&logassay::syntax::read(std::sync::Arc::new(Source::new(file.name, file.bytes)))))
}

fn shown(path: &Path) -> Shown {
    Shown::inert(&path.display().to_string())
}
