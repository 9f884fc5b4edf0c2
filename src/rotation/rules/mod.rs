//! The rules, one file for each. Each looks at one stand and at what was there before it.

pub(super) mod family;
pub(super) mod follow;
pub(super) mod hazard;
pub(super) mod permanent;
pub(super) mod soil;
