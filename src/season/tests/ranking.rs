//! What could follow, scored by hand: each weight moves a score by what it says, at both sides of its threshold, and moves the rank.
//!
//! Days on which growth has a say are taken from the candidate itself, so that a case stays true when growth moves.

use chrono::Duration;

use super::*;
use crate::garden::{Amendment, EntryId, Household, PastCrop, Price, SoilEntry};
use crate::rotation::Taxon;
use crate::season::{Candidate, Reason};

/// A day in June on which most crops can go in, and a day early enough to raise all of them.
const IN_JUNE: (i32, u32, u32) = (2027, 6, 7);
const SEEN_FROM: (i32, u32, u32) = (2027, 1, 4);

/// In season, clean in rotation, the whole bed free, ripe in time: 20 + 15 + 8 + 10.
const NOTHING_AGAINST: f64 = 53.0;

fn on((year, month, of_month): (i32, u32, u32)) -> NaiveDate {
    day(year, month, of_month)
}

/// One bed of 120 × 300 cm at 54° N, 250 m up.
fn upland() -> Garden {
    let mut garden = garden(&["A1"]);
    (garden.site.latitude_deg, garden.site.elevation_m) = (54.0, 250);
    garden
}

fn past(year: i32, what: &str) -> PastCrop {
    let id = EntryId(u32::try_from(year).unwrap());
    PastCrop { id, bed: "A1".to_owned(), year, what: what.to_owned(), strip_mm: None, side: Side::Whole }
}

/// The candidates of a day and the crops' ids in their order.
fn ranked(garden: &Garden, entry: NaiveDate) -> (Vec<Candidate>, Vec<String>) {
    let plan = plan(garden.clone());
    let list = plan.candidates_seen_from(0, entry, on(SEEN_FROM));
    let ids = list.iter().map(|candidate| plan.book().crops()[candidate.crop_idx].id.clone()).collect();
    (list, ids)
}

fn candidate(garden: &Garden, crop: &str, entry: NaiveDate) -> Candidate {
    let (list, ids) = ranked(garden, entry);
    let place = ids.iter().position(|id| id == crop).unwrap_or_else(|| panic!("{crop} is none of {ids:?}"));
    list[place].clone()
}

/// A reason with its crops and rules by their ids.
fn told(plan: &Plan, reason: &Reason) -> String {
    let id = |crop_idx: usize| &plan.book().crops()[crop_idx].id;
    match reason {
        Reason::HungryAgain { after } => format!("HungryAgain after {}", id(*after)),
        Reason::AsksLittle { after } => format!("AsksLittle after {}", id(*after)),
        Reason::Rotation(finding) => match finding.earlier_taxon {
            Some(Taxon::Plant(plant)) => format!("{} after {}", finding.rule.id(), plan.book().plant_id(plant)),
            _ => finding.rule.id().to_owned(),
        },
        _ => format!("{reason:?}"),
    }
}

/// Fails unless the crop's score is that sum and one of its reasons starts so.
#[track_caller]
fn scores(garden: &Garden, crop: &str, entry: NaiveDate, score: f64, reason: &str) {
    let found = candidate(garden, crop, entry);
    assert!((found.score - score).abs() < 1e-9, "{crop}: {} and not {score}: {found:?}", found.score);
    let plan = plan(garden.clone());
    let said: Vec<String> = found.reasons.iter().map(|reason| told(&plan, reason)).collect();
    assert!(said.iter().any(|said| said.starts_with(reason)), "{crop}: no `{reason}` in {said:?}");
}

/// Fails unless the first of two crops comes before the second.
#[track_caller]
fn comes_before(garden: &Garden, entry: NaiveDate, first: &str, second: &str) {
    let (list, ids) = ranked(garden, entry);
    let place = |crop: &str| ids.iter().position(|id| id == crop).unwrap();
    let (a, b) = (place(first), place(second));
    assert!(a < b, "{:?} {:?}", list[a], list[b]);
}

/// `crop` is planted out over the whole bed `n_days` after a day, to stand for ten weeks.
fn then_comes(garden: &mut Garden, crop: &str, from: NaiveDate) {
    garden.plantings.push(planting(9, "A1", crop, grid(28), from, from + Duration::weeks(10)));
}

#[test]
fn a_crop_in_season_with_nothing_against_it_scores_fifty_three() {
    scores(&upland(), "beetroot", on(IN_JUNE), NOTHING_AGAINST, "InSeason");
}

#[test]
fn each_week_of_waiting_costs_two() {
    // Books set kale out from the middle of June on: a week later than the day looked at.
    let kale = candidate(&upland(), "kale", on(IN_JUNE));
    assert_eq!(kale.enters, on(IN_JUNE) + Duration::weeks(1));
    scores(&upland(), "kale", on(IN_JUNE), NOTHING_AGAINST - 2.0, "InSeasonFrom(2027-06-14)");
    comes_before(&upland(), on(IN_JUNE), "leek", "kale");
}

#[test]
fn plants_to_be_bought_cost_twelve() {
    let garden = upland();
    let sow_by = candidate(&garden, "celeriac", on(IN_JUNE)).sow_by.unwrap();
    let plan = plan(garden);
    let crop_idx = plan.book().crop_idx("celeriac").unwrap();
    let score = |today| {
        let list = plan.candidates_seen_from(0, on(IN_JUNE), today);
        let celeriac = list.into_iter().find(|candidate| candidate.crop_idx == crop_idx).unwrap();
        (celeriac.is_bought_in, celeriac.score)
    };
    assert_eq!(score(sow_by), (false, NOTHING_AGAINST));
    assert_eq!(score(sow_by + Duration::days(1)), (true, NOTHING_AGAINST - 12.0));
}

/// With 53 they would stand before the green manures' 49: both are no food that ripens in time.
#[test]
fn what_growth_objects_to_costs_twenty_five_and_comes_after_green_manures() {
    for (crop, reason) in [("spinach", "Growth(Bolts"), ("pumpkin", "Growth(NotRipeInTime")] {
        scores(&upland(), crop, on(IN_JUNE), NOTHING_AGAINST - 25.0, reason);
        comes_before(&upland(), on(IN_JUNE), "phacelia", crop);
    }
}

#[test]
fn a_bed_with_no_free_ground_costs_thirty_and_part_of_one_counts_by_its_share() {
    let kale_on = |from_cm: i32, to_cm: i32| {
        let mut garden = upland();
        let kale = planting(1, "A1", "kale", grid(45), day(2027, 4, 20), day(2028, 3, 1));
        garden.plantings = vec![on_strip(kale, from_cm, to_cm)];
        garden
    };
    // In season 20, clean 15, nothing free.
    scores(&kale_on(0, 300), "beetroot", on(IN_JUNE), 20.0 + 15.0 - 30.0, "NothingFree { on: 2027-06-07");
    // A third of the bed is free: 8 × 1/3 for the ground.
    scores(&kale_on(0, 200), "beetroot", on(IN_JUNE), 20.0 + 15.0 + 10.0 + 8.0 / 3.0, "ShareFree(0.333");
    scores(&kale_on(0, 150), "beetroot", on(IN_JUNE), 20.0 + 15.0 + 10.0 + 4.0, "ShareFree(0.5)");
}

#[test]
fn the_next_planting_wants_it_out_in_time() {
    let beetroot = candidate(&upland(), "beetroot", on(IN_JUNE));
    let at = |needed_on: NaiveDate, ripe_in_time: f64, reason: &str| {
        let mut garden = upland();
        then_comes(&mut garden, "kale", needed_on);
        scores(&garden, "beetroot", on(IN_JUNE), NOTHING_AGAINST - 10.0 + ripe_in_time, reason);
    };
    let a_day = Duration::days(1);
    at(beetroot.clear, 10.0, "OutInTime");
    at(beetroot.clear - a_day, -6.0, "ClearedEarly");
    at(beetroot.first_pick + a_day, -6.0, "ClearedEarly");
    at(beetroot.first_pick, -40.0, "NotRipe { next");
    // What is ripe in time comes before green manures, though it has to be cleared early; what is not comes after them.
    let with_kale_from = |needed_on: NaiveDate| {
        let mut garden = upland();
        then_comes(&mut garden, "kale", needed_on);
        garden
    };
    comes_before(&with_kale_from(beetroot.first_pick + a_day), on(IN_JUNE), "beetroot", "phacelia");
    comes_before(&with_kale_from(beetroot.first_pick), on(IN_JUNE), "phacelia", "beetroot");
}

#[test]
fn rotation_weighs_by_how_grave_it_is() {
    let after = |year, what: &str| {
        let mut garden = upland();
        garden.past = vec![past(year, what)].into();
        garden
    };
    let rest = NOTHING_AGAINST - 15.0;
    // Cabbages a year after cabbages; whatever speaks for it, a breach comes last.
    let garden = after(2026, "cabbage-summer");
    scores(&garden, "calabrese", on(IN_JUNE), rest - 12.0, "family-return after cabbage-summer");
    assert_eq!(candidate(&garden, "calabrese", on(IN_JUNE)).worst, Some(Severity::Breach));
    let mut dear = garden.clone();
    dear.prices = vec![Price { id: EntryId(1), crop: "calabrese".to_owned(), minor_per_kg: 10_000 }].into();
    dear.households = vec![household("calabrese", 1000)].into();
    let (list, ids) = ranked(&dear, on(IN_JUNE));
    let first_breach = list.iter().position(|one| one.worst == Some(Severity::Breach)).unwrap();
    assert!(list[first_breach..].iter().all(|one| one.worst == Some(Severity::Breach)));
    let calabrese = ids.iter().position(|id| id == "calabrese").unwrap();
    assert!(calabrese >= first_breach && list[calabrese].score > list[first_breach - 1].score, "{:?}", list[calabrese]);
    // Straight after one of its own family in the same year.
    let mut garden = upland();
    garden.plantings = vec![planting(1, "A1", "pak-choi", grid(25), day(2027, 3, 25), day(2027, 6, 1))];
    scores(&garden, "calabrese", on(IN_JUNE), rest - 12.0, "same-year after pak-choi");
    assert_eq!(candidate(&garden, "calabrese", on(IN_JUNE)).worst, Some(Severity::Caution));
    // Leeks get rust after beans: weak advice.
    let garden = after(2026, "field-bean");
    scores(&garden, "leek", on(IN_JUNE), rest + 8.0, "avoid-after after field-bean");
    assert_eq!(candidate(&garden, "leek", on(IN_JUNE)).worst, Some(Severity::Note));
}

#[test]
fn an_order_that_books_praise_adds_four() {
    let mut garden = upland();
    // Legumes before cabbages, the oldest advice there is.
    garden.plantings = vec![planting(1, "A1", "pea-shoots", grid(20), day(2027, 3, 20), day(2027, 6, 1))];
    scores(&garden, "calabrese", on(IN_JUNE), NOTHING_AGAINST + 4.0, "good-after after pea-shoots");
}

fn household(crop: &str, g_per_week: u32) -> Household {
    Household {
        id: EntryId(1),
        name: "Top house".to_owned(),
        n_people: 3,
        wants_g_per_week: [(crop.to_owned(), g_per_week)].into(),
    }
}

/// Ten for being wanted, one more for each week in which none else is picked, ten at the most.
#[test]
fn a_wanted_crop_gains_ten_and_one_for_each_week_without_others() {
    let mut garden = upland();
    garden.households = vec![household("radish", 200)].into();
    let plain = candidate(&upland(), "radish", on(IN_JUNE));
    let last_pick = plan(upland())
        .almanac()
        .growing(book().crop("radish").unwrap(), Raised::InPlace, Cover::Open)
        .stages(&PlannedDates { sow: Some(on(IN_JUNE)), ..PlannedDates::default() }, &RealDates::default());
    let (first, last) =
        (crate::units::Week::of(plain.first_pick), crate::units::Week::of(last_pick.unwrap().last_pick));
    let n_weeks = last.weeks_since(first) + 1;
    assert!((1..10).contains(&n_weeks), "few enough weeks for each to count: {n_weeks}");
    scores(
        &garden,
        "radish",
        on(IN_JUNE),
        NOTHING_AGAINST + 10.0 + n_weeks as f64,
        "Wanted { g_per_week: 200, n_open_weeks: ",
    );
    comes_before(&garden, on(IN_JUNE), "radish", "basil");
    comes_before(&upland(), on(IN_JUNE), "basil", "radish");
    // Many weeks of picking count for ten.
    garden.households = vec![household("chard", 200)].into();
    scores(&garden, "chard", on(IN_JUNE), NOTHING_AGAINST + 20.0, "Wanted { g_per_week: 200, n_open_weeks: ");

    // Other radishes, in another bed, are picked from the Sunday of the first week to the Monday of the last: no week is left.
    let other_picked = |from: NaiveDate, until: NaiveDate| {
        let mut garden = upland();
        garden.beds.push(bed("A2", 120, 300));
        garden.households = vec![household("radish", 200)].into();
        let mut other = planting(1, "A2", "radish", grid(10), from - Duration::weeks(6), until + Duration::days(1));
        other.planned.first_pick = Some(from);
        garden.plantings = vec![other];
        garden
    };
    let all = other_picked(first.sunday(), last.monday());
    scores(&all, "radish", on(IN_JUNE), NOTHING_AGAINST + 10.0, "Wanted { g_per_week: 200, n_open_weeks: 0,");
    // From the Monday after the first week on: one week is left.
    let later = other_picked(first.sunday() + Duration::days(1), last.monday());
    scores(&later, "radish", on(IN_JUNE), NOTHING_AGAINST + 11.0, "Wanted { g_per_week: 200, n_open_weeks: 1,");
}

/// The dearest ground gains twelve, ground worth a quarter of it three.
#[test]
fn worth_counts_by_the_square_metre_and_week_up_to_twelve() {
    let mut garden = upland();
    let per_kg = |crop: &str, minor_per_m2_week: f64| {
        let one = candidate(&garden, crop, on(IN_JUNE));
        let weeks = (one.clear - one.enters).num_days() as f64 / 7.0;
        let minor_per_kg = minor_per_m2_week * weeks / book().crop(crop).unwrap().yields.typical_kg_per_m2;
        minor_per_kg.round() as u32
    };
    let prices = [("basil", per_kg("basil", 2000.0)), ("beetroot", per_kg("beetroot", 500.0))];
    let ids = (1..).map(EntryId);
    let priced = ids.zip(prices).map(|(id, (crop, minor_per_kg))| Price { id, crop: crop.to_owned(), minor_per_kg });
    garden.prices = priced.collect();
    let gain = |crop: &str| candidate(&garden, crop, on(IN_JUNE)).score - NOTHING_AGAINST;
    assert!((gain("basil") - 12.0).abs() < 1e-9, "{}", gain("basil"));
    // Prices are whole: by a hundredth.
    assert!((gain("beetroot") - 3.0).abs() < 0.01, "{}", gain("beetroot"));
    assert!(gain("leek").abs() < 1e-9, "no price, nothing gained");
}

#[test]
fn a_crop_that_asks_much_again_loses_four_and_one_that_asks_little_gains_them() {
    // Out on 20 May; both are clean in rotation after it and books say nothing of the order.
    let after = |crop: &str| {
        let mut garden = upland();
        garden.plantings = vec![planting(1, "A1", crop, grid(30), day(2027, 3, 25), day(2027, 5, 20))];
        garden
    };
    let (hungry, modest) = (after("spinach"), after("turnip"));
    scores(&hungry, "courgette", on(IN_JUNE), NOTHING_AGAINST - 4.0, "HungryAgain after spinach");
    scores(&modest, "courgette", on(IN_JUNE), NOTHING_AGAINST, "InSeason");
    scores(&hungry, "parsley", on(IN_JUNE), NOTHING_AGAINST, "InSeason");
    scores(&hungry, "basil", on(IN_JUNE), NOTHING_AGAINST + 4.0, "AsksLittle after spinach");
    scores(&modest, "basil", on(IN_JUNE), NOTHING_AGAINST, "InSeason");
    // Alphabet alone would put courgettes before parsley.
    comes_before(&modest, on(IN_JUNE), "courgette", "parsley");
    comes_before(&hungry, on(IN_JUNE), "parsley", "courgette");
}

#[test]
fn compost_and_manure_feed_for_half_a_year() {
    let fed = |amendment: Amendment, given_on: NaiveDate| {
        let mut garden = upland();
        garden.soil_log = vec![SoilEntry {
            id: EntryId(1),
            bed: "A1".to_owned(),
            date: given_on,
            amendment,
            depth_mm: None,
            weight_g: None,
        }]
        .into();
        // Whole weights leave whole scores.
        (candidate(&garden, "courgette", on(IN_JUNE)).score - NOTHING_AGAINST).round() as i64
    };
    let half_a_year_before = on(IN_JUNE) - Duration::days(182);
    for amendment in [Amendment::Compost, Amendment::Manure] {
        assert_eq!(fed(amendment, half_a_year_before), 4, "{amendment:?}");
        assert_eq!(fed(amendment, half_a_year_before - Duration::days(1)), 0, "{amendment:?}");
        assert_eq!(fed(amendment, on(IN_JUNE)), 4, "{amendment:?}");
        assert_eq!(fed(amendment, on(IN_JUNE) + Duration::days(1)), 0, "{amendment:?}");
    }
    assert_eq!(fed(Amendment::Mulch, half_a_year_before), 0);
}

#[test]
fn a_green_manure_is_worth_its_ground_from_eight_empty_weeks_on() {
    let rest = 20.0 + 15.0 + 8.0;
    scores(&upland(), "phacelia", on(IN_JUNE), rest + 6.0, "Covers(Meanwhile)");
    let next_after = |n_days: i64| {
        let mut garden = upland();
        then_comes(&mut garden, "lettuce-head", on(IN_JUNE) + Duration::days(n_days));
        garden
    };
    scores(&next_after(56), "phacelia", on(IN_JUNE), rest + 6.0, "Covers(Meanwhile)");
    scores(&next_after(55), "phacelia", on(IN_JUNE), rest - 6.0, "SoonNeeded { n_weeks: 7 }");
    scores(&next_after(28), "phacelia", on(IN_JUNE), rest - 6.0, "SoonNeeded { n_weeks: 4 }");
    // With less it is as little use as a crop that does not ripen.
    scores(&next_after(27), "phacelia", on(IN_JUNE), rest - 40.0, "SoonNeeded { n_weeks: 3 }");
}

#[test]
fn a_green_manure_sown_within_three_months_of_the_end_of_the_season_covers_the_winter() {
    let closes = plan(upland()).almanac().growing_season_on(Cover::Open, on(IN_JUNE)).unwrap().1;
    let rest = 20.0 + 15.0 + 8.0;
    let (last_early, first_late) = (closes - Duration::days(93), closes - Duration::days(92));
    scores(&upland(), "phacelia", last_early, rest + 6.0, "Covers(Meanwhile)");
    // Mustard dies of the first hard frosts, vetch does not.
    scores(&upland(), "mustard-green-manure", first_late, rest + 6.0, "Covers(UntilHardFrosts)");
    scores(&upland(), "vetch", first_late, rest + 14.0, "Covers(OverWinter)");
    // With more than any food crop has it still comes after what ripens in time.
    comes_before(&upland(), first_late, "lettuce-leaf", "vetch");
}

#[test]
fn of_the_same_score_the_alphabet_decides() {
    let (list, ids) = ranked(&upland(), on(IN_JUNE));
    let equal: Vec<&String> =
        list.iter().zip(&ids).filter(|(one, _)| (one.score - NOTHING_AGAINST).abs() < 1e-9).map(|(_, id)| id).collect();
    assert!(equal.len() > 20 && equal.is_sorted(), "{equal:?}");
    let scores: Vec<f64> = list.iter().take(equal.len() + 5).map(|one| one.score).collect();
    assert!(scores.is_sorted_by(|one, other| one >= other), "{scores:?}");
}
