//! The one integration binary: corpus, examples, laws, outside checks, order of the house, command line.

mod case;
mod corpus;
mod printed;
mod readme;
mod record_rules;
mod syntax;
mod syntax_corpus;
mod syntax_gen;
mod syntax_secrecy;
mod tidy;
mod trouble;
mod unit;
mod versions;
