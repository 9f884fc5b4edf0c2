//! What speaks for a candidate or against it, in words.

use super::limits::limit_words;
use super::names::Speaker;
use super::returns;
use super::text::{date, plural};
use crate::crops::in_text;
use crate::season::{Plan, Reason, SoilCover};

/// A reason in one short clause.
pub fn reason_words(plan: &Plan, reason: &Reason) -> String {
    let crop_name = |crop_idx: usize| {
        plan.book().crops().get(crop_idx).map_or_else(String::new, |crop| in_text(&crop.name).into_owned())
    };
    match reason {
        Reason::InSeason => "in season then".to_owned(),
        Reason::InSeasonFrom(day) => format!("from {}", date(*day)),
        Reason::BoughtIn => "too late to raise: plants to be bought".to_owned(),
        Reason::SowBy(day) => format!("sow in modules by {}", date(*day)),
        Reason::Growth(limit) => limit_words(limit),
        Reason::NothingFree { on, all_free_on } => {
            format!("no ground is free on {}; all of it on {}", date(*on), date(*all_free_on))
        }
        Reason::WholeBedFree => "the whole bed is free".to_owned(),
        Reason::ShareFree(share) => format!("{:.0} % of the bed is free", share * 100.0),
        Reason::OutInTime { clear } => format!("out by {}, before the next planting", date(*clear)),
        Reason::ClearedEarly { next } => format!("would need clearing early, by {}", date(*next)),
        Reason::NotRipe { next } => format!("not ripe before the next planting on {}", date(*next)),
        Reason::FirstPick(day) => format!("first pick {}", date(*day)),
        Reason::Covers(SoilCover::OverWinter) => "covers the soil over winter".to_owned(),
        Reason::Covers(SoilCover::UntilHardFrosts) => "covers the soil until the first hard frosts".to_owned(),
        Reason::Covers(SoilCover::Meanwhile) => "covers the soil while nothing else is planned".to_owned(),
        Reason::SoonNeeded { n_weeks: ..1 } => "less than a week until the next planting".to_owned(),
        Reason::SoonNeeded { n_weeks } => format!("only {} until the next planting", plural(*n_weeks, "week")),
        Reason::CleanInRotation => "clean in rotation".to_owned(),
        Reason::Rotation(finding) => returns::clause(Speaker { plan, previewed: None }, finding),
        Reason::Wanted { g_per_week, n_open_weeks: 0, .. } => {
            format!("wanted, {g_per_week} g a week, though others are picked then too")
        }
        Reason::Wanted { g_per_week, n_open_weeks, from } => {
            let weeks = plural(i64::from(*n_open_weeks), "week");
            format!("wanted, {g_per_week} g a week; no other for {weeks} from {}", date(from.monday()))
        }
        Reason::Fed => "heavy feeder, and the bed has been fed".to_owned(),
        Reason::HungryAgain { after } => format!("heavy feeder again after {}: feed first", crop_name(*after)),
        Reason::AsksLittle { after } => format!("light feeder after {}", crop_name(*after)),
        Reason::Worth { minor_per_m2_week } => {
            format!("worth {} per m² and week", money(*minor_per_m2_week, &plan.garden().site.currency))
        }
    }
}

/// Minor units of a currency as money: ISO 4217 gives most currencies two decimals, some none, some three.
fn money(minor: f64, currency: &str) -> String {
    match currency {
        "JPY" | "KRW" | "ISK" | "CLP" | "VND" | "XAF" | "XOF" => format!("{minor:.0} {currency}"),
        "KWD" | "BHD" | "OMR" | "JOD" | "TND" | "IQD" | "LYD" => format!("{:.3} {currency}", minor / 1000.0),
        _ => format!("{:.2} {currency}", minor / 100.0),
    }
}
