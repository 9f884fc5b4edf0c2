use super::*;
use crate::garden::{EntryId, Household, PastCrop, Price, Run};
use crate::rotation::Rule;
use crate::season::{Reason, SoilCover};

fn past(bed: &str, year: i32, what: &str) -> PastCrop {
    PastCrop { id: EntryId(1), bed: bed.to_owned(), year, what: what.to_owned(), strip_mm: None, side: Side::Whole }
}

fn candidate_of<'a>(
    plan: &Plan,
    list: &'a [crate::season::Candidate],
    crop: &str,
) -> Option<&'a crate::season::Candidate> {
    let idx = plan.book().crop_idx(crop).unwrap();
    list.iter().find(|candidate| candidate.crop_idx == idx)
}

#[test]
fn candidates_come_in_the_same_order_every_time_and_breaches_last() {
    let mut garden = garden(&["A1"]);
    garden.past = vec![past("A1", 2026, "cabbage-summer")].into();
    let plan = plan(garden);
    let list = plan.candidates(0, day(2027, 5, 20));
    assert!(list.len() > 20);
    assert_eq!(list, plan.candidates(0, day(2027, 5, 20)));
    let first_breach = list.iter().position(|c| c.worst == Some(Severity::Breach)).unwrap();
    assert!(list[first_breach..].iter().all(|c| c.worst == Some(Severity::Breach)));
    for candidate in &list {
        assert!(!candidate.reasons.is_empty());
        assert!(candidate.enters >= day(2027, 5, 20) && candidate.enters <= day(2027, 7, 15));
        assert!(!plan.book().crops()[candidate.crop_idx].is_permanent);
    }
    let kale = candidate_of(&plan, &list, "kale").unwrap();
    assert_eq!(kale.worst, Some(Severity::Breach));
    let is_back = |reason: &Reason| matches!(reason, Reason::Rotation(finding) if finding.rule == Rule::FamilyReturn && finding.earlier_year == Some(2026));
    assert!(kale.reasons.iter().any(is_back), "{kale:?}");
}

#[test]
fn plants_that_can_no_longer_be_raised_have_to_be_bought() {
    let plan = plan(garden(&["A1"]));
    let leek = plan.book().crop("celeriac").unwrap();
    let n_weeks = i64::from(leek.seed.weeks_in_module.unwrap());
    let day_in = day(2027, 6, 1);
    let late = plan.candidates(0, day_in);
    assert!(candidate_of(&plan, &late, "celeriac").unwrap().is_bought_in);
    let early = plan.candidates_seen_from(0, day_in, day(2027, 1, 4));
    let celeriac = candidate_of(&plan, &early, "celeriac").unwrap();
    assert!(!celeriac.is_bought_in);
    assert_eq!(celeriac.sow_by, Some(celeriac.enters - chrono::Duration::weeks(n_weeks)));
    assert!(celeriac.score > candidate_of(&plan, &late, "celeriac").unwrap().score);
}

#[test]
fn what_is_not_ripe_before_the_next_planting_ranks_below_what_is() {
    let mut garden = garden(&["A1"]);
    garden.plantings = vec![planting(1, "A1", "kale", grid(45), day(2027, 7, 1), day(2028, 3, 1))];
    let plan = plan(garden);
    let list = plan.candidates_seen_from(0, day(2027, 4, 20), day(2027, 1, 1));
    let place = |crop: &str| {
        let idx = plan.book().crop_idx(crop).unwrap();
        list.iter().position(|candidate| candidate.crop_idx == idx).unwrap()
    };
    assert!(place("radish") < place("parsnip"));
    let parsnip = candidate_of(&plan, &list, "parsnip").unwrap();
    let not_ripe = Reason::NotRipe { next: day(2027, 7, 1) };
    assert!(parsnip.reasons.contains(&not_ripe), "{parsnip:?}");
}

#[test]
fn wanted_and_priced_crops_rank_higher_and_say_so() {
    let plain = plan(garden(&["A1"]));
    let mut garden = garden(&["A1"]);
    garden.households = vec![Household {
        id: EntryId(1),
        name: "Top house".to_owned(),
        n_people: 3,
        wants_g_per_week: [("beetroot".to_owned(), 400)].into(),
    }]
    .into();
    garden.prices = vec![Price { id: EntryId(1), crop: "beetroot".to_owned(), minor_per_kg: 250 }].into();
    garden.site.currency = "GBP".to_owned();
    let plan = plan(garden);
    let day = day(2027, 5, 20);
    let (before, after) = (plain.candidates(0, day), plan.candidates(0, day));
    let beetroot = candidate_of(&plan, &after, "beetroot").unwrap();
    assert!(beetroot.score > candidate_of(&plain, &before, "beetroot").unwrap().score + 12.0);
    let wants = |reason: &Reason| matches!(reason, Reason::Wanted { g_per_week: 400, .. });
    assert!(beetroot.reasons.iter().any(wants), "{beetroot:?}");
    // Worth by hand: price × usual yield ÷ weeks it stands.
    let crop = plan.book().crop("beetroot").unwrap();
    let weeks = (beetroot.clear - beetroot.enters).num_days() as f64 / 7.0;
    let by_hand = 250.0 * crop.yields.typical_kg_per_m2 / weeks;
    let is_worth = |reason: &Reason| matches!(reason, Reason::Worth { minor_per_m2_week } if (minor_per_m2_week - by_hand).abs() < 1e-9);
    assert!(beetroot.reasons.iter().any(is_worth), "{by_hand}: {beetroot:?}");
}

#[test]
fn permanent_crops_are_named_only_where_they_may_stay() {
    let mut garden = garden(&["A1", "F1"]);
    garden.beds[1].kind = BedKind::Border;
    let plan = plan(garden);
    let has_permanent = |bed_idx| {
        let list = plan.candidates(bed_idx, day(2027, 3, 20));
        list.iter().any(|candidate| plan.book().crops()[candidate.crop_idx].is_permanent)
    };
    assert!(!has_permanent(0));
    assert!(has_permanent(1));
}

#[test]
fn a_proposal_takes_the_largest_free_strip_and_the_books_spacing() {
    let mut garden = garden(&["A1"]);
    garden.plantings = vec![on_strip(planting(1, "A1", "kale", grid(45), day(2027, 4, 1), day(2028, 3, 1)), 100, 180)];
    let plan = plan(garden);
    let leek = plan.proposed_planting(0, "leek", day(2027, 6, 10)).unwrap();
    let crop = plan.book().crop("leek").unwrap();
    assert_eq!((leek.from_mm, leek.to_mm, leek.side), (Mm(1800), Mm(3000), Side::Whole));
    assert_eq!(leek.layout, Layout::Grid { spacing_mm: crop.spacing.equidistant_mm.unwrap() });
    assert_eq!((leek.clump, leek.raised, leek.planned.plant), (4, Raised::Module, Some(day(2027, 6, 10))));
    assert_eq!(leek.id, PlantingId(2));

    let carrot = plan.proposed_planting(0, "carrot-early", day(2027, 4, 10)).unwrap();
    // 15 cm between lines and 4 cm in the line: 25 plants a metre.
    assert_eq!(carrot.layout, Layout::Drill { row_mm: Mm(150), plants_per_m: 25.0, run: Run::Along });
    assert_eq!((carrot.raised, carrot.planned.sow), (Raised::InPlace, Some(day(2027, 4, 10))));
    assert!(matches!(
        plan.proposed_planting(0, "phacelia", day(2027, 5, 10)).unwrap().layout,
        Layout::Broadcast { .. }
    ));
}

#[test]
fn a_line_along_an_edge_leaves_the_bed_to_what_is_proposed_as_it_does_when_it_frees_up() {
    let mut garden = garden(&["A1"]);
    let edge = Layout::Edge { spacing_mm: Mm(100), along: Side::Whole };
    garden.plantings = vec![planting(1, "A1", "garlic", edge, day(2026, 10, 10), day(2027, 7, 20))];
    let plan = plan(garden);
    let on = day(2027, 4, 20);
    assert_eq!(plan.free_up(0, on).free_from, on);
    let lettuce = plan.proposed_planting(0, "lettuce-head", on).unwrap();
    assert_eq!((lettuce.from_mm, lettuce.to_mm, lettuce.side), (Mm::ZERO, Mm(3000), Side::Whole));
    let list = plan.candidates(0, on);
    let reasons = &candidate_of(&plan, &list, "lettuce-head").unwrap().reasons;
    assert!(reasons.contains(&Reason::WholeBedFree), "{reasons:?}");
}

#[test]
fn every_crop_of_the_book_can_be_proposed_and_stands() {
    let mut garden = garden(&["A1"]);
    garden.beds[0] = bed("A1", 120, 600);
    let plan = plan(garden);
    for crop in plan.book().crops() {
        let proposed = plan.proposed_planting(0, &crop.id, day(2027, 4, 1)).unwrap();
        let preview = plan.preview(&proposed);
        assert!(preview.standing.is_some_and(|standing| standing.n_plants > 0), "{}: {:?}", crop.id, preview.findings);
    }
}

#[test]
fn a_proposal_for_a_full_bed_shows_the_overlap() {
    let mut garden = garden(&["A1"]);
    garden.plantings = vec![planting(1, "A1", "kale", grid(45), day(2027, 4, 1), day(2028, 3, 1))];
    let plan = plan(garden);
    let leek = plan.proposed_planting(0, "leek", day(2027, 6, 10)).unwrap();
    let preview = plan.preview(&leek);
    assert!(preview.findings.iter().any(|finding| matches!(finding.says, Says::Overlap { .. })));
    assert_eq!(plan.findings().into_iter().filter(|f| is_sharing(f)).count(), 0, "a preview alters nothing");
}

/// Common practice, no published source: onions for salad go out as clumps from modules together with the leeks.
#[test]
fn an_interplanting_is_proposed_the_way_it_fits_best() {
    let mut garden = garden(&["A1"]);
    garden.plantings = vec![planting(1, "A1", "leek", grid(25), day(2027, 6, 7), day(2028, 3, 1))];
    let plan = plan(garden);
    let comes_to = |planting: &Planting| {
        let preview = plan.preview(planting);
        (preview.fits[0].1.verdict, preview.standing.unwrap().stages.clear)
    };
    let onions = plan.proposed_interplanting(0, PlantingId(1), "salad-onion", day(2027, 6, 7)).unwrap();
    assert_eq!((onions.raised, onions.planned.plant), (Raised::Module, Some(day(2027, 6, 7))));
    assert_eq!((onions.planned.sow, onions.planned.clear), (None, None), "the rest is worked out");
    let mut sown = onions.clone();
    sown.raised = Raised::InPlace;
    sown.planned = PlannedDates { sow: Some(day(2027, 6, 7)), ..PlannedDates::default() };
    let (is, instead) = (comes_to(&onions), comes_to(&sown));
    assert!(is.0 <= instead.0 && is.1 < instead.1, "no worse a fit and out sooner: {is:?} {instead:?}");
    // Before the leeks go in there is nothing to stand between.
    let early = plan.proposed_interplanting(0, PlantingId(1), "salad-onion", day(2027, 5, 3)).unwrap();
    assert_eq!(early.planned, onions.planned);
}

#[test]
fn a_preview_says_what_the_plan_says_once_it_is_placed() {
    let mut garden = garden(&["A1"]);
    garden.past = vec![past("A1", 2026, "onion-sets")].into();
    garden.plantings = vec![
        planting(1, "A1", "leek", grid(30), day(2027, 6, 7), day(2028, 3, 1)),
        planting(2, "A1", "garlic", grid(15), day(2028, 10, 20), day(2029, 7, 1)),
    ];
    let plan = plan(garden);
    let onions = plan.proposed_interplanting(0, PlantingId(1), "salad-onion", day(2027, 6, 7)).unwrap();
    assert_eq!(onions.layout, Layout::Between { host: PlantingId(1) });
    let preview = plan.preview(&onions);
    assert_eq!(preview.fits.len(), 1);
    assert_eq!(preview.fits[0].0, PlantingId(1));
    assert_eq!(preview.stations.len() as u64, preview.standing.as_ref().unwrap().n_stations);
    let said = |finding: &Finding| format!("{:?} {:?} {:?}", finding.severity, finding.planting, finding.says);
    let mut previewed: Vec<String> = preview.findings.iter().map(said).collect();
    let before = plan.findings().len();
    let plan = plan.with(crate::garden::Edit::AddPlanting(Box::new(onions))).unwrap();
    let mut placed: Vec<String> = plan
        .findings()
        .into_iter()
        .filter(|f| {
            let names_it = |key: &crate::rotation::StandKey| *key == crate::rotation::StandKey::Planting(PlantingId(3));
            f.planting == Some(PlantingId(3))
                || matches!(&f.says, Says::Rotation(r) if r.earlier.as_ref().is_some_and(names_it))
                || matches!(
                    f.says,
                    Says::Overlap { other: PlantingId(3), .. } | Says::Crowding { other: PlantingId(3), .. }
                )
        })
        .map(said)
        .collect();
    previewed.sort();
    placed.sort();
    assert_eq!(previewed, placed);
    assert!(plan.findings().len() >= before);
}

#[test]
fn a_duplicate_takes_the_next_free_place_of_its_bed_and_then_of_the_next() {
    let mut garden = garden(&["A1", "A2", "A3"]);
    let lettuce = on_strip(planting(1, "A1", "lettuce-head", grid(28), day(2027, 5, 1), day(2027, 7, 1)), 0, 100);
    garden.plantings = vec![
        lettuce.clone(),
        on_strip(planting(2, "A1", "kale", grid(45), day(2027, 4, 1), day(2028, 3, 1)), 100, 200),
        planting(3, "A2", "kale", grid(45), day(2027, 4, 1), day(2028, 3, 1)),
    ];
    let plan = plan(garden);
    let first = plan.next_free_slot(&lettuce).unwrap();
    assert_eq!((first.bed.as_str(), first.from_mm, first.to_mm), ("A1", Mm(2000), Mm(3000)));
    assert_eq!(first.id, PlantingId(4));
    let plan = plan.with(crate::garden::Edit::AddPlanting(Box::new(first))).unwrap();
    let second = plan.next_free_slot(&lettuce).unwrap();
    assert_eq!((second.bed.as_str(), second.from_mm), ("A3", Mm(0)));
    assert!(says(&plan, "overlap").is_empty());
}

#[test]
fn a_proposal_goes_in_in_the_first_week_with_no_caution_by_the_usual_way() {
    let mut garden = garden(&["A1"]);
    (garden.site.latitude_deg, garden.site.elevation_m) = (54.0, 250);
    // The book has carrots sown from March on; this grower's cards say February, when the ground is still cold.
    let mut carrot = book().crop("carrot-early").unwrap().clone();
    carrot.calendar.sow_outdoor = Some(crate::crops::Months { from: 2, to: 4 });
    garden.own_crops = vec![carrot].into();
    let plan = plan(garden);
    let proposed = |crop: &str, on: NaiveDate| {
        let proposed = plan.proposed_planting(0, crop, on).unwrap();
        (proposed.raised, proposed.planned.sow.or(proposed.planned.plant).unwrap())
    };
    let cautions = |id: &str, raised: Raised, on: NaiveDate| {
        let crop = plan.book().crop(id).unwrap();
        let planned = crate::season::entry::entering_on(raised, on);
        let growing = plan.almanac().growing(crop, raised, Cover::Open);
        let stages = growing.stages(&planned, &RealDates::default()).unwrap();
        crate::season::limits::cautions(growing, &stages).first().copied()
    };
    // It is sown from 31 January on: four weeks later it is up within six weeks, three weeks later it is not.
    assert_eq!(proposed("carrot-early", day(2027, 1, 25)), (Raised::InPlace, day(2027, 2, 28)));
    assert!(cautions("carrot-early", Raised::InPlace, day(2027, 2, 21)).is_some());
    assert!(cautions("carrot-early", Raised::InPlace, day(2027, 2, 28)).is_none());
    // Modules are the usual way: their sowing in spring is soon, though they go into the bed in May.
    let (raised, on) = proposed("leek", day(2027, 3, 8));
    assert!(raised == Raised::Module && (day(2027, 5, 15)..=day(2027, 6, 15)).contains(&on), "{raised:?} {on}");
    // Shoots of potatoes planted in March stand weeks before the last frost: they are planted later, up to two weeks of fleece before it.
    let shoots = |on: NaiveDate| {
        let crop = plan.book().crop("potato-first-early").unwrap();
        let planned = crate::season::entry::entering_on(Raised::Tuber, on);
        let growing = plan.almanac().growing(crop, Raised::Tuber, Cover::Open);
        let stages = growing.stages(&planned, &RealDates::default()).unwrap();
        let limits = growing.limits(&stages);
        limits.iter().find_map(|limit| match limit {
            crate::growth::Limit::ShootsBeforeLastFrost { shows, last_frost } => {
                Some((*last_frost - *shows).num_days())
            }
            _ => None,
        })
    };
    assert!(shoots(day(2027, 3, 15)).is_some_and(|n_days| n_days > 14));
    let (raised, on) = proposed("potato-first-early", day(2027, 3, 8));
    assert_eq!(raised, Raised::Tuber);
    assert!(on > day(2027, 3, 15) && shoots(on).is_none_or(|n_days| n_days <= 14), "{on}");
    assert!(shoots(on - chrono::Days::new(7)).is_some_and(|n_days| n_days > 14), "{on}");
    // Beans sown in place wait for soil that lets them up; from modules they go in as soon as frosts are over, and no later.
    let beans = |raised| plan.proposed_dates(0, "french-bean-dwarf", raised, day(2027, 3, 8)).unwrap();
    let (sown, planted) = (beans(Raised::InPlace).sow.unwrap(), beans(Raised::Module).plant.unwrap());
    assert!(planted <= sown, "{planted} {sown}");
    assert!(cautions("french-bean-dwarf", Raised::InPlace, sown).is_none());
}

#[test]
fn food_that_can_still_ripen_comes_before_green_manures_and_only_the_hardy_cover_the_winter() {
    let mut garden = garden(&["A1"]);
    (garden.site.latitude_deg, garden.site.elevation_m) = (54.0, 250);
    let plan = plan(garden);
    let on = day(2027, 8, 9);
    let list = plan.candidates_seen_from(0, on, day(2027, 1, 4));
    let crop_of = |candidate: &crate::season::Candidate| &plan.book().crops()[candidate.crop_idx];
    let place = |id: &str| list.iter().position(|candidate| crop_of(candidate).id == id).unwrap();
    for candidate in &list[..5] {
        assert!(!crop_of(candidate).is_green_manure(), "{}", crop_of(candidate).id);
    }
    // Mustard stands -4 °C, less than the coldest night of most winters there; crimson clover stands -12 °C and rye -34 °C.
    for (id, is_killed) in [("mustard-green-manure", true), ("crimson-clover", false), ("winter-rye", false)] {
        let reasons = &list[place(id)].reasons;
        let crop = plan.book().crop(id).unwrap();
        assert_eq!(
            plan.almanac().growing(crop, Raised::InPlace, Cover::Open).outlives_winter(on),
            Some(!is_killed),
            "{id}"
        );
        assert_eq!(reasons.contains(&Reason::Covers(SoilCover::UntilHardFrosts)), is_killed, "{reasons:?}");
        assert!(!is_killed || !reasons.contains(&Reason::Covers(SoilCover::OverWinter)), "{reasons:?}");
    }
}
