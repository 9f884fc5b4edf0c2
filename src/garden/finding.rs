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
    /// The planting it is about; of an empty bed (the rule `gap`) the planting beside it.
    pub planting: PlantingId,
    /// What it stands against: another planting (`p12`), a past crop (`2024 leek`), a hazard (`clubroot`) or nothing; of an empty bed
    /// whether the weeks after that planting or before it are meant, and their year (`after 2027`).
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub against: String,
    /// Why it is accepted.
    pub reason: String,
}
