//! The classes of events, as other people's formats group them.

use super::{Attribute, Form};

macro_rules! classes {
    ($($class:ident $word:literal $meaning:literal;)*) => {
        /// A class of events. *Common practice*.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        #[allow(missing_docs, reason = "each member's meaning is its row")]
        pub enum Class { $($class),* }

        impl Class {
            /// Every class, in the order of the manual.
            pub const ALL: &[Class] = &[$(Class::$class),*];

            /// Its word.
            #[must_use]
            pub fn word(self) -> &'static str {
                match self { $(Class::$class => $word),* }
            }

            /// What its events have in common, in one sentence.
            #[must_use]
            pub fn meaning(self) -> &'static str {
                match self { $(Class::$class => $meaning),* }
            }
        }

        /// The words of the classes.
        const WORDS: &[&str] = &[$($word),*, "unknown"];
    };
}

classes! {
    Power "power" "The unit is switched on or off, or its battery measured or changed.";
    Check "check" "The unit tests itself or states what it is.";
    Link "link" "A ballot unit is connected or disconnected.";
    Clock "clock" "The unit's clock is set.";
    Setting "setting" "The unit is prepared for a poll.";
    Voting "voting" "A vote is released, lapses or is recorded; votes are counted, or voting ends.";
    Outcome "outcome" "Votes in the memory are shown, printed or cleared.";
    Paper "paper" "The paper-trail unit prints, or needs help.";
    Fault "fault" "A part of the unit failed.";
    Access "access" "A cover is opened, or a key refused.";
    Export "export" "The log leaves the unit.";
}

/// Attributes that any event may have: fields of other people's formats. Election Event Logging (NIST SP 1500-101,
/// `EventDispositionType`) has these four dispositions.
pub(super) const ON_EVERY_EVENT: &[Attribute] = &[
    Attribute { key: "type", form: Form::OneOf(WORDS), meaning: "class of the event" },
    Attribute {
        key: "disposition",
        form: Form::OneOf(&["success", "failure", "na", "other"]),
        meaning: "how the event ended",
    },
    Attribute {
        key: "time-written",
        form: Form::Time,
        meaning: "the time as the original writes it, where it could not be kept whole",
    },
];
