//! What follows from the bytes of a log or of its file and could let be found by trying what is masked: lengths and digests.
//! Whether an output may name them is decided here and nowhere else.

use crate::source::{Digest, Tree};
use crate::syntax::{Log, Secrecy};

/// What several logs of one source cover: length and digest of the file are of all of them.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Others {
    /// Whether strict secrecy covers anything in any of them.
    cover: bool,
    /// Whether in any of them a vote names its ballot unit.
    name_units: bool,
}

/// Tells each of several logs of one source what the others cover.
pub(crate) fn among_others(logs: &mut [Log]) {
    if logs.len() < 2 {
        return;
    }
    let strict = Secrecy::strict();
    let others = Others {
        cover: logs.iter().any(|log| log.file_identity(&strict).is_none()),
        name_units: logs.iter().any(|log| log.nearness.votes_name_units),
    };
    for log in logs {
        (log.shares_source, log.others) = (true, others);
    }
}

impl Log {
    /// SHA-256 of one line without its end, to name a line that cannot be quoted whole; none where anything of the
    /// line is covered, for a few tries would find what.
    #[must_use]
    pub fn line_digest(&self, line: usize, secrecy: &Secrecy) -> Option<Digest> {
        let entry = self.lines.get(line)?;
        (!self.is_veiled(line, secrecy)).then(|| Digest::of(self.source.raw_at(entry.span)))
    }

    /// Length in bytes and SHA-256 of the log's file, for any output; none where anything of the file is masked in an output,
    /// be it a record, a comment or a header, or was not read: with them and the other lines it could be found by trying.
    ///
    /// What the case file opens counts as masked: the same file is told without it, too, and not every output shows the lines.
    #[must_use]
    pub fn file_identity(&self, secrecy: &Secrecy) -> Option<(usize, Digest)> {
        let strict = Secrecy::strict();
        let covered = self.others.cover
            || (secrecy.several_units && self.others.name_units)
            || self.covers_units(secrecy)
            || self.lines_not_read > 0
            || (0..self.lines.len()).any(|line| self.is_veiled(line, &strict));
        (!covered).then(|| self.source.identity())
    }

    /// A digest from which names are made that tell one examination from another: that of the log's file, or, where
    /// that could tell what is covered, one of the lines as they may be shown.
    #[must_use]
    pub fn naming_digest(&self, secrecy: &Secrecy) -> Digest {
        self.file_identity(secrecy).map_or_else(
            || {
                let lines = (0..self.lines.len()).map(|line| format!("{}\n", self.quote(line, secrecy)));
                Digest::of(lines.collect::<String>().as_bytes())
            },
            |(_, digest)| digest,
        )
    }

    /// Adds the record lines, each without its line end, to a tree; none, and nothing more is added, where anything of them
    /// or of a line that could not be read is covered.
    pub(crate) fn push_record_lines(&self, tree: &mut Tree) -> Option<()> {
        let strict = Secrecy::strict();
        let covered = self.has_something_covered()
            || self.records.iter().any(|record| self.is_veiled(record.line, &strict));
        if covered || self.lines_not_read > 0 {
            return None;
        }
        for record in &self.records {
            tree.push(self.source.raw_at(self.content(record.line)));
        }
        Some(())
    }
}
