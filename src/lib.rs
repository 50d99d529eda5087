//! logassay
pub mod case;
pub mod event;
pub mod sheet;
pub mod source;
pub mod syntax;
pub mod unit;
