//! Every reason for or against a candidate as it is said.

use crate::garden::EntryId;
use crate::garden::{PastCrop, Side};
use crate::growth::Limit;
use crate::season::tests::{day, garden, plan};
use crate::season::{Reason, SoilCover};
use crate::units::Week;
use crate::words::reason_words;

#[test]
fn each_reason_is_one_short_clause() {
    let mut garden = garden(&["A1"]);
    garden.site.currency = "GBP".to_owned();
    let plan = plan(garden);
    let spinach = plan.book().crop_idx("spinach").unwrap();
    let on = day(2027, 7, 1);
    let wanted = |n_open_weeks| Reason::Wanted { g_per_week: 400, n_open_weeks, from: Week::of(on) };
    for (reason, words) in [
        (Reason::InSeason, "in season then"),
        (Reason::InSeasonFrom(on), "from 1 Jul 2027"),
        (Reason::BoughtIn, "too late to raise: plants to be bought"),
        (Reason::SowBy(on), "sow in modules by 1 Jul 2027"),
        (
            Reason::Growth(Limit::NotRipeInTime { ripe: None, by: on, is_frost: true }),
            "not ripe before frost ends it, 1 Jul 2027",
        ),
        (
            Reason::NothingFree { on, all_free_on: day(2027, 9, 1) },
            "no ground is free on 1 Jul 2027; all of it on 1 Sep 2027",
        ),
        (Reason::WholeBedFree, "the whole bed is free"),
        (Reason::ShareFree(1.0 / 3.0), "33 % of the bed is free"),
        (Reason::OutInTime { clear: on }, "out by 1 Jul 2027, before the next planting"),
        (Reason::ClearedEarly { next: on }, "would need clearing early, by 1 Jul 2027"),
        (Reason::NotRipe { next: on }, "not ripe before the next planting on 1 Jul 2027"),
        (Reason::FirstPick(on), "first pick 1 Jul 2027"),
        (Reason::Covers(SoilCover::OverWinter), "covers the soil over winter"),
        (Reason::Covers(SoilCover::UntilHardFrosts), "covers the soil until the first hard frosts"),
        (Reason::Covers(SoilCover::Meanwhile), "covers the soil while nothing else is planned"),
        (Reason::SoonNeeded { n_weeks: 0 }, "less than a week until the next planting"),
        (Reason::SoonNeeded { n_weeks: 7 }, "only 7 weeks until the next planting"),
        (Reason::CleanInRotation, "clean in rotation"),
        (wanted(0), "wanted, 400 g a week, though others are picked then too"),
        (wanted(1), "wanted, 400 g a week; no other for 1 week from 28 Jun 2027"),
        (Reason::Fed, "heavy feeder, and the bed has been fed"),
        (Reason::HungryAgain { after: spinach }, "heavy feeder again after true spinach: feed first"),
        (Reason::AsksLittle { after: spinach }, "light feeder after true spinach"),
        (Reason::Worth { minor_per_m2_week: 123.4 }, "worth 1.23 GBP per m² and week"),
    ] {
        assert_eq!(reason_words(&plan, &reason), words);
    }
}

#[test]
fn rotation_among_the_reasons_is_said_without_the_crop() {
    let mut garden = garden(&["A1"]);
    let (id, bed, what) = (EntryId(1), "A1".to_owned(), "cabbage-summer".to_owned());
    garden.past = vec![PastCrop { id, bed, year: 2026, what, strip_mm: None, side: Side::Whole }].into();
    let plan = plan(garden);
    let kale = plan.book().crop_idx("kale").unwrap();
    let list = plan.candidates(0, day(2027, 5, 20));
    let kale = list.iter().find(|candidate| candidate.crop_idx == kale).unwrap();
    let said: Vec<String> = kale.reasons.iter().map(|reason| reason_words(&plan, reason)).collect();
    assert!(said.iter().any(|words| words.starts_with("cabbage family is back after 1 year; ")), "{said:?}");
}
