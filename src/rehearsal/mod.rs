//! Rehearsal: made-up lives of units, lawful from the first check to the export, with the station's papers.
//!
//! A life is made from a seed and a [`Setting`]; the same seed gives the same bytes on every machine. Everything in it
//! is invented, and plays in the Commonwealth of Kestrane. Every rate and every time is an *assumption* to be varied,
//! not a measurement of any election.
//!
//! What the lives do not hold: a loss of power without the switch, an enable that waits at the close, a clock that is
//! set or loses its time in mid-poll. Rules report each of these as something out of the ordinary.

mod acts;
mod aftermath;
mod answers;
mod chance;
pub mod class;
mod clock;
mod course;
pub mod fault;
pub mod key;
mod life;
mod memory;
mod mishap;
mod papers;
mod poll;
mod preparation;
mod queue;
mod session;
mod setting;
mod truth;
mod unwritten;

pub use acts::{ACTS, Act, ActEntry, Per};
pub use chance::{Chance, Permille};
pub use clock::{Clock, ClockSetting, Slip};
pub use life::{Life, life};
pub use papers::Reading;
pub use queue::{Rate, Server};
pub use setting::{Profile, Service, Setting};
