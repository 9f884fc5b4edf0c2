//! What could follow, as lines to choose from: first what speaks against a crop, then what tells it from the others.

use std::collections::HashMap;

use crate::garden::Severity;
use crate::season::{Candidate, Plan};
use crate::tui::layers::picker::Item;
use crate::tui::signs::Signs;
use crate::tui::widgets::text::day_seen_from;

/// How the reason begins that is told at the front by sign and word.
const NOT_RIPE: &str = "not ripe before";
/// How reasons begin that say no more than the day in front of them.
const SAYS_THE_DAY: [&str; 2] = ["in season now", "from "];

/// One line for each candidate, in their order.
pub(super) fn items(plan: &Plan, candidates: &[Candidate], year: i32, signs: &Signs) -> Vec<Item> {
    let mut n_saying: HashMap<&str, usize> = HashMap::new();
    for reason in candidates.iter().flat_map(|candidate| &candidate.reasons) {
        *n_saying.entry(reason.as_str()).or_default() += 1;
    }
    // What half of them or more say tells none from the others.
    let is_common = |reason: &str| n_saying.get(reason).is_some_and(|n| n * 2 >= candidates.len());
    let line = |candidate: &Candidate| {
        let crop = plan.book().crops().get(candidate.crop_idx)?;
        Some(Item {
            id: crop.id.clone(),
            label: crop.name.clone(),
            also: crop.other_names.join(" "),
            detail: detail(candidate, &is_common, year, signs),
        })
    };
    candidates.iter().filter_map(line).collect()
}

fn detail(candidate: &Candidate, is_common: &dyn Fn(&str) -> bool, year: i32, signs: &Signs) -> String {
    let mut reasons: Vec<&str> = candidate.reasons.iter().map(String::as_str).collect();
    let is_ripe = !reasons.iter().any(|reason| reason.starts_with(NOT_RIPE));
    reasons.retain(|reason| !SAYS_THE_DAY.iter().any(|start| reason.starts_with(start)));
    // Within each half the best reason stays first.
    reasons.sort_by_key(|reason| (reason.starts_with(NOT_RIPE), is_common(reason)));
    let mut front = String::new();
    if candidate.worst == Some(Severity::Breach) {
        front.push_str(&format!("{} breach, ", signs.breach));
    }
    if !is_ripe {
        front.push_str(&format!("{} not ripe, ", signs.caution));
    }
    format!("{front}in {}: {}", day_seen_from(candidate.enters, year), reasons.join("; "))
}

#[cfg(test)]
mod tests {
    use chrono::NaiveDate;

    use super::*;
    use crate::tui::screens::bed::fixture::{garden, look_at};
    use crate::tui::view::Options;

    fn candidate(reasons: &[&str], worst: Option<Severity>) -> Candidate {
        let day = NaiveDate::from_ymd_opt(2027, 10, 12).unwrap();
        Candidate {
            crop_idx: 0,
            enters: day,
            sow_by: None,
            is_bought_in: false,
            first_pick: day,
            clear: day,
            score: 0.0,
            reasons: reasons.iter().map(|reason| (*reason).to_owned()).collect(),
            worst,
        }
    }

    #[test]
    fn what_speaks_against_a_crop_leads_and_what_all_have_comes_last() {
        let (session, _) = look_at(garden(), Options::default());
        let candidates = [
            candidate(&["in season now", "the whole bed is free", "goes well after peas"], None),
            candidate(&["in season now", "the whole bed is free", "not ripe before the next planting on 14 Oct"], None),
            candidate(&["the whole bed is free", "from 12 Oct"], Some(Severity::Breach)),
        ];
        let items = items(&session.plan, &candidates, 2027, Signs::of(false));
        let details: Vec<&str> = items.iter().map(|item| item.detail.as_str()).collect();
        assert_eq!(
            details,
            [
                "in 12 Oct: goes well after peas; the whole bed is free",
                "▲ not ripe, in 12 Oct: the whole bed is free; not ripe before the next planting on 14 Oct",
                "✖ breach, in 12 Oct: the whole bed is free",
            ]
        );
    }

    /// The words of the plan, so that the marks above go on fitting them.
    #[test]
    fn the_plan_words_its_reasons_so() {
        let (session, _) = look_at(garden(), Options::default());
        // Four weeks before the leeks of the first bed go in.
        let day = NaiveDate::from_ymd_opt(2027, 5, 10).unwrap();
        let said: Vec<String> = (0..session.plan.beds().len())
            .flat_map(|bed_idx| session.plan.candidates_seen_from(bed_idx, day, day))
            .flat_map(|candidate| candidate.reasons)
            .collect();
        for start in [SAYS_THE_DAY[0], NOT_RIPE] {
            assert!(said.iter().any(|reason| reason.starts_with(start)), "{start}");
        }
    }
}
