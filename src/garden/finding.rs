//! How grave a finding is, and how an accepted one is recognised again.

use serde::{Deserialize, Serialize};

use super::PlantingId;

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

/// A finding the grower has accepted, with the reason. It stays listed, as accepted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Accepted {
    /// The rule's name.
    pub rule: String,
    /// The planting it is about.
    pub planting: PlantingId,
    /// What it stands against: another planting (`p12`), a past crop (`2024 leek`), a hazard (`clubroot`) or nothing.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub against: String,
    /// Why it is accepted.
    pub reason: String,
}
