//! The pictures of a log: the day, the pace, the states; each with its text alternative.

use crate::examination::Examination;
use crate::report::document::{Place, Section};

/// The section on the pictures.
pub(super) fn section(_place: Place, _examination: &Examination<'_>) -> Option<Section> {
    None
}
