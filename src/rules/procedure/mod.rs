//! The order of events and the procedure around a poll.

pub(super) mod two_enables;
