//! Where each rule of a plan begins and ends, worked by hand.

use super::*;
use crate::garden::{Against, ClimateChoice, Household, PastCrop};
use crate::season::bounds::{self, NotListed};
use crate::season::{LeftOut, Reason, Shade, SoilCover};
use crate::units::Week;

fn upland(mut garden: Garden) -> Garden {
    (garden.site.latitude_deg, garden.site.elevation_m) = (54.0, 250);
    garden
}

fn southern(mut garden: Garden) -> Garden {
    (garden.site.latitude_deg, garden.site.elevation_m) = (-38.0, 100);
    garden.site.climate = ClimateChoice::Book("southern-temperate".to_owned());
    garden
}

fn past(year: i32, what: &str) -> PastCrop {
    PastCrop { id: EntryId(1), bed: "A1".to_owned(), year, what: what.to_owned(), strip_mm: None, side: Side::Whole }
}

fn lettuce(id: u32, plant: NaiveDate, clear: NaiveDate) -> Planting {
    planting(id, "A1", "lettuce-head", grid(28), plant, clear)
}

/// The empty times of the first bed.
fn gaps(garden: Garden) -> Vec<(NaiveDate, NaiveDate)> {
    let plan = plan(garden);
    let gaps = says(&plan, "gap");
    let mut gaps: Vec<_> = gaps
        .iter()
        .filter_map(|finding| if let Says::Gap { from, until, .. } = finding.says { Some((from, until)) } else { None })
        .collect();
    gaps.sort_unstable();
    gaps
}

/// The reasons for a crop in the first bed, of today's day.
fn reasons(garden: Garden, crop: &str, on: NaiveDate) -> Vec<Reason> {
    let plan = plan(garden);
    let idx = plan.book().crop_idx(crop).unwrap();
    let found = plan.candidates_seen_from(0, on, day(2027, 1, 4)).into_iter().find(|one| one.crop_idx == idx);
    found.unwrap_or_else(|| panic!("{crop} is none of them")).reasons
}

fn note(severity: Severity) -> Finding {
    let says = Says::UnknownHazard { hazard: "moles".to_owned() };
    Finding { severity, bed_idx: 0, planting: None, says, accepted: None }
}

// What is listed

#[test]
fn three_hundred_findings_of_a_bed_are_listed_and_of_more_it_is_said() {
    for (n, n_left_out) in [(300, None), (301, Some(1)), (310, Some(10))] {
        let mut findings = vec![note(Severity::Note); n];
        bounds::put_in_order(0, &mut findings, NotListed::default());
        let said = findings.iter().find_map(|finding| match finding.says {
            Says::LeftOut(LeftOut::Findings { n_notes, .. }) => Some(n_notes),
            _ => None,
        });
        assert_eq!((findings.len(), said), (300 + usize::from(n_left_out.is_some()), n_left_out), "{n}");
    }
}

#[test]
fn what_is_not_listed_is_as_grave_as_the_gravest_of_it() {
    let graver = [Severity::Note, Severity::Caution, Severity::Breach];
    for n in 1..=graver.len() {
        let mut not_listed = NotListed::default();
        graver[..n].iter().for_each(|&severity| not_listed.add(severity, 1));
        let mut findings = Vec::new();
        bounds::put_in_order(0, &mut findings, not_listed);
        assert_eq!(findings[0].severity, graver[n - 1]);
    }
}

#[test]
fn fallow_is_no_crop_that_the_book_should_know() {
    for what in ["fallow", "Bare fallow", "bare-fallow", "bare"] {
        let mut garden = garden(&["A1"]);
        garden.past = vec![past(2026, what)].into();
        garden.plantings = vec![lettuce(1, day(2027, 5, 1), day(2027, 7, 1))];
        assert!(says(&plan(garden), "unknown-crop").is_empty(), "{what}");
    }
}

// Empty beds

#[test]
fn an_empty_time_is_of_the_year_in_which_it_begins() {
    let mut garden = southern(garden(&["A1"]));
    garden.plantings = vec![
        lettuce(1, day(2027, 8, 5), day(2027, 11, 20)),
        planting(2, "A1", "beetroot", grid(25), day(2028, 2, 1), day(2028, 6, 1)),
    ];
    let plan = plan(garden);
    let accepted = plan.acceptance(says(&plan, "gap")[0], "away over midsummer").unwrap();
    assert_eq!((accepted.planting, accepted.against), (PlantingId(1), Against::WeeksAfter(2027)));
}

#[test]
fn a_southern_season_that_began_last_year_is_looked_at() {
    let mut garden = southern(garden(&["A1"]));
    garden.plantings = vec![lettuce(1, day(2027, 2, 1), day(2027, 4, 20))];
    let (from, until) = gaps(garden)[0];
    // The season opened in July, when days are ten hours again.
    assert_eq!((chrono::Datelike::year(&from), chrono::Datelike::month(&from), until), (2026, 7, day(2027, 2, 1)));
}

#[test]
fn permanent_beds_and_seasons_after_the_last_planting_went_in_have_no_gaps() {
    let mut one = garden(&["A1"]);
    // In during winter: the season of 2028 lies after it.
    one.plantings = vec![lettuce(1, day(2027, 5, 1), day(2027, 9, 30)), lettuce(2, day(2028, 1, 10), day(2028, 2, 10))];
    assert!(gaps(one.clone()).iter().all(|(_, until)| *until < day(2028, 1, 1)), "{:?}", gaps(one.clone()));
    one.plantings = vec![lettuce(1, day(2027, 7, 20), day(2027, 9, 1))];
    assert_eq!(gaps(one.clone()).len(), 2, "before it and after it");
    let mut kept = one.clone();
    kept.beds[0].kind = BedKind::Permanent;
    assert_eq!(gaps(kept), []);
    // Leeks of that year stood there before, nobody wrote down until when.
    one.past = vec![past(2027, "leek")].into();
    let after: Vec<_> = gaps(one).iter().map(|(from, _)| *from).collect();
    assert_eq!(after, [day(2027, 9, 1)]);
}

#[test]
fn ten_empty_seasons_are_told_and_further_ones_with_the_last_of_them() {
    let mut garden = garden(&["A1"]);
    garden.plantings = vec![lettuce(1, day(2020, 5, 1), day(2020, 9, 1)), lettuce(2, day(2035, 5, 1), day(2035, 9, 1))];
    let empty: Vec<_> =
        gaps(garden).into_iter().filter(|(from, _)| (day(2021, 1, 1)..day(2035, 1, 1)).contains(from)).collect();
    // 2021 to 2034 are fourteen; the tenth begins in 2030 and is told until the end of 2034's.
    assert_eq!(empty.len(), 10, "{empty:?}");
    assert_eq!(chrono::Datelike::year(&empty[9].0), 2030);
    assert_eq!(chrono::Datelike::year(&empty[9].1), 2034);
}

// Ground

#[test]
fn plants_set_close_cover_no_more_than_their_ground() {
    let mut garden = garden(&["A1"]);
    garden.plantings = vec![planting(1, "A1", "lettuce-head", grid(15), day(2027, 5, 1), day(2027, 8, 1))];
    let plan = plan(garden);
    // Four times as many as the book sets, grown.
    let share = plan.covered(plan.standing(PlantingId(1)).unwrap(), day(2027, 7, 30)).share;
    assert!((share - 1.0).abs() < 1e-9, "{share}");
}

#[test]
fn of_two_free_stretches_alike_the_first_is_proposed() {
    let mut garden = garden(&["A1"]);
    garden.plantings = vec![on_strip(planting(1, "A1", "kale", grid(45), day(2027, 4, 1), day(2028, 3, 1)), 100, 200)];
    let proposed = plan(garden).proposed_planting(0, "beetroot", day(2027, 6, 7)).unwrap();
    assert_eq!((proposed.from_mm, proposed.to_mm), (Mm::ZERO, Mm::from_cm(100)));
}

#[test]
fn ground_never_frees_up_before_the_day_that_is_asked_about() {
    let mut garden = upland(garden(&["A1"]));
    let mut early = lettuce(1, day(2027, 5, 10), day(2027, 7, 1));
    early.planned.clear = None;
    garden.plantings = vec![early];
    let plan = plan(garden);
    let clear = plan.standing(PlantingId(1)).unwrap().stages.clear;
    let asked = clear.pred_opt().unwrap();
    assert!(plan.spread(PlantingId(1)).unwrap().early.clear < asked, "in an early year it is out before");
    let free = plan.free_up(0, asked);
    assert_eq!((free.free_from_early, free.free_from), (asked, clear));
    assert!(free.free_from_late > clear);
}

// What could follow

#[test]
fn hunger_is_that_of_the_crop_just_before() {
    let spinach = planting(1, "A1", "spinach", grid(30), day(2027, 3, 1), day(2027, 4, 10));
    let turnips = planting(2, "A1", "turnip", grid(30), day(2027, 4, 12), day(2027, 5, 20));
    let is_hungry = |plantings: Vec<Planting>| {
        let garden = Garden { plantings, ..upland(garden(&["A1"])) };
        let reasons = reasons(garden, "courgette", day(2027, 6, 7));
        reasons.iter().any(|reason| matches!(reason, Reason::HungryAgain { .. }))
    };
    assert_eq!((is_hungry(vec![spinach.clone()]), is_hungry(vec![spinach, turnips])), (true, false));
}

#[test]
fn a_week_is_open_once_the_other_planting_of_the_crop_is_picked_out() {
    let open_weeks = |plantings: Vec<Planting>| {
        let mut garden = Garden { plantings, ..upland(garden(&["A1", "A2"])) };
        garden.households = vec![Household {
            id: EntryId(1),
            name: "Byre End".to_owned(),
            n_people: 2,
            wants_g_per_week: std::collections::BTreeMap::from([("beetroot".to_owned(), 500)]),
        }]
        .into();
        let reasons = reasons(garden, "beetroot", day(2027, 6, 7));
        reasons
            .into_iter()
            .find_map(|why| if let Reason::Wanted { n_open_weeks, .. } = why { Some(n_open_weeks) } else { None })
    };
    let mut other = planting(1, "A2", "beetroot", grid(25), day(2027, 3, 20), day(2027, 6, 20));
    (other.planned.first_pick, other.planned.last_pick) = (Some(day(2027, 6, 1)), Some(day(2027, 6, 19)));
    assert_eq!(open_weeks(vec![other]), open_weeks(Vec::new()));
}

#[test]
fn where_nothing_stops_growing_no_green_manure_covers_a_winter() {
    let mut garden = garden(&["A1"]);
    garden.site.latitude_deg = 2.0;
    let (tmin_c, tmax_c) = (vec![20.0; 12], vec![30.0; 12]);
    garden.site.climate = ClimateChoice::Normals { tmin_c, tmax_c, rain_mm: None, spread_c: None };
    let covers: Vec<SoilCover> = plan(garden)
        .candidates(0, day(2027, 11, 1))
        .into_iter()
        .flat_map(|one| one.reasons)
        .filter_map(|reason| if let Reason::Covers(cover) = reason { Some(cover) } else { None })
        .collect();
    assert!(!covers.is_empty() && covers.iter().all(|cover| *cover == SoilCover::Meanwhile), "{covers:?}");
}

// The sky and the chart

#[test]
fn a_week_has_the_day_of_its_thursday() {
    let plan = plan(upland(garden(&["A1"])));
    let hours = plan.week_normals(Week::of(day(2027, 3, 15)), Cover::Open).unwrap().day_length_h;
    let thursday = crate::climate::sun::day_length_h(54.0, day(2027, 3, 18));
    assert!((hours - thursday).abs() < 1e-9, "{hours} {thursday}");
}

#[test]
fn a_chart_has_no_week_from_which_frost_takes_all() {
    let at = |elevation_m| {
        let mut garden = upland(garden(&["A1"]));
        garden.site.elevation_m = elevation_m;
        plan(garden).sow_chart("courgette", Cover::Open).len()
    };
    // Courgettes ripen near the sea, and at 900 m never do.
    assert!(at(20) > 0);
    assert_eq!(at(900), 0);
}

#[test]
fn a_guest_sown_before_its_host_still_joins_it() {
    let mut garden = garden(&["A1"]);
    let leeks = planting(1, "A1", "leek", grid(30), day(2027, 6, 7), day(2028, 3, 1));
    let between = Layout::Between { host: PlantingId(1) };
    garden.plantings = vec![leeks, planting(2, "A1", "salad-onion", between, day(2027, 5, 10), day(2027, 8, 1))];
    let mut pairs = Vec::new();
    let _ = plan(garden).weigh_pairs(0, |pair| pairs.push((pair.stands, pair.joins)));
    assert_eq!(pairs, [(PlantingId(1), PlantingId(2))]);
}

#[test]
fn of_two_that_overlap_the_later_is_told_though_the_earlier_is_only_previewed() {
    let mut garden = garden(&["A1"]);
    garden.plantings = vec![planting(1, "A1", "beetroot", grid(25), day(2027, 6, 10), day(2027, 9, 1))];
    let preview = plan(garden).preview(&lettuce(2, day(2027, 5, 1), day(2027, 7, 1)));
    let told: Vec<_> = preview
        .findings
        .iter()
        .filter_map(|finding| match finding.says {
            Says::Overlap { other, .. } => Some((finding.planting, other)),
            _ => None,
        })
        .collect();
    assert_eq!(told, [(Some(PlantingId(1)), PlantingId(2))]);
}

#[test]
fn a_plant_wider_than_its_bed_is_proposed_in_the_middle() {
    let mut garden = upland(garden(&[]));
    garden.beds = vec![bed("A1", 60, 300)].into();
    let proposed = plan(garden).proposed_planting(0, "pumpkin", day(2027, 6, 7)).unwrap();
    assert_eq!(proposed.setback_mm, Some(Mm::from_cm(30)));
}

#[test]
fn seed_a_hand_s_breadth_apart_in_the_row_is_drilled() {
    // The book sows beetroot 10 cm apart in rows of 30: ten in a metre.
    let proposed = plan(upland(garden(&["A1"]))).proposed_planting(0, "beetroot", day(2027, 5, 10)).unwrap();
    let Layout::Drill { row_mm, plants_per_m, .. } = proposed.layout else { panic!("{:?}", proposed.layout) };
    assert_eq!((row_mm, plants_per_m.round() as i64), (Mm::from_cm(30), 10));
}

#[test]
fn between_what_is_planted_already_nothing_goes_in_before_the_day() {
    let mut garden = upland(garden(&["A1"]));
    garden.plantings = vec![planting(1, "A1", "leek", grid(40), day(2027, 5, 10), day(2028, 3, 1))];
    garden.happened = vec![happened(1, day(2027, 5, 10), Happening::Planted)].into();
    let asked = day(2027, 6, 7);
    let proposed = plan(garden).proposed_interplanting(0, PlantingId(1), "salad-onion", asked).unwrap();
    assert_eq!(proposed.planned.sow.or(proposed.planned.plant), Some(asked));
}

#[test]
fn two_hundred_crops_before_each_are_looked_back_on_and_of_more_it_is_said() {
    let said = |n_past: i32| {
        let mut garden = garden(&["A1"]);
        garden.past =
            (0..n_past).map(|n| PastCrop { id: EntryId(n as u32 + 1), ..past(1900 + n / 2, "leek") }).collect();
        garden.plantings = vec![lettuce(1, day(2027, 5, 1), day(2027, 7, 1))];
        says(&plan(garden), "not-looked-back").len()
    };
    assert_eq!((said(200), said(201)), (0, 1));
}

/// Sweetcorn in a bed that runs from west to east, and lettuces in a bed of one metre 30 cm to its north; the height of both in mm, and
/// the days until which they stand.
fn corn_south_of_lettuce(heights: (i32, i32), corn_until: NaiveDate, lettuce: (NaiveDate, NaiveDate)) -> Vec<Shade> {
    let mut garden = upland(garden(&[]));
    let (mut corn_bed, mut lettuce_bed) = (bed("A1", 120, 480), bed("A2", 120, 100));
    (corn_bed.east_mm, corn_bed.south_mm, corn_bed.bearing_deg) = (Mm(3_000), Mm(9_000), 90);
    (lettuce_bed.east_mm, lettuce_bed.south_mm) = (Mm(4_800), Mm(7_700));
    garden.beds = vec![corn_bed, lettuce_bed].into();
    let of_height = |crop: &str, mm| {
        let mut crop = book().crop(crop).unwrap().clone();
        crop.size.height_mm = Mm(mm);
        crop
    };
    garden.own_crops = vec![of_height("sweetcorn", heights.0), of_height("lettuce-leaf", heights.1)].into();
    let corn = planting(1, "A1", "sweetcorn", grid(20), day(2027, 5, 28), corn_until);
    let low = planting(2, "A2", "lettuce-leaf", grid(22), lettuce.0, lettuce.1);
    garden.plantings = vec![Planting { to_mm: Mm(4_800), ..corn }, Planting { to_mm: Mm(1_000), ..low }];
    let plan = plan(garden);
    let shades = plan.findings().into_iter().filter_map(|finding| match &finding.says {
        Says::Shade(shade) => Some(*shade),
        _ => None,
    });
    shades.collect()
}

/// In the middle of September the noon sun of 54° N stands 39° high: shadows of 1.2 m reach 1.5 m, those of 1.8 m 2.2 m.
#[test]
fn a_crop_of_one_metre_twenty_is_tall_and_shades_what_is_less_than_half_as_high() {
    let (corn_until, lettuce) = (day(2027, 10, 1), (day(2027, 7, 1), day(2027, 10, 1)));
    let shades = |corn_mm, lettuce_mm| corn_south_of_lettuce((corn_mm, lettuce_mm), corn_until, lettuce).len();
    assert_eq!((shades(1_200, 250), shades(1_199, 250)), (1, 0));
    assert_eq!((shades(1_800, 899), shades(1_800, 900)), (1, 0));
}

#[test]
fn a_tall_crop_shades_from_the_day_it_covers_its_ground_until_it_is_cleared() {
    let heights = (1_800, 250);
    // Gone before the corn is up.
    let early = (day(2027, 5, 28), day(2027, 7, 1));
    assert_eq!(corn_south_of_lettuce(heights, day(2027, 10, 1), early).len(), 0);
    // Out on 14 August it throws no shadow in the middle of that month or of the next, when lettuces stand there.
    let late = (day(2027, 8, 1), day(2027, 10, 1));
    assert_eq!(corn_south_of_lettuce(heights, day(2027, 8, 14), late).len(), 0);
    assert_eq!(corn_south_of_lettuce(heights, day(2027, 8, 16), late).len(), 1);
}

#[test]
fn a_planting_previewed_until_the_day_on_which_another_goes_in_does_not_overlap_it() {
    let mut garden = garden(&["A1"]);
    garden.plantings = vec![planting(1, "A1", "beetroot", grid(25), day(2027, 6, 10), day(2027, 9, 1))];
    let preview = plan(garden).preview(&lettuce(2, day(2027, 5, 1), day(2027, 6, 10)));
    assert!(!preview.findings.iter().any(is_sharing), "{:?}", preview.findings);
}

// Sharing

#[test]
fn a_guest_that_went_in_before_its_host_is_told_as_the_guest() {
    let mut garden = garden(&["A1"]);
    let between = Layout::Between { host: PlantingId(1) };
    garden.plantings = vec![
        planting(1, "A1", "leek", grid(30), day(2027, 6, 7), day(2028, 3, 1)),
        planting(2, "A1", "kale", between, day(2027, 5, 20), day(2028, 3, 1)),
    ];
    let plan = plan(garden);
    let [finding] = says(&plan, "crowding")[..] else { panic!("{:#?}", plan.findings()) };
    let Says::Crowding { other, .. } = finding.says else { panic!() };
    assert_eq!((finding.planting, other), (Some(PlantingId(2)), PlantingId(1)));
}

#[test]
fn plants_beside_a_line_count_though_they_stand_outside_its_band() {
    let mut garden = garden(&["A1"]);
    let edge = Layout::Edge { spacing_mm: Mm::from_cm(15), along: Side::Left };
    garden.plantings = vec![
        planting(1, "A1", "garlic", edge, day(2026, 10, 20), day(2027, 7, 10)),
        // Lines at 20, 60 and 100 cm; the garlic's band is 15 cm wide, its line at 7.5 cm, and kale grows 22.5 cm to each side.
        planting(2, "A1", "kale", grid(40), day(2027, 4, 10), day(2028, 3, 1)),
    ];
    assert_eq!(says(&plan(garden), "crowding").len(), 1);
}

#[test]
fn a_tight_fit_is_a_caution_and_a_crowded_one_a_breach() {
    let mut seen = [false; 2];
    for spacing_cm in 26..60 {
        let mut garden = garden(&["A1"]);
        let between = Layout::Between { host: PlantingId(1) };
        garden.plantings = vec![
            planting(1, "A1", "leek", grid(spacing_cm), day(2027, 6, 7), day(2028, 3, 1)),
            planting(2, "A1", "kale", between, day(2027, 6, 7), day(2028, 3, 1)),
        ];
        for finding in says(&plan(garden), "crowding") {
            let Says::Crowding { share_lost_max, .. } = finding.says else { continue };
            let is_tight = share_lost_max <= 0.25;
            assert_eq!(finding.severity, if is_tight { Severity::Caution } else { Severity::Breach }, "{spacing_cm}");
            seen[usize::from(is_tight)] = true;
        }
    }
    assert_eq!(seen, [true; 2]);
}

#[test]
fn of_two_weeks_as_near_the_later_is_chosen_and_none_before_today() {
    let mut lettuces = lettuce(1, day(2027, 5, 20), day(2027, 7, 20));
    lettuces.planned.clear = None;
    let plan = plan(upland(garden(&["A1"])));
    let slot = |not_before: NaiveDate| plan.nearest_slot(&lettuces, not_before).unwrap().planned.plant;
    assert_eq!(slot(day(2027, 1, 4)), Some(day(2027, 5, 27)));
    assert_eq!(slot(day(2027, 5, 28)), Some(day(2027, 6, 3)));
}
