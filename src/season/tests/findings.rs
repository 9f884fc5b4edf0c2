use super::*;
use crate::garden::{Against, Edit, HazardSeen, PastCrop};
use crate::rotation::Rule;
use crate::season::NotSetOut;

pub fn leeks_and_salad_onions(onions_out: NaiveDate) -> Garden {
    let mut garden = garden(&["A1"]);
    let leeks = planting(1, "A1", "leek", grid(30), day(2027, 6, 7), day(2028, 3, 1));
    let between = Layout::Between { host: PlantingId(1) };
    let onions = planting(2, "A1", "salad-onion", between, day(2027, 6, 7), onions_out);
    garden.plantings = vec![Planting { clump: 4, ..leeks }, Planting { clump: 8, ..onions }];
    garden
}

/// Common practice, no published source: a clump of salad onions at the centres between leek clumps set 30 cm apart,
/// standing about two months from the same planting day, fits.
#[test]
fn salad_onions_between_leeks_fit_and_do_not_overlap() {
    let plan = plan(leeks_and_salad_onions(day(2027, 8, 9)));
    assert!(!plan.findings().into_iter().any(is_sharing), "{:#?}", plan.findings());
    let [leeks, onions] = plan.beds()[0].standing.as_slice() else { panic!() };
    // 120 × 300 cm at 30 cm: 4 × 10 stations; cell centres 3 × 9.
    assert_eq!((leeks.n_stations, leeks.n_plants), (40, 160));
    assert_eq!((onions.n_stations, onions.n_plants), (27, 216));
    assert_eq!(plan.stations(PlantingId(2)).len(), 27);
}

#[test]
fn an_interplanting_whose_host_is_gone_is_not_set_out() {
    let mut garden = leeks_and_salad_onions(day(2027, 8, 9));
    garden.plantings.remove(0);
    let plan = plan(garden);
    let findings = says(&plan, "no-stations");
    assert_eq!(findings.len(), 1);
    let gone = NotSetOut::HostElsewhere { host: PlantingId(1), bed: "A1".to_owned() };
    assert!(matches!(&findings[0].says, Says::NoStations { why } if *why == gone), "{findings:?}");
}

#[test]
fn two_grids_on_the_same_ground_overlap_for_the_days_both_stand() {
    let mut garden = garden(&["A1"]);
    garden.plantings = vec![
        on_strip(planting(1, "A1", "lettuce-head", grid(28), day(2027, 5, 1), day(2027, 7, 1)), 0, 200),
        on_strip(planting(2, "A1", "beetroot", grid(25), day(2027, 6, 10), day(2027, 9, 1)), 150, 300),
    ];
    let plan = plan(garden);
    let findings = says(&plan, "overlap");
    assert_eq!(findings.len(), 1);
    assert_eq!((findings[0].severity, findings[0].planting), (Severity::Breach, Some(PlantingId(2))));
    let Says::Overlap { other, from, until, shared, shorten_mm } = &findings[0].says else { panic!() };
    assert_eq!(*shorten_mm, None, "50 cm are a third of the shorter one");
    assert_eq!((*other, *from, *until), (PlantingId(1), day(2027, 6, 10), day(2027, 7, 1)));
    assert_eq!(shared.iter().map(|rect| rect.area_mm2()).sum::<i64>(), 500 * 1200);
}

#[test]
fn plantings_that_follow_on_the_same_day_do_not_overlap() {
    let mut garden = garden(&["A1"]);
    garden.plantings = vec![
        planting(1, "A1", "lettuce-head", grid(28), day(2027, 5, 1), day(2027, 7, 1)),
        planting(2, "A1", "beetroot", grid(25), day(2027, 7, 1), day(2027, 9, 1)),
    ];
    assert!(says(&plan(garden), "overlap").is_empty());
}

/// Common practice, no published source: a row of garlic along the edge of a bed is possible beside brassicas.
#[test]
fn garlic_along_an_edge_stands_beside_brassicas_without_overlap() {
    let mut garden = garden(&["A1"]);
    let edge = Layout::Edge { spacing_mm: Mm::from_cm(15), along: Side::Left };
    garden.plantings = vec![
        planting(1, "A1", "garlic", edge, day(2026, 10, 20), day(2027, 7, 10)),
        planting(2, "A1", "cabbage-summer", grid(45), day(2027, 5, 10), day(2027, 8, 20)),
    ];
    let plan = plan(garden);
    assert!(says(&plan, "overlap").is_empty());
    assert_ne!(worst_of(&plan, "crowding"), Some(Severity::Breach), "{:#?}", says(&plan, "crowding"));
}

/// The gravest finding of the first bed that is not accepted.
fn worst_left(plan: &Plan) -> Option<Severity> {
    plan.beds()[0].findings.iter().filter(|finding| finding.accepted.is_none()).map(|finding| finding.severity).max()
}

#[test]
fn an_accepted_finding_stays_listed_with_its_reason_and_no_longer_counts_as_the_worst() {
    let mut garden = garden(&["A1"]);
    garden.plantings = vec![
        planting(1, "A1", "lettuce-head", grid(28), day(2027, 5, 1), day(2027, 7, 1)),
        planting(2, "A1", "beetroot", grid(25), day(2027, 6, 10), day(2027, 9, 1)),
    ];
    let mut sitting = sitting(garden);
    assert_eq!(worst_left(sitting.plan()), Some(Severity::Breach));
    let accepted =
        sitting.plan().acceptance(says(sitting.plan(), "overlap")[0], "lettuces come out one by one").unwrap();
    assert_eq!((accepted.rule.as_str(), &accepted.against), ("overlap", &Against::Planting(PlantingId(1))));
    sitting.apply(Edit::adding(accepted, sitting.plan().garden())).unwrap();
    let finding = says(sitting.plan(), "overlap")[0];
    assert_eq!(finding.accepted.as_deref(), Some("lettuces come out one by one"));
    assert_ne!(worst_left(sitting.plan()), Some(Severity::Breach));
}

#[test]
fn an_empty_bed_is_accepted_beside_the_planting_before_it_and_stays_so_when_its_days_move() {
    let mut garden = garden(&["A1"]);
    garden.plantings = vec![
        planting(1, "A1", "lettuce-head", grid(28), day(2027, 5, 20), day(2027, 6, 20)),
        planting(2, "A1", "beetroot", grid(25), day(2027, 7, 25), day(2027, 9, 1)),
    ];
    let text = garden.to_ron();
    let mut sitting = sitting(garden);
    let open = |sitting: &Sitting| {
        let plan = sitting.plan();
        let gaps = says(plan, "gap").into_iter().filter(|finding| finding.accepted.is_none());
        let weeks = |finding: &Finding| match finding.says {
            Says::Gap { from, n_weeks, .. } => (from, n_weeks),
            _ => panic!("{finding:?}"),
        };
        gaps.map(weeks).collect::<Vec<_>>()
    };
    // Before the lettuces, between the two and after the beetroots.
    assert_eq!(open(&sitting).len(), 3);
    let accept = |sitting: &mut Sitting, place: usize| {
        let plan = sitting.plan();
        let accepted = plan.acceptance(says(plan, "gap")[place], "green manure that is not in the book").unwrap();
        let named = (accepted.planting.0, accepted.against.clone());
        sitting.apply(Edit::adding(accepted, plan.garden())).unwrap();
        named
    };
    assert_eq!(accept(&mut sitting, 0), (1, Against::WeeksBefore(2027)));
    assert_eq!(sitting.undo_title(), Some("accept the empty weeks before lettuce (hearting) in A1"));
    assert_eq!(accept(&mut sitting, 1), (1, Against::WeeksAfter(2027)));
    assert_eq!(open(&sitting), [(day(2027, 9, 1), 7)]);
    // A file that has them is read again with them.
    let written = sitting.plan().garden().to_ron();
    assert!(written.contains("(id: 2, rule: \"gap\", planting: 1, against: WeeksAfter(2027),"), "{written}");
    assert_eq!(Garden::from_ron(&written, "t.ron").unwrap(), *sitting.plan().garden());
    // Out a week sooner, the same weeks are empty.
    let mut sooner = sitting.plan().garden().plantings[0].clone();
    sooner.planned.clear = Some(day(2027, 6, 13));
    sitting.apply(Edit::ChangePlanting(Box::new(sooner))).unwrap();
    assert_eq!(open(&sitting).len(), 1);
    let begins = |finding: &&Finding| matches!(finding.says, Says::Gap { from, .. } if from == day(2027, 6, 13));
    assert!(says(sitting.plan(), "gap").iter().any(begins));
    for _ in 0..3 {
        sitting.undo().unwrap();
    }
    assert_eq!((open(&sitting).len(), sitting.plan().garden().to_ron()), (3, text));
}

#[test]
fn a_past_crop_counts_and_an_acceptance_names_it_by_year() {
    let mut garden = garden(&["A1"]);
    let past = |id, year, what: &str| PastCrop {
        id: EntryId(id),
        bed: "A1".to_owned(),
        year,
        what: what.to_owned(),
        strip_mm: None,
        side: Side::Whole,
    };
    garden.past = vec![past(1, 2026, "leek"), past(2, 2025, "no such plant")].into();
    garden.plantings = vec![planting(1, "A1", "garlic", grid(15), day(2027, 2, 20), day(2027, 8, 1))];
    let plan = plan(garden);
    let finding = says(&plan, "family-return")[0];
    let accepted = plan.acceptance(finding, "no room").unwrap();
    assert_eq!(accepted.against, Against::Past { year: 2026, what: "leek".to_owned() });
    let unknown = says(&plan, "unknown-crop");
    assert_eq!((unknown.len(), unknown[0].severity, unknown[0].planting), (1, Severity::Note, None));
}

#[test]
fn a_host_of_a_hazard_seen_in_the_bed_is_found() {
    let mut garden = garden(&["A1"]);
    garden.hazards_seen = vec![HazardSeen {
        id: EntryId(1),
        bed: "A1".to_owned(),
        hazard: "clubroot".to_owned(),
        date: day(2025, 8, 1),
        notes: String::new(),
    }]
    .into();
    garden.plantings = vec![planting(1, "A1", "kale", grid(45), day(2027, 6, 15), day(2028, 3, 1))];
    let plan = plan(garden);
    let finding = says(&plan, "hazard-host")[0];
    assert!(matches!(&finding.says, Says::Rotation(rotation) if rotation.rule == Rule::HazardHost));
    assert_eq!(finding.severity, Severity::Breach);
    let accepted = plan.acceptance(finding, "limed").unwrap();
    assert_eq!(accepted.against, Against::Hazard("clubroot".to_owned()));
    // Seen in 2025: five host-free years are kept from 2031 on, the fifteen for which it usually lives from 2041 on.
    let Says::Rotation(rotation) = &finding.says else { panic!("{finding:?}") };
    assert_eq!((rotation.caution_year, rotation.clear_year), (Some(2031), Some(2041)));
    // There is only this bed, and it could bear something else.
    let elsewhere = plan.explained(finding).elsewhere.unwrap();
    assert!(elsewhere.bed_idxs.is_empty() && elsewhere.is_all_looked_at && elsewhere.crop_idxs.len() == 3);
}

#[test]
fn a_hazard_the_book_does_not_know_is_said_and_not_passed_over() {
    let mut garden = garden(&["A1"]);
    garden.hazards_seen = vec![HazardSeen {
        id: EntryId(1),
        bed: "A1".to_owned(),
        hazard: "gremlins".to_owned(),
        date: day(2025, 8, 1),
        notes: String::new(),
    }]
    .into();
    let plan = plan(garden);
    let unknown = says(&plan, "unknown-hazard")[0];
    assert!(matches!(&unknown.says, Says::UnknownHazard { hazard } if hazard == "gremlins"), "{unknown:?}");
}

#[test]
fn what_cannot_be_worked_out_is_a_finding_and_the_rest_still_stands() {
    let mut garden = garden(&["A1"]);
    let mut undated = planting(2, "A1", "leek", grid(30), day(2027, 6, 1), day(2028, 3, 1));
    undated.planned = PlannedDates::default();
    garden.plantings = vec![
        planting(1, "A1", "triffid", grid(30), day(2027, 6, 1), day(2027, 8, 1)),
        undated,
        on_strip(planting(3, "A1", "kale", grid(45), day(2027, 6, 1), day(2028, 3, 1)), 0, 10),
    ];
    let plan = plan(garden);
    assert_eq!(says(&plan, "unknown-crop").len(), 1);
    assert_eq!(says(&plan, "no-dates").len(), 1);
    assert_eq!(says(&plan, "no-stations").len(), 1);
    assert_eq!(plan.beds()[0].standing.len(), 1);
}

#[test]
fn a_month_off_the_books_months_is_nothing_and_more_a_caution() {
    // The book plants leeks out from May to July; an upland spring, or a mild autumn, moves that by weeks.
    let severity = |plant: NaiveDate| {
        let mut garden = garden(&["A1"]);
        garden.plantings = vec![planting(1, "A1", "leek", grid(30), plant, day(2028, 3, 1))];
        worst_of(&plan(garden), "out-of-season")
    };
    assert_eq!(severity(day(2027, 6, 1)), None);
    assert_eq!(severity(day(2027, 8, 20)), None);
    assert_eq!(severity(day(2027, 10, 20)), Some(Severity::Caution));
}

#[test]
fn a_cover_moves_the_months_by_its_frosts_and_gets_no_further_grace() {
    let severity = |cover: Cover, plant: NaiveDate| {
        let mut garden = garden(&["A1"]);
        garden.beds[0].cover = cover;
        garden.plantings = vec![planting(1, "A1", "leek", grid(30), plant, day(2028, 3, 1))];
        worst_of(&plan(garden), "out-of-season")
    };
    let almanac = plan(garden(&["A1"])).almanac().clone();
    let book = book();
    let leek = book.crop("leek").unwrap();
    for cover in [Cover::Open, Cover::Fleece, Cover::UnheatedTunnel] {
        let is_in = |on: &NaiveDate| almanac.growing(leek, Raised::Module, cover).is_in_season(*on);
        let last = day(2027, 6, 1).iter_days().find(|on| !is_in(&(*on + chrono::Days::new(1)))).unwrap();
        let after = |n_days: u64| severity(cover, last + chrono::Days::new(n_days));
        // A month of grace under every cover, and not a day more.
        assert_eq!((after(0), after(1), after(30)), (None, None, None), "{cover:?}");
        assert_eq!(after(31), Some(Severity::Caution), "{cover:?}");
    }
}

#[test]
fn real_days_count_before_planned_ones() {
    let mut garden = garden(&["A1"]);
    let lettuce = planting(1, "A1", "lettuce-head", grid(28), day(2027, 5, 1), day(2027, 7, 1));
    let beetroot = planting(2, "A1", "beetroot", grid(25), day(2027, 6, 10), day(2027, 9, 1));
    garden.plantings = vec![lettuce, beetroot];
    let cleared = happened(1, day(2027, 6, 5), Happening::Ended { why: None });
    // The same whether a file tells it or an edit does, and it can be taken back.
    let mut sitting = sitting(garden.clone());
    assert_eq!(says(sitting.plan(), "overlap").len(), 1);
    sitting.apply(Edit::adding(cleared, sitting.plan().garden())).unwrap();
    assert_eq!(sitting.undo_title(), Some("note that lettuce (hearting) in A1 ended on 2027-06-05"));
    assert_eq!(sitting.plan().real(PlantingId(1)).clear, Some(day(2027, 6, 5)));
    assert_eq!(sitting.plan().standing(PlantingId(1)).unwrap().stages.clear, day(2027, 6, 5));
    assert!(says(sitting.plan(), "overlap").is_empty());
    garden.happened = sitting.plan().garden().happened.clone();
    assert!(says(&plan(garden), "overlap").is_empty());
    sitting.undo().unwrap();
    assert_eq!((says(sitting.plan(), "overlap").len(), sitting.plan().real(PlantingId(1)).clear), (1, None));
    sitting.redo().unwrap();
    assert!(says(sitting.plan(), "overlap").is_empty());
}

#[test]
fn a_bed_empty_for_weeks_within_the_season_is_noted() {
    let mut garden = garden(&["A1"]);
    garden.plantings = vec![
        planting(1, "A1", "lettuce-head", grid(28), day(2027, 3, 20), day(2027, 6, 1)),
        // 1 June to 29 June are four whole weeks.
        planting(2, "A1", "beetroot", grid(25), day(2027, 6, 29), day(2027, 10, 20)),
    ];
    let plan = plan(garden);
    let gaps = says(&plan, "gap");
    // From 1 March to 20 March are 19 days, from 20 October to the end of the month 12: too short.
    assert_eq!(gaps.len(), 1);
    let Says::Gap { from, until, n_weeks } = gaps[0].says else { panic!() };
    assert_eq!((from, until, n_weeks), (day(2027, 6, 1), day(2027, 6, 29), 4));
}

fn severity_of(plan: &Plan, rule: &str) -> Option<Severity> {
    says(plan, rule).first().map(|finding| finding.severity)
}

/// A bed of one planting in the cool upland, 54° N, 215 m: last frost about 22 May, first about 2 October.
pub fn upland(crop: &str, raised: Raised, on: NaiveDate, change: impl Fn(&mut Planting)) -> Plan {
    let mut garden = garden(&["A1"]);
    garden.site.latitude_deg = 54.0;
    garden.site.elevation_m = 215;
    garden.site.climate = crate::garden::ClimateChoice::Book("maritime-upland".to_owned());
    garden.site.last_frost = crate::garden::MonthDay { month: 5, day: 22 };
    garden.site.first_frost = crate::garden::MonthDay { month: 10, day: 2 };
    let mut one = planting(1, "A1", crop, grid(60), on, day(2030, 1, 1));
    one.raised = raised;
    one.planned = crate::season::entry::entering_on(raised, on);
    change(&mut one);
    garden.plantings = vec![one];
    plan(garden)
}

/// Common practice, no published source: what is sown or set out too early, or too late to ripen, fails.
#[test]
fn growth_and_weather_forbid_what_growers_know_to_fail() {
    let plan = upland("runner-bean", Raised::InPlace, day(2027, 3, 1), |_| {});
    assert!(severity_of(&plan, "too-cold-to-emerge") >= Some(Severity::Caution), "{:#?}", plan.findings());

    let plan = upland("courgette", Raised::Module, day(2027, 4, 20), |_| {});
    assert_eq!(severity_of(&plan, "tender-before-last-frost"), Some(Severity::Caution));
    let plan = upland("courgette", Raised::Module, day(2027, 5, 16), |_| {});
    assert_eq!(severity_of(&plan, "tender-before-last-frost"), Some(Severity::Note));
    let plan = upland("courgette", Raised::Module, day(2027, 6, 5), |_| {});
    assert!(says(&plan, "tender-before-last-frost").is_empty() && says(&plan, "will-not-ripen").is_empty());

    let plan = upland("pumpkin", Raised::Module, day(2027, 8, 10), |_| {});
    assert!(severity_of(&plan, "will-not-ripen") >= Some(Severity::Caution), "{:#?}", plan.findings());

    let plan = upland("spinach", Raised::InPlace, day(2027, 6, 10), |_| {});
    assert_eq!(severity_of(&plan, "will-bolt"), Some(Severity::Caution));

    let plan = upland("pea-shelling", Raised::InPlace, day(2027, 10, 1), |_| {});
    assert_eq!(severity_of(&plan, "killed-by-cold"), Some(Severity::Caution), "{:#?}", plan.findings());

    let plan = upland("leek", Raised::Module, day(2027, 6, 10), |leek| {
        leek.planned.first_pick = Some(day(2027, 7, 10));
    });
    assert_eq!(severity_of(&plan, "impossible-date"), Some(Severity::Caution));
}

#[test]
fn what_is_sown_already_is_no_more_than_a_note() {
    let mut sitting = Sitting::new(upland("courgette", Raised::Module, day(2027, 4, 20), |_| {}));
    assert_ne!(severity_of(sitting.plan(), "tender-before-last-frost"), Some(Severity::Note));
    let planted = happened(1, day(2027, 4, 20), Happening::Planted);
    sitting.apply(Edit::adding(planted, sitting.plan().garden())).unwrap();
    assert_eq!(severity_of(sitting.plan(), "tender-before-last-frost"), Some(Severity::Note));
}

pub fn beans_beside_lettuce() -> Garden {
    let mut garden = garden(&["A1", "A2", "A3"]);
    garden.site.latitude_deg = 54.0;
    // Three beds from south to north, each running from west to east, 45 cm between them.
    for (bed, south_cm) in garden.beds.iter_mut().zip([900, 735, 570]) {
        (bed.east_mm, bed.south_mm, bed.bearing_deg) = (Mm::from_cm(300), Mm::from_cm(south_cm), 90);
    }
    garden.plantings = vec![
        planting(1, "A2", "runner-bean", grid(30), day(2027, 5, 28), day(2027, 10, 5)),
        planting(2, "A1", "lettuce-leaf", grid(22), day(2027, 7, 1), day(2027, 9, 20)),
        planting(3, "A3", "lettuce-leaf", grid(22), day(2027, 7, 1), day(2027, 9, 20)),
    ];
    garden
}

#[test]
fn beans_shade_the_bed_to_their_north_and_not_the_one_to_their_south() {
    let plan = plan(beans_beside_lettuce());
    let [finding] = says(&plan, "shade")[..] else { panic!("{:#?}", plan.findings()) };
    let Says::Shade(shade) = &finding.says else { panic!() };
    assert_eq!((finding.planting, shade.other, shade.n_beds), (Some(PlantingId(1)), PlantingId(3), 1));
    // All six hours in mid-September: at noon the sun stands 39° high, the shadow of 2 m and more reaches 2.5 m.
    assert!(shade.hours_lost >= 3.0, "{shade:?}");
    assert_eq!(finding.severity, Severity::Caution);
}

#[test]
fn shade_follows_what_is_planted_in_the_bed_nearby_and_where_beds_lie() {
    let mut sitting = sitting(beans_beside_lettuce());
    sitting.apply(Edit::RemovePlanting(PlantingId(3))).unwrap();
    assert!(says(sitting.plan(), "shade").is_empty());
    sitting.undo();
    let plan = sitting.plan();
    assert_eq!(says(plan, "shade").len(), 1);
    let far = Bed { south_mm: Mm::from_cm(-1000), ..plan.garden().beds[2].clone() };
    let plan = plan.with(Edit::ChangeBed { id: "A3".to_owned(), bed: far }).unwrap();
    assert!(says(&plan, "shade").is_empty());
    assert_eq!(worked_out(&plan), worked_out(&Plan::new(plan.garden().clone(), &book())));
    let mut nowhere = beans_beside_lettuce();
    nowhere.beds.iter_mut().for_each(|bed| (bed.east_mm, bed.south_mm) = (Mm::ZERO, Mm::ZERO));
    assert!(says(&super::plan(nowhere), "shade").is_empty());
}

#[test]
fn findings_are_counted_and_found_by_place_as_they_are_listed() {
    let plan = upland("courgette", Raised::Module, day(2027, 4, 20), |_| {});
    let check = |plan: &Plan| {
        let listed = plan.findings();
        assert_eq!(plan.n_findings(), listed.len());
        for (n, finding) in listed.iter().enumerate() {
            assert!(std::ptr::eq(*finding, plan.finding_at(n).unwrap()));
        }
        let counts = plan.finding_counts();
        let n_open = listed.iter().filter(|finding| finding.accepted.is_none()).count();
        assert_eq!(counts.n_breaches + counts.n_cautions + counts.n_notes, n_open);
        assert_eq!(counts.n_accepted, listed.len() - n_open);
        counts
    };
    let before = check(&plan);
    let finding = says(&plan, "tender-before-last-frost")[0];
    let accepted = plan.acceptance(finding, "fleece every night").unwrap();
    let after = check(&plan.with(Edit::adding(accepted, plan.garden())).unwrap());
    assert_eq!((after.n_cautions + 1, after.n_accepted), (before.n_cautions, before.n_accepted + 1));
    assert_eq!(check(&plan), before);
}

#[test]
fn a_week_has_its_sky_and_a_crop_its_chart() {
    let plan = upland("courgette", Raised::Module, day(2027, 6, 5), |_| {});
    let sky = |date| plan.week_normals(crate::units::Week::of(date), Cover::Open).unwrap();
    let (june, january) = (sky(day(2027, 6, 21)), sky(day(2027, 1, 11)));
    // At 54° N: 17.1 hours at midsummer, 7.7 in the second week of January (almanacs, from memory).
    assert!((june.day_length_h - 17.1).abs() < 0.2 && (january.day_length_h - 7.8).abs() < 0.3, "{june:?} {january:?}");
    assert!(
        june.mean_c > january.mean_c + 7.0
            && june.evaporation_mm_day.unwrap() > 5.0 * january.evaporation_mm_day.unwrap()
    );
    assert!(january.frost_chance > 0.5 && june.frost_chance < 0.1);

    let open = plan.sow_chart("lettuce-leaf", Cover::Open);
    let tunnel = plan.sow_chart("lettuce-leaf", Cover::UnheatedTunnel);
    assert!(!open.is_empty() && tunnel.len() >= open.len());
    assert!(open.iter().all(|(sown, picked)| picked > sown));
    assert!(plan.sow_chart("no-such-crop", Cover::Open).is_empty());
}

#[test]
fn ground_frees_up_within_a_range_unless_its_day_is_given() {
    let plan = upland("lettuce-head", Raised::Module, day(2027, 5, 10), |_| {});
    let free = plan.free_up(0, day(2027, 6, 1));
    assert!(free.free_from_early < free.free_from && free.free_from < free.free_from_late, "{free:?}");
    assert!(!plan.spread(PlantingId(1)).unwrap().is_from_weather);
    let plan = upland("lettuce-head", Raised::Module, day(2027, 5, 10), |lettuce| {
        lettuce.planned.clear = Some(day(2027, 7, 20));
    });
    let free = plan.free_up(0, day(2027, 6, 1));
    assert_eq!((free.free_from_early, free.free_from_late), (free.free_from, free.free_from));
}
