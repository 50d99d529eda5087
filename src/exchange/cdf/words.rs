//! The words of the standard (NIST SP 1500-101, version 1), and what ours are beside them.

/// The namespace of its XML.
pub(super) const NAMESPACE: &str = "http://itl.nist.gov/ns/voting/1500-101/v1";

/// The class that holds a log.
pub(super) const LOG: &str = "ElectionEventLog";

/// The class that says what ids and types mean.
pub(super) const DOCUMENTATION: &str = "ElectionEventLogDocumentation";

/// Fields of a Device and the headers that say the same, in the order of the schema, Details, Event and Type left aside.
pub(super) const DEVICE: &[(&str, &str)] = &[
    ("HashType", "hash-type"),
    ("OtherHashType", "other-hash-type"),
    ("Id", "serial"),
    ("Manufacturer", "manufacturer"),
    ("Model", "model"),
    ("OtherType", "other-type"),
    ("Version", "software"),
];

/// Types of a Device that are roles of ours.
pub(super) const ROLES: &[(&str, &str)] =
    &[("dre-controller", "control"), ("dre", "ballot"), ("electronic-cast-paper", "paper-trail")];

/// `DeviceType`.
pub(super) const DEVICE_TYPES: &[&str] = &[
    "adjudication",
    "ballot-activation",
    "ballot-printing",
    "blank-ballot-printing",
    "bmd",
    "dre",
    "dre-controller",
    "electronic-cast",
    "electronic-cast-paper",
    "electronic-poll-book",
    "ems",
    "other",
    "scan-batch",
    "scan-single",
    "transmission-receiving",
    "transmission-sending",
];

/// `HashType`.
pub(super) const HASH_TYPES: &[&str] = &["md6", "sha-256", "sha-512", "other"];

/// The header that a field of a Device is, and its value there; no key for a field that the standard does not have.
pub(super) fn header_of<'a>(field: &str, value: &'a str) -> (Option<&'static str>, &'a str) {
    if field == "Type" {
        let role = ROLES.iter().find(|(name, _)| *name == value);
        return role.map_or((Some("device-type"), value), |(_, role)| (Some("role"), role));
    }
    let known = DEVICE.iter().find(|(name, _)| *name == field).map(|(_, key)| *key);
    (known.or((field == "Details").then_some("details")), value)
}
