//! The rules, one file a rule. Each looks at one stand and what was there before it.

pub(super) mod family;
pub(super) mod follow;
pub(super) mod hazard;
pub(super) mod permanent;
pub(super) mod soil;
