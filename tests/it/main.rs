//! The one integration binary: corpus, examples, laws, outside checks, order of the house, command line.

mod case;
mod printed;
mod trouble;
mod unit;
mod versions;
