//! The integration tests of logassay, in one binary.

mod record_rules;
