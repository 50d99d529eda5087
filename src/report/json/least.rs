//! The least that must be assumed, as JSON: every conflict in full.

use schemars::JsonSchema;
use serde::Serialize;

use crate::examination::Examination;
use crate::replay::{Account, Cluster, Edit};
use crate::report::least;

/// The least that must be assumed for these records to be what such a unit could have written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct LeastOf {
    /// Number of changes: records missing and records too many. 0 exactly when nothing contradicts the unit description.
    pub changes: u64,
    /// Number of equally small accounts; a text, because it may have many digits. From 2 to the power of 4096 on it
    /// stands for itself and all above.
    pub accounts: String,
    /// The same in words.
    pub in_words: Vec<String>,
    /// The changes that stand in every one of these accounts.
    pub common: Vec<EditOf>,
    /// The conflicts, in the order of replay.
    pub conflicts: Vec<ConflictOf>,
    /// Which rules stay open because of them.
    pub stays_open: Vec<String>,
    /// What the account is not.
    pub what_it_is_not: Vec<String>,
}

/// Records that contradict each other.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct ConflictOf {
    /// Its number, from 1: the group of its findings.
    pub number: usize,
    /// Its first line in the order of replay.
    pub first_line: usize,
    /// Its last line in the order of replay.
    pub last_line: usize,
    /// Number of changes that it needs at the least.
    pub changes: u64,
    /// Number of equally small accounts of it.
    pub accounts: String,
    /// Numbers of the findings that rest on it.
    pub findings: Vec<usize>,
    /// Its independent parts: their accounts combine freely.
    pub parts: Vec<PartOf>,
}

/// Changes that depend on each other, and on no others.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct PartOf {
    /// Number of changes.
    pub changes: u64,
    /// Number of equally small accounts.
    pub accounts: String,
    /// The changes that stand in every one of them.
    pub common: Vec<EditOf>,
    /// The changes that stand in one or more of them.
    pub possible: Vec<EditOf>,
    /// At most three of them, in a fixed order that says nothing about which is right.
    pub alternatives: Vec<Vec<EditOf>>,
}

/// One change.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct EditOf {
    /// `extra`: the record is one too many. `missing`: a record is missing before this place.
    pub change: String,
    /// The word of the event.
    pub event: String,
    /// `extra`: the record's line. `missing`: the line of what comes next; `null` where nothing does.
    pub line: Option<usize>,
    /// The change in words.
    pub in_words: String,
}

/// Fills it.
pub(super) fn least(examination: &Examination<'_>) -> LeastOf {
    let account = examination.replay.account.as_ref();
    LeastOf {
        changes: account.map_or(0, |account| account.cost),
        accounts: account.map_or_else(|| "1".to_owned(), |account| account.accounts.to_string()),
        in_words: least::opening(examination),
        common: account.into_iter().flat_map(Account::common).map(|one| edit(examination, &one)).collect(),
        conflicts: least::conflicts(examination)
            .into_iter()
            .map(|conflict| ConflictOf {
                number: conflict.number,
                first_line: conflict.lines.0,
                last_line: conflict.lines.1,
                changes: conflict.cost,
                accounts: conflict.accounts.to_string(),
                findings: conflict.findings,
                parts: conflict.parts.into_iter().map(|cluster| part(examination, cluster)).collect(),
            })
            .collect(),
        stays_open: least::stays_open(examination),
        what_it_is_not: least::limits(examination),
    }
}

fn part(examination: &Examination<'_>, cluster: &Cluster) -> PartOf {
    let edits = |edits: &[Edit]| edits.iter().map(|one| edit(examination, one)).collect::<Vec<_>>();
    PartOf {
        changes: cluster.cost,
        accounts: cluster.accounts.to_string(),
        common: edits(&cluster.common),
        possible: edits(&cluster.possible),
        alternatives: cluster.alternatives.iter().map(|alternative| edits(alternative)).collect(),
    }
}

fn edit(examination: &Examination<'_>, edit: &Edit) -> EditOf {
    let in_words = least::edit(examination, edit);
    match edit {
        Edit::Extra { at } => EditOf {
            change: "extra".to_owned(),
            event: least::record(examination, *at).map_or("", |record| record.event.word()).to_owned(),
            line: Some(least::line(examination, *at)),
            in_words,
        },
        Edit::Missing { before, what } => EditOf {
            change: "missing".to_owned(),
            event: what.word().to_owned(),
            line: (*before < examination.replay.steps.len()).then(|| least::line(examination, *before)),
            in_words,
        },
    }
}
