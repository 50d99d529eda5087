//! The one integration binary: corpus, examples, laws, outside checks, order of the house, command line.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::string_slice,
    clippy::format_collect,
    clippy::cloned_ref_to_slice_refs,
    reason = "a test that cannot go on must stop, and says where"
)]

mod account;
mod account_laws;
mod bundles;
mod case;
mod choices;
mod cli;
mod clock;
mod clock_laws;
mod clock_places;
mod clock_truth;
mod command;
mod comparable;
mod comparison;
mod contents;
mod convert;
mod corpus;
mod counts;
mod custody;
mod day_words;
mod digests;
mod document;
mod editions;
mod editions_limits;
mod examples;
mod exchange_cdf;
mod exchange_foreign;
mod exchange_secrecy;
mod exchange_timeline;
mod explanations;
mod faults;
mod faults_laws;
mod foreign;
mod foreign_secrecy;
mod glossary;
mod hostile;
mod hours;
mod hours_asked;
mod hours_named;
mod hours_parts;
mod hours_released;
mod hours_told;
mod laws;
mod laws_by_pair;
mod laws_of_nights;
mod laws_of_readings;
mod laws_of_stretches;
mod lines;
mod lives;
mod method;
mod misplaced;
mod odds;
mod overwriting;
mod pace;
mod pace_limits;
mod pages;
mod pdf;
mod pictures;
mod poll_day;
mod premises;
mod printed;
mod questions;
mod readme;
mod record_numbers;
mod record_rules;
mod registry;
mod rehearsal;
mod report;
mod report_forms;
mod report_json;
mod report_secrecy;
mod reproduced;
mod sarif;
mod share;
mod spreadsheet;
mod sums;
mod syntax;
mod syntax_corpus;
mod syntax_gen;
mod syntax_secrecy;
mod tidy;
mod time;
mod trouble;
mod unit;
mod versions;
mod words;
