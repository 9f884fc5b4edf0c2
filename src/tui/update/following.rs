//! What could follow, as lines to choose from: first what counts against a crop, then what sets it apart from the others.

use std::collections::HashMap;

use crate::garden::Severity;
use crate::season::{Candidate, Plan, Reason};
use crate::tui::layers::picker::Item;
use crate::tui::signs::Signs;
use crate::tui::widgets::text::day_seen_from;
use crate::words::reason_words;

/// A reason for or against a candidate, with its words.
type Said<'a> = (&'a Reason, String);

/// One line for each candidate, in their order.
pub(super) fn items(plan: &Plan, candidates: &[Candidate], year: i32, signs: &Signs) -> Vec<Item> {
    let worded = |reason| (reason, reason_words(plan, reason));
    let said: Vec<Vec<Said<'_>>> =
        candidates.iter().map(|candidate| candidate.reasons.iter().map(worded).collect()).collect();
    // Words that half of them or more share set none apart, whatever the reasons behind them.
    let mut n_saying: HashMap<&str, usize> = HashMap::new();
    for (_, words) in said.iter().flatten() {
        *n_saying.entry(words).or_default() += 1;
    }
    let is_common = |words: &str| n_saying.get(words).is_some_and(|n| n * 2 >= candidates.len());
    let line = |(candidate, said): (&Candidate, &Vec<Said<'_>>)| {
        let crop = plan.book().crops().get(candidate.crop_idx)?;
        Some(Item {
            id: crop.id.clone(),
            label: crop.name.clone(),
            also: crop.other_names.join(" "),
            detail: detail(candidate, said, &is_common, year, signs),
        })
    };
    candidates.iter().zip(&said).filter_map(line).collect()
}

fn detail(
    candidate: &Candidate,
    said: &[Said<'_>],
    is_common: &dyn Fn(&str) -> bool,
    year: i32,
    signs: &Signs,
) -> String {
    // The day is given already.
    let mut said: Vec<&Said<'_>> = said.iter().filter(|(reason, _)| !reason.is_about_entry()).collect();
    let is_ripe = !candidate.reasons.iter().any(Reason::is_not_ripe);
    // Otherwise the order of the reasons stays, best first.
    said.sort_by_key(|(reason, words)| (reason.is_not_ripe(), is_common(words)));
    let mut front = String::new();
    if candidate.worst == Some(Severity::Breach) {
        front.push_str(&format!("{} breach, ", signs.breach));
    }
    if !is_ripe {
        front.push_str(&format!("{} will not ripen, ", signs.caution));
    }
    let words: Vec<&str> = said.into_iter().map(|(_, words)| words.as_str()).collect();
    format!("{front}in {}: {}", day_seen_from(candidate.enters, year), words.join("; "))
}

#[cfg(test)]
mod tests {
    use chrono::NaiveDate;

    use super::*;
    use crate::growth::Limit;
    use crate::tui::fixture::{garden, look_at};
    use crate::tui::view::Options;

    fn candidate(reasons: &[Reason], worst: Option<Severity>) -> Candidate {
        let day = NaiveDate::from_ymd_opt(2027, 10, 12).unwrap();
        Candidate {
            crop_idx: 0,
            enters: day,
            sow_by: None,
            is_bought_in: false,
            first_pick: day,
            clear: day,
            score: 0.0,
            reasons: reasons.to_vec(),
            worst,
        }
    }

    #[test]
    fn what_speaks_against_a_crop_leads_and_what_all_have_comes_last() {
        let (session, _) = look_at(garden(), Options::default());
        let day = NaiveDate::from_ymd_opt(2027, 10, 14).unwrap();
        let frost = Reason::Growth(Limit::NotRipeInTime { ripe: None, by: day, is_frost: true });
        let candidates = [
            candidate(&[Reason::InSeason, Reason::WholeBedFree, Reason::Fed], None),
            candidate(&[Reason::InSeason, Reason::WholeBedFree, Reason::NotRipe { next: day }], None),
            candidate(&[Reason::WholeBedFree, Reason::InSeasonFrom(day)], Some(Severity::Breach)),
            candidate(&[frost, Reason::CleanInRotation], None),
        ];
        let items = items(session.plan(), &candidates, 2027, Signs::of(false));
        let details: Vec<&str> = items.iter().map(|item| item.detail.as_str()).collect();
        assert_eq!(
            details,
            [
                "in 12 Oct: heavy feeder, and the bed has been fed; the whole bed is free",
                "= will not ripen, in 12 Oct: the whole bed is free; not ripe before the next planting on 14 Oct 2027",
                "≡ breach, in 12 Oct: the whole bed is free",
                "= will not ripen, in 12 Oct: clean in rotation; not ripe before frost ends it, 14 Oct 2027",
            ]
        );
    }
}
