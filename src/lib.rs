//! Plans an intensive kitchen garden that feeds several households all year round.
//!
//! The rooms, in reading order; each imports only from rooms above it in this list
//! (a test reads the imports and fails on an upward one):
//!
//! | room | question it answers |
//! | --- | --- |
//! | [`units`] | how lengths, weeks and areas are written and computed exactly |
//! | [`store`] | how text reaches the disk whole; a file kept with its lock, journal and versions |
//! | [`crops`] | what books say of crops, families, hazards and orders of crops |
//! | [`garden`] | what one garden holds, how it is edited and undone |
//! | [`climate`] | what sun, temperature, frost and soil are like at a place, day by day |
//! | [`layout`] | how many stations a layout sets out, and where |
//! | [`growth`] | when a planting is sown, planted, picked and cleared, how much ground it covers |
//! | [`rotation`] | what may follow what, and why not |
//! | [`fit`] | whether crops share ground, and until which week |
//! | [`season`] | when ground frees up, what could follow, every finding of a plan, its jobs |
//! | [`words`] | how findings, reasons, limits and plantings are said |
//! | [`export`] | the planting list |
//! | [`tui`] | the full screen |
//! | [`cli`] | the command line, the door to all of it |

pub mod cli;
pub mod climate;
pub mod crops;
pub mod export;
pub mod fit;
pub mod garden;
pub mod growth;
pub mod layout;
pub mod rotation;
pub mod season;
pub mod store;
pub mod tui;
pub mod units;
pub mod words;
