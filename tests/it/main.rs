//! One integration binary.

mod syntax;
mod syntax_corpus;
mod syntax_gen;
mod syntax_secrecy;
