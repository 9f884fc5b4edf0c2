#![allow(clippy::float_cmp, reason = "these values are exact")]

use chrono::NaiveDate;
use proptest::prelude::*;

use super::*;
use crate::crops::Raised;
use crate::garden::{Cover, Layout, PlannedDates, PlantingId, RealDates, Run};
use crate::growth::Almanac;
use crate::growth::fixture::{courgette, day, garlic, leek, lettuce, salad_onion};
use crate::growth::full_cover_on;
use crate::layout::{SetOut, set_out};
use crate::units::{Mm, Rect};

fn stages(crop: &Crop, raised: Raised, plant: &str, clear: Option<&str>) -> Stages {
    let planned = PlannedDates { plant: Some(day(plant)), clear: clear.map(day), ..PlannedDates::default() };
    Almanac::by_book(false).growing(crop, raised, Cover::Open).stages(&planned, &RealDates::default()).unwrap()
}

fn grid(cm: i32) -> Layout {
    Layout::Grid { spacing_mm: Mm::from_cm(cm) }
}

fn between() -> Layout {
    Layout::Between { host: PlantingId(1) }
}

fn bed() -> Rect {
    Rect::of_size(Mm::from_cm(240), Mm::from_cm(120))
}

fn lay(layout: &Layout, host: Option<&SetOut>) -> SetOut {
    set_out(layout, bed(), None, 1, host).unwrap()
}

/// A host on a square grid and a joining crop at its cell centres.
fn judge_between(host_cm: i32, host: (&Crop, Stages), joining: (&Crop, Stages)) -> FitReport {
    let host_layout = grid(host_cm);
    let host_stations = lay(&host_layout, None);
    let joined = lay(&between(), Some(&host_stations));
    let ground = HostGround {
        host_layout: &host_layout,
        host_strip: bed(),
        host_setback: None,
        joins_layout: &between(),
        joins_strip: bed(),
        joins_setback: None,
    };
    judge_on_ground(
        &Sharer { crop: host.0, stations: &host_stations.stations, stages: host.1 },
        &Sharer { crop: joining.0, stations: &joined.stations, stages: joining.1 },
        Some(&ground),
    )
}

#[test]
fn onions_between_leek_clumps_fit_and_are_out_before_the_leeks_fill_the_ground() {
    // Common practice, no published source.
    let (leek, onion) = (leek(), salad_onion());
    let leeks = stages(&leek, Raised::Module, "2027-04-12", None);
    let onions = stages(&onion, Raised::Module, "2027-04-12", Some("2027-06-12"));
    let report = judge_between(30, (&leek, leeks), (&onion, onions));
    assert_eq!(report.verdict, Verdict::Fits);
    assert_eq!(report.first_bad_week, None);
    assert_eq!(report.out_by_week, Some(Week::of(day("2027-06-11"))));
    assert_eq!((report.sufferer, report.nearest_change.clone()), (None, None));
    assert!(onions.clear < full_cover_on(&leek, &leeks));
    assert_eq!(report.weeks.len(), 9);
    // Worked in Python for day 60: radii 116.1329 and 100 mm, 212.1320 mm apart; an onion loses four lenses.
    let last = report.weeks.last().unwrap();
    assert!((last.clearance_mm + 4.000_830).abs() < 1e-5, "{}", last.clearance_mm);
    assert!((last.share_lost_max - 0.014_043_294).abs() < 1e-8, "{}", last.share_lost_max);
}

#[test]
fn the_book_says_the_same_of_onions_between_leeks() {
    // Common practice, no published source.
    let book = crate::crops::CropBook::embedded().unwrap();
    let (leek, onion) = (book.crop("leek").unwrap(), book.crop("salad-onion").unwrap());
    let leeks = stages(leek, Raised::Module, "2027-04-12", None);
    let onions = stages(onion, Raised::Module, "2027-04-12", Some("2027-06-12"));
    assert_eq!(judge_between(30, (leek, leeks), (onion, onions)).verdict, Verdict::Fits);
    assert!(onions.first_pick < onions.clear && onions.clear < full_cover_on(leek, &leeks));
}

#[test]
fn lettuces_between_close_courgettes_are_crowded_from_a_week_on() {
    let (courgette, lettuce) = (courgette(), lettuce());
    let host = stages(&courgette, Raised::Module, "2027-06-01", None);
    let joining = stages(&lettuce, Raised::Module, "2027-06-01", Some("2027-09-01"));
    let report = judge_between(60, (&courgette, host), (&lettuce, joining));
    assert_eq!(report.verdict, Verdict::Crowds);
    assert_eq!(report.sufferer, Some(Which::Joins));
    let bad = report.first_bad_week.unwrap();
    assert!(bad > Week::of(day("2027-06-01")) && bad < Week::of(day("2027-09-01")));
    assert_eq!(report.out_by_week, Some(bad.plus(-1)));
    assert!(report.weeks.iter().all(|week| (week.week >= bad) == (week.verdict != Verdict::Fits)));
    // By hand: each corner courgette touches one lettuce and keeps nine tenths; the four between touch two each.
    assert_eq!(report.n_affected, 4 + 3);
    // Moving them by eight weeks is not enough, and courgettes wider apart leave no cells in this bed.
    assert_eq!(report.nearest_change, None);
}

#[test]
fn a_change_that_is_offered_does_fit() {
    let (courgette, lettuce) = (courgette(), lettuce());
    let host = stages(&courgette, Raised::Module, "2027-06-01", None);
    let mut joining = stages(&lettuce, Raised::Module, "2027-06-01", None);
    let report = judge_between(60, (&courgette, host), (&lettuce, joining));
    let Some(Change::ShiftWeeks(n)) = report.nearest_change else { panic!("{report:?}") };
    joining = joining.shifted_days(7 * n);
    assert_eq!(judge_between(60, (&courgette, host), (&lettuce, joining)).verdict, Verdict::Fits);
    let one_less = joining.shifted_days(-7 * n.signum());
    assert_ne!(judge_between(60, (&courgette, host), (&lettuce, one_less)).verdict, Verdict::Fits);
}

#[test]
fn a_quick_crop_that_has_been_picked_need_only_be_out_in_time() {
    // Lettuces planted in April have hearts by the middle of June; courgettes planted in June close in July.
    let (courgette, lettuce) = (courgette(), lettuce());
    let host = stages(&courgette, Raised::Module, "2027-06-01", None);
    let joining = stages(&lettuce, Raised::Module, "2027-04-25", Some("2027-08-01"));
    let report = judge_between(60, (&courgette, host), (&lettuce, joining));
    let out_by = report.out_by_week.unwrap();
    assert_eq!(report.nearest_change, Some(Change::OutBy(Which::Joins, out_by)));
    let next_day = out_by.plus(1).monday();
    let cleared = stages(&lettuce, Raised::Module, "2027-04-25", Some(&next_day.to_string()));
    assert_eq!(judge_between(60, (&courgette, host), (&lettuce, cleared)).verdict, Verdict::Fits);
}

#[test]
fn a_wider_host_is_the_last_change_tried() {
    // Two crops that stand for long from the same day: neither clearing nor moving by eight weeks helps.
    let leek = leek();
    let host = stages(&leek, Raised::Module, "2027-04-12", Some("2028-04-12"));
    let joining = stages(&leek, Raised::Module, "2027-04-12", Some("2028-04-12"));
    let report = judge_between(25, (&leek, host), (&leek, joining));
    assert_eq!(report.verdict, Verdict::Crowds);
    let Some(Change::WidenHost(mm)) = report.nearest_change else { panic!("{:?}", report.nearest_change) };
    assert!(mm > 250 && mm <= 375);
    assert_eq!(judge_between_mm(mm, &leek, host, joining).verdict, Verdict::Fits);
    assert_ne!(judge_between_mm(mm - 10, &leek, host, joining).verdict, Verdict::Fits);
}

#[test]
fn a_crop_that_could_not_be_of_use_by_then_is_not_told_to_be_out() {
    // Leeks 12 cm from leeks meet long before half of the days to their first pick are over.
    let leek = leek();
    let both = stages(&leek, Raised::Module, "2027-04-12", Some("2028-04-12"));
    let report = judge_between(24, (&leek, both), (&leek, both));
    let bad = report.first_bad_week.unwrap();
    let n_days = |day: chrono::NaiveDate| crate::units::days_between(both.enters, day);
    assert!(bad > Week::of(both.enters));
    let stands_half = 2 * n_days(bad.plus(-1).sunday()) >= n_days(both.first_pick);
    assert_eq!(report.out_by_week, stands_half.then(|| bad.plus(-1)));
    // Closer still they meet earlier.
    let close = judge_between(12, (&leek, both), (&leek, both));
    assert!(close.first_bad_week.unwrap() < bad);
    assert_eq!(close.out_by_week, None);
}

#[test]
fn the_worst_week_is_the_first_of_the_greatest_loss() {
    let (courgette, lettuce) = (courgette(), lettuce());
    let host = stages(&courgette, Raised::Module, "2027-06-01", None);
    let joining = stages(&lettuce, Raised::Module, "2027-06-01", Some("2027-09-01"));
    let report = judge_between(60, (&courgette, host), (&lettuce, joining));
    let worst = report.worst_week.unwrap();
    assert!(worst > report.first_bad_week.unwrap());
    for week in &report.weeks {
        assert_eq!(week.week < worst, week.share_lost_max < report.share_lost_max, "{week:?}");
    }
}

fn judge_between_mm(host_mm: i32, crop: &Crop, host: Stages, joining: Stages) -> FitReport {
    let host_stations = lay(&Layout::Grid { spacing_mm: Mm(host_mm) }, None);
    let joined = lay(&between(), Some(&host_stations));
    judge(
        &Sharer { crop, stations: &host_stations.stations, stages: host },
        &Sharer { crop, stations: &joined.stations, stages: joining },
    )
}

#[test]
fn crops_that_never_stand_together_share_nothing() {
    let (leek, onion) = (leek(), salad_onion());
    let leeks = stages(&leek, Raised::Module, "2027-06-12", None);
    let onions = stages(&onion, Raised::Module, "2027-04-12", Some("2027-06-12"));
    let report = judge_between(30, (&leek, leeks), (&onion, onions));
    assert_eq!((report.verdict, report.weeks.len(), report.out_by_week), (Verdict::Fits, 0, None));
}

#[test]
fn garlic_along_the_edge_of_distant_rows_fits_without_touching() {
    let (garlic, leek) = (garlic(), leek());
    let edge = lay(&Layout::Edge { spacing_mm: Mm::from_cm(15), along: crate::garden::Side::Left }, None);
    let rows = lay(&Layout::Rows { row_mm: Mm::from_cm(60), in_row_mm: Mm::from_cm(15), run: Run::Along }, None);
    let report = judge(
        &Sharer { crop: &leek, stations: &rows.stations, stages: stages(&leek, Raised::Module, "2027-04-12", None) },
        &Sharer { crop: &garlic, stations: &edge.stations, stages: stages(&garlic, Raised::Set, "2026-10-15", None) },
    );
    assert_eq!(report.verdict, Verdict::Fits);
    // Rows at 300 mm, garlic at 75 mm; full radii 125 and 75 mm.
    let last = report.weeks.last().unwrap();
    assert!(last.clearance_mm >= 25.0 - 1e-9, "{}", last.clearance_mm);
    assert_eq!(last.share_lost_max, 0.0);
}

#[test]
fn a_crop_without_stations_crowds_nothing() {
    let leek = leek();
    let leeks = stages(&leek, Raised::Module, "2027-04-12", None);
    let sharer = Sharer { crop: &leek, stations: &[], stages: leeks };
    let report = judge(&sharer, &sharer);
    assert_eq!((report.verdict, report.weeks.len()), (Verdict::Fits, 0));
}

#[test]
fn the_land_equivalent_ratio_is_estimated_from_ground_and_time_shared() {
    let (leek, onion) = (leek(), salad_onion());
    let host = lay(&grid(30), None);
    let joined = lay(&between(), Some(&host));
    let leeks = stages(&leek, Raised::Module, "2027-04-12", None);
    let onions = stages(&onion, Raised::Module, "2027-04-12", Some("2027-05-10"));
    let ratio = estimate_land_equivalent_ratio(
        &Sharer { crop: &leek, stations: &host.stations, stages: leeks },
        &Sharer { crop: &onion, stations: &joined.stations, stages: onions },
        bed().area_m2(),
    );
    // By hand: nothing lost on 9 May; 21 stations × 0.04 m² of 2.88 m², all of their days shared: 1 + 0.291667.
    assert!((ratio - 1.291_667).abs() < 1e-5, "{ratio}");
}

fn worst_share(host_cm: i32, host: (&Crop, Stages), joining: (&Crop, Stages)) -> (Verdict, f64) {
    let report = judge_between(host_cm, host, joining);
    (report.verdict, report.share_lost_max)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_wider_host_never_fits_worse(
        spacing in 15..60_i32, wider_by in 1..30_i32, start in 0_u64..120, stands in 20_u64..200, pair in 0..3
    ) {
        let (host, joining) = match pair {
            0 => (leek(), salad_onion()),
            1 => (courgette(), lettuce()),
            _ => (leek(), lettuce()),
        };
        let host_stages = stages(&host, Raised::Module, "2027-05-01", Some("2027-12-01"));
        let enters = day("2027-03-15") + chrono::Days::new(start);
        let clear: NaiveDate = enters + chrono::Days::new(stands);
        let joining_stages = stages(&joining, Raised::Module, &enters.to_string(), Some(&clear.to_string()));
        let near = worst_share(spacing, (&host, host_stages), (&joining, joining_stages));
        let far = worst_share(spacing + wider_by, (&host, host_stages), (&joining, joining_stages));
        prop_assert!(far.0 <= near.0 && far.1 <= near.1 + 1e-9, "{near:?} {far:?}");
    }

    #[test]
    fn shares_do_not_depend_on_who_is_asked_first(spacing in 20..60_i32, start in 0_u64..60) {
        let (leek, lettuce) = (leek(), lettuce());
        let host = lay(&grid(spacing), None);
        let joined = lay(&between(), Some(&host));
        let enters = day("2027-05-01") + chrono::Days::new(start);
        let one = Sharer { crop: &leek, stations: &host.stations, stages: stages(&leek, Raised::Module, "2027-05-01", None) };
        let other = Sharer {
            crop: &lettuce,
            stations: &joined.stations,
            stages: stages(&lettuce, Raised::Module, &enters.to_string(), None),
        };
        let (forth, back) = (judge(&one, &other), judge(&other, &one));
        prop_assert!((forth.share_lost_max - back.share_lost_max).abs() < 1e-9);
        prop_assert_eq!(forth.weeks.len(), back.weeks.len());
        prop_assert_eq!(forth.first_bad_week, back.first_bad_week);
        prop_assert_eq!(forth.n_affected, back.n_affected);
    }
}

#[test]
fn ground_that_is_wider_than_long_is_judged_as_if_it_were_turned() {
    let (leek, onion) = (leek(), salad_onion());
    let leeks = stages(&leek, Raised::Module, "2027-04-12", None);
    let onions = stages(&onion, Raised::Module, "2027-04-12", None);
    let reports = [(40, 600), (600, 40)].map(|(length, width)| {
        let strip = Rect::of_size(Mm::from_cm(length), Mm::from_cm(width));
        let host = set_out(&grid(20), strip, None, 1, None).unwrap();
        let joined = set_out(&between(), strip, None, 1, Some(&host)).unwrap();
        judge_weeks(
            &Sharer { crop: &leek, stations: &host.stations, stages: leeks },
            &Sharer { crop: &onion, stations: &joined.stations, stages: onions },
            u64::MAX,
        )
        .0
    });
    assert!(reports[0].share_lost_max > 0.1, "they meet: {}", reports[0].share_lost_max);
    assert!((reports[0].share_lost_max - reports[1].share_lost_max).abs() < 1e-12);
    assert_eq!(reports[0].n_affected, reports[1].n_affected);
    assert_eq!(reports[0].out_by_week, reports[1].out_by_week);
}

#[test]
fn a_tenth_and_a_quarter_are_the_last_shares_of_their_verdicts() {
    let verdicts = [0.10, 0.1001, 0.25, 0.2501].map(Verdict::of_share);
    assert_eq!(verdicts, [Verdict::Fits, Verdict::Tight, Verdict::Tight, Verdict::Crowds]);
}

/// Two crops at one and the same place.
fn judge_in_one_place(host: (&Crop, Stages), joining: (&Crop, Stages)) -> FitReport {
    let here = [Point { x_mm: 500.0, y_mm: 500.0 }];
    judge(
        &Sharer { crop: host.0, stations: &here, stages: host.1 },
        &Sharer { crop: joining.0, stations: &here, stages: joining.1 },
    )
}

#[test]
fn of_two_alike_the_one_that_joins_suffers_and_moves_the_earlier_way() {
    // Three weeks in one place: only three weeks sooner or later would part them.
    let lettuce = lettuce();
    let both = stages(&lettuce, Raised::Module, "2027-05-03", Some("2027-05-24"));
    let report = judge_in_one_place((&lettuce, both), (&lettuce, both));
    assert_eq!((report.verdict, report.share_lost_max), (Verdict::Crowds, 1.0));
    assert_eq!((report.sufferer, report.nearest_change), (Some(Which::Joins), Some(Change::ShiftWeeks(-3))));
}

#[test]
fn what_is_too_close_from_the_first_week_together_cannot_be_out_by_a_week_before() {
    // The lettuces could have been picked by then, but would never have stood beside the courgettes.
    let (courgette, lettuce) = (courgette(), lettuce());
    let host = stages(&courgette, Raised::Module, "2027-07-01", None);
    let joining = stages(&lettuce, Raised::Module, "2027-04-25", Some("2027-08-01"));
    let report = judge_in_one_place((&courgette, host), (&lettuce, joining));
    assert_eq!(report.first_bad_week, Some(Week::of(day("2027-07-01"))));
    assert_eq!(report.out_by_week, None);
}

#[test]
fn of_two_cleared_on_one_day_the_one_that_joins_is_told_to_be_out() {
    let (courgette, lettuce) = (courgette(), lettuce());
    let host = stages(&courgette, Raised::Module, "2027-06-01", Some("2027-08-01"));
    let joining = stages(&lettuce, Raised::Module, "2027-04-25", Some("2027-08-01"));
    let report = judge_between(60, (&courgette, host), (&lettuce, joining));
    let out_by = report.out_by_week.unwrap();
    assert_eq!(report.nearest_change, Some(Change::OutBy(Which::Joins, out_by)));
}

#[test]
fn the_widening_offered_is_the_least_that_fits() {
    let leek = leek();
    let both = stages(&leek, Raised::Module, "2027-04-12", Some("2028-04-12"));
    let mut n_offered = 0;
    for host_cm in 20..30 {
        let report = judge_between(host_cm, (&leek, both), (&leek, both));
        let Some(Change::WidenHost(mm)) = report.nearest_change else { continue };
        n_offered += 1;
        assert_eq!(judge_between_mm(mm, &leek, both, both).verdict, Verdict::Fits, "{host_cm}");
        assert_ne!(judge_between_mm(mm - 10, &leek, both, both).verdict, Verdict::Fits, "{host_cm}");
    }
    assert!(n_offered >= 5, "{n_offered}");
}

#[test]
fn a_host_is_not_widened_out_of_its_strip() {
    // One station in a strip of 30 cm: at 31 cm none would be left.
    let leek = leek();
    let both = stages(&leek, Raised::Module, "2027-04-12", Some("2028-04-12"));
    let strip = Rect::of_size(Mm::from_cm(30), Mm::from_cm(30));
    let host_layout = grid(25);
    let host = set_out(&host_layout, strip, None, 1, None).unwrap();
    let ground = HostGround {
        host_layout: &host_layout,
        host_strip: strip,
        host_setback: None,
        joins_layout: &grid(25),
        joins_strip: strip,
        joins_setback: None,
    };
    let sharer = Sharer { crop: &leek, stations: &host.stations, stages: both };
    assert_eq!((host.n_stations, judge_on_ground(&sharer, &sharer, Some(&ground)).nearest_change), (1, None));
}

#[test]
fn the_land_equivalent_ratio_counts_time_ground_and_losses() {
    let (leek, onion) = (leek(), salad_onion());
    let host = lay(&grid(30), None);
    let joined = lay(&between(), Some(&host));
    let onions = stages(&onion, Raised::Module, "2027-04-12", Some("2027-05-10"));
    let ratio = |leeks_on: &str, ground_m2: f64| {
        estimate_land_equivalent_ratio(
            &Sharer { crop: &leek, stations: &host.stations, stages: stages(&leek, Raised::Module, leeks_on, None) },
            &Sharer { crop: &onion, stations: &joined.stations, stages: onions },
            ground_m2,
        )
    };
    // Nothing is lost. 21 onion clumps × 0.04 m² of 2.88 m² are 0.291667; leeks set out two weeks later share half of their time.
    let half = ratio("2027-04-26", bed().area_m2());
    assert!((half - (1.0 + 0.291_667 / 2.0)).abs() < 1e-5, "{half}");
    // On less ground than the onions would have apart they are worth no more than that ground.
    assert!((ratio("2027-04-12", 0.42) - 2.0).abs() < 1e-9);
    // Two full-grown leeks in one place: both have lost all of theirs.
    let here = [Point { x_mm: 500.0, y_mm: 500.0 }];
    let both = Sharer {
        crop: &leek,
        stations: &here,
        stages: stages(&leek, Raised::Module, "2027-04-12", Some("2028-04-12")),
    };
    assert!(estimate_land_equivalent_ratio(&both, &both, 1.0).abs() < 1e-9);
}

#[test]
fn a_selection_of_stations_stands_for_all_of_them() {
    use super::neighbours::neighbourhoods;
    // Each of four hundred stations, 10 cm apart, has one neighbour, no two alike: four are weighed for a hundred each.
    let place = |idx: i32, further: f64| Point { x_mm: f64::from(idx) * 100.0 + further, y_mm: 0.0 };
    let these: Vec<Point> = (0..400).map(|idx| place(idx, 0.0)).collect();
    let others: Vec<Point> = (0..400).map(|idx| place(idx, 1.0 + f64::from(idx) / 100.0)).collect();
    let all = neighbourhoods(&these, &others, 20.0, 100_000, u64::MAX);
    let weighed = neighbourhoods(&these, &others, 20.0, 100_000, 1);
    assert_eq!((all.len(), weighed.len()), (400, 4));
    assert_eq!(weighed.iter().map(|around| around.n_stations).sum::<usize>(), 400);
}

#[test]
fn very_many_neighbours_are_merged_without_laying_ground_bare() {
    use super::discs::share_taken;
    use super::neighbours::neighbourhoods;
    // Discs of 1 cm on a raster of 5 mm leave nothing bare within 9 cm.
    let raster = |n: i32| f64::from(n) * 5.0;
    let mut others: Vec<Point> =
        (-20..=20).flat_map(|x| (-20..=20).map(move |y| Point { x_mm: raster(x), y_mm: raster(y) })).collect();
    others.sort_by(|one, other| one.x_mm.total_cmp(&other.x_mm));
    let around = neighbourhoods(&[Point { x_mm: 0.0, y_mm: 0.0 }], &others, 100.0, 100_000, u64::MAX);
    assert!(others.len() > 256, "so many that they are merged");
    assert!(share_taken(90.0, &around[0].others, 10.0, false) > 0.99);
}
