//! How grave a finding is.

use serde::{Deserialize, Serialize};

/// How grave a finding is; the greatest is the gravest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// Think twice.
    Caution,
    /// Against a rule.
    Breach,
}
