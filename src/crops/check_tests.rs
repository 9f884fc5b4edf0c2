//! Each field of a sound entry broken in turn, and what the complaint says.

use super::{families, follow_rules, hazards, plants, words_of_book};
use crate::crops::names::Words;
use crate::crops::{
    Anchor, Asks, BedYears, Bolting, Crop, CropBook, Exempt, Family, FamilyName, FollowRule, Hazard, KnownPlant,
    Months, Raised, Response,
};
use crate::units::Mm;

fn shortest(warmth_rate: f64, light_rate: f64, light_weight: f64, source: &str) -> Response {
    Response::Shortest { warmth_rate, light_rate, light_weight, source: source.into() }
}

/// What breaks an entry, and what is then said.
type Case<T> = (fn(&mut T), &'static str);

fn book() -> CropBook {
    CropBook::embedded().unwrap()
}

/// What is said of a sound sweetcorn after `spoil` has had its way with it.
fn complaint(spoil: fn(&mut Crop)) -> String {
    let book = book();
    let mut crop = book.crop("sweetcorn").unwrap().clone();
    spoil(&mut crop);
    super::crops("crops.ron", &[crop], &book.family_idx_by_id).unwrap_err().to_string()
}

#[test]
fn every_field_of_a_crop_that_does_not_hold_is_named() {
    let cases: &[Case<Crop>] = &[
        (|c| c.id = "Sweet corn".into(), "crops.ron: Sweet corn: id: `Sweet corn` may hold only small letters"),
        (|c| c.id = String::new(), "crops.ron: entry 1: id: is empty"),
        (|c| c.id = "x".repeat(61), ": id: is longer than 60 letters"),
        (|c| c.name = " ".into(), "crops.ron: sweetcorn: name: is empty"),
        (|c| c.name = "Corn\u{1b}[31m".into(), "sweetcorn: name: holds a control character"),
        (|c| c.name = "x".repeat(10_000), "sweetcorn: name: takes 10000 cells, at most 60 are shown"),
        (|c| c.short_name = "fifteen letters".into(), "sweetcorn: short_name: takes 15 cells, at most 14 are shown"),
        (|c| c.other_names.push(String::new()), "sweetcorn: other_names: is empty"),
        (|c| c.latin = String::new(), "sweetcorn: latin: is empty"),
        (|c| c.family = "cornaceae".into(), "sweetcorn: family: `cornaceae` is no family of families.ron"),
        (|c| c.groups.push(String::new()), "sweetcorn: groups: is empty"),
        (|c| c.known_as = Some("Maize".into()), "sweetcorn: known_as: `Maize` may hold only small letters"),
        (
            |c| c.bed_years = Some(BedYears { most: 3, source: "own".into() }),
            "sweetcorn: bed_years: is only for a crop that is_permanent",
        ),
        (
            |c| {
                c.is_permanent = true;
                c.bed_years = Some(BedYears { most: 0, source: "own".into() });
            },
            "sweetcorn: bed_years.most: is 0, must be between 1 and 100",
        ),
        (
            |c| {
                c.is_permanent = true;
                c.bed_years = Some(BedYears { most: 3, source: String::new() });
            },
            "sweetcorn: bed_years.source: is empty",
        ),
        (|c| c.emergence.as_mut().unwrap().source = String::new(), "sweetcorn: emergence.source: is empty"),
        (|c| c.response = shortest(0.0, 2.8, 0.2, "own"), "sweetcorn: response.warmth_rate: is 0, must be above 0"),
        (|c| c.response = shortest(2.5, f64::INFINITY, 0.2, "own"), "response.light_rate: is not a number"),
        (|c| c.response = shortest(2.5, 2.8, -0.1, "own"), "response.light_weight: is -0.1, must be between 0 and 100"),
        (|c| c.response = shortest(2.5, 2.8, 0.2, " "), "sweetcorn: response.source: is empty"),
        (|c| c.spacing.equidistant_mm = Some(Mm(0)), "sweetcorn: spacing.equidistant_mm: is 0 mm, must be above 0"),
        (|c| c.spacing.row_mm = Some(Mm(-300)), "sweetcorn: spacing.row_mm: is -300 mm, must be above 0"),
        (|c| c.spacing.in_row_mm = Some(Mm(30_000)), "spacing.in_row_mm: is 30000 mm, must be at most 20000 mm"),
        (|c| c.spacing.clump = 0, "sweetcorn: spacing.clump: is 0, must be between 1 and 1000"),
        (|c| c.spacing.row_clump = 0, "sweetcorn: spacing.row_clump: is 0"),
        (|c| c.spacing.sow_g_per_m2 = Some(f64::NAN), "sweetcorn: spacing.sow_g_per_m2: is not a number"),
        (
            |c| {
                c.spacing.equidistant_mm = None;
                c.spacing.row_mm = None;
            },
            "sweetcorn: spacing: says no way to set it out",
        ),
        (|c| c.spacing.source = String::new(), "sweetcorn: spacing.source: is empty"),
        (|c| c.seed.raised.clear(), "sweetcorn: seed.raised: names no way of raising it"),
        (|c| c.seed.raised = vec![Raised::Set, Raised::Set], "sweetcorn: seed.raised: names a way twice"),
        (|c| c.seed.depth_mm = Mm(-1), "sweetcorn: seed.depth_mm: is -1 mm"),
        (|c| c.seed.per_g = Some(0.0), "sweetcorn: seed.per_g: is 0, must be above 0"),
        (|c| c.seed.germination_pct = 0.0, "sweetcorn: seed.germination_pct: is 0, must be between 1 and 100 per cent"),
        (|c| c.seed.germination_pct = 101.0, "sweetcorn: seed.germination_pct: is 101"),
        (|c| c.seed.weeks_in_module = Some(0), "sweetcorn: seed.weeks_in_module: is 0"),
        (|c| c.seed.source = String::new(), "sweetcorn: seed.source: is empty"),
        (|c| c.calendar.sow_indoor = Some(Months { from: 0, to: 3 }), "calendar.sow_indoor: month 0 is not 1 to 12"),
        (|c| c.calendar.sow_outdoor = Some(Months { from: 3, to: 13 }), "calendar.sow_outdoor: month 13 is not 1"),
        (
            |c| c.calendar.plant_out = Some(Months { from: 6, to: 5 }),
            "calendar.plant_out: 6 to 5 runs backwards round the whole year; write 1 to 12 if that is meant",
        ),
        (|c| c.calendar.harvest = Months { from: u32::MAX, to: u32::MAX }, "calendar.harvest: month 4294967295"),
        (|c| c.calendar.days_from_sow = Some(0), "sweetcorn: calendar.days_from_sow: is 0"),
        (|c| c.calendar.days_from_planting = Some(40_000), "sweetcorn: calendar.days_from_planting: is 40000"),
        (
            |c| {
                c.calendar.days_from_sow = None;
                c.calendar.days_from_planting = None;
            },
            "sweetcorn: calendar: says neither days_from_sow nor days_from_planting",
        ),
        (
            |c| c.seed.raised = vec![Raised::InPlace],
            "sweetcorn: calendar.sow_indoor: is for a crop that is raised in modules",
        ),
        (
            |c| {
                c.calendar.sow_indoor = Some(Months { from: 3, to: 4 });
                c.seed.weeks_in_module = Some(10);
                c.calendar.plant_out = Some(Months { from: 3, to: 4 });
            },
            "calendar.plant_out: is no month that a sowing of months 3 to 4 reaches in 10 weeks",
        ),
        (
            |c| c.calendar.days_hold = Some(Months { from: 9, to: 10 }),
            "sweetcorn: calendar.days_hold: is no part of the months in which it goes in",
        ),
        (|c| c.calendar.harvest_weeks = 0.0, "sweetcorn: calendar.harvest_weeks: is 0, must be above 0"),
        (|c| c.calendar.harvest_weeks = f64::INFINITY, "sweetcorn: calendar.harvest_weeks: is not a number"),
        (|c| c.calendar.source = String::new(), "sweetcorn: calendar.source: is empty"),
        (
            |c| c.temperature.growth_min_c = Some(c.temperature.base_c - 1.0),
            "sweetcorn: temperature: runs backwards: base_c",
        ),
        (|c| c.stages.as_mut().unwrap().mid_days = -1.0, "sweetcorn: stages.mid_days: is -1"),
        (
            |c| {
                let stages = c.stages.as_mut().unwrap();
                (stages.initial_days, stages.development_days) = (0.0, 0.0);
                (stages.mid_days, stages.late_days) = (0.0, 0.0);
            },
            "sweetcorn: stages: add up to nothing",
        ),
        (|c| c.stages.as_mut().unwrap().source = String::new(), "sweetcorn: stages.source: is empty"),
        (|c| c.temperature.base_c = f64::NAN, "sweetcorn: temperature.base_c: is not a number"),
        (|c| c.temperature.hardiness_c = -400.0, "sweetcorn: temperature.hardiness_c: is -400"),
        (
            |c| c.temperature.optimum_low_c = 35.0,
            "sweetcorn: temperature: runs backwards: optimum_low_c 35 is above optimum_c",
        ),
        (|c| c.temperature.optimum_high_c = 5.0, "sweetcorn: temperature: runs backwards: optimum_c"),
        (|c| c.temperature.base_c = 50.0, "sweetcorn: temperature: runs backwards: base_c 50 is above optimum_high_c"),
        (
            |c| (c.temperature.growth_min_c, c.temperature.growth_max_c) = (Some(30.0), Some(10.0)),
            "sweetcorn: temperature: runs backwards: growth_min_c 30 is above growth_max_c 10",
        ),
        (|c| c.temperature.source = String::new(), "sweetcorn: temperature.source: is empty"),
        (|c| c.size.height_mm = Mm(0), "sweetcorn: size.height_mm: is 0 mm, must be above 0"),
        (|c| c.size.root_mm = Mm(-1), "sweetcorn: size.root_mm: is -1 mm, must be above 0"),
        (|c| c.size.source = String::new(), "sweetcorn: size.source: is empty"),
        (|c| c.yields.low_kg_per_m2 = -1.0, "sweetcorn: yields.low_kg_per_m2: is -1"),
        (|c| c.yields.low_kg_per_m2 = 99.0, "sweetcorn: yields: runs backwards: low 99 is above typical"),
        (|c| c.yields.high_kg_per_m2 = f64::NAN, "sweetcorn: yields: is not a number"),
        (|c| c.yields.source = String::new(), "sweetcorn: yields.source: is empty"),
        (|c| c.keeping.weeks = Some(0.0), "sweetcorn: keeping.weeks: is 0, must be above 0"),
        (|c| c.keeping.source = String::new(), "sweetcorn: keeping.source: is empty"),
        (|c| c.feeding_source = String::new(), "sweetcorn: feeding_source: is empty"),
        (|c| c.caution = Some(String::new()), "sweetcorn: caution: is empty"),
        (
            |c| c.timing.anchor = Some(Anchor::LongDays { hours: 25.0 }),
            "sweetcorn: timing.anchor.hours: is 25, must be between 0 and 24 hours",
        ),
        (
            |c| c.timing.bolting = vec![Bolting::Cold { below_c: f64::NAN, n_days: 3 }],
            "sweetcorn: timing.bolting.below_c: is not a number",
        ),
        (
            |c| c.timing.bolting = vec![Bolting::TooForward { growth_days: 0.0 }],
            "sweetcorn: timing.bolting.growth_days: is 0, must be above 0",
        ),
        (|c| c.timing.under_cover = true, "sweetcorn: timing.source: is empty"),
    ];
    for &(spoil, says) in cases {
        let said = complaint(spoil);
        assert!(said.contains(says), "`{said}` does not say `{says}`");
    }
}

#[test]
fn a_window_may_wrap_round_the_year_or_be_one_month_or_all_of_it() {
    let book = book();
    for (from, to) in [(9, 4), (12, 1), (5, 5), (1, 12), (11, 3)] {
        let mut crop = book.crop("leek").unwrap().clone();
        crop.calendar.harvest = Months { from, to };
        assert_eq!(super::crops("crops.ron", &[crop], &book.family_idx_by_id), Ok(()), "{from} to {to}");
    }
}

#[test]
fn every_field_of_a_family_that_does_not_hold_is_named() {
    let cases: &[Case<Family>] = &[
        (|f| f.id = "Brassicas".into(), "id: `Brassicas` may hold only small letters"),
        (|f| f.botanical = String::new(), "botanical: is empty"),
        (|f| f.common = String::new(), "common: is empty"),
        (|f| f.return_min_years = 0, "return_min_years: is 0"),
        (|f| f.return_min_years = 9, "return years: runs backwards: return_min_years 9 is above return_usual_years 4"),
        (|f| f.return_max_years = Some(3), "return years: runs backwards: return_usual_years 4 is above"),
        (|f| f.named = FamilyName::Crop, "brassicaceae: named: must say Family where the first common name does"),
        (|f| f.exempt = Exempt::Partly, "brassicaceae: exempt_basis: must say why the family is exempt"),
        (
            |f| f.exempt_basis = "small".into(),
            "exempt_basis: must say why the family is exempt, and nothing if it is not",
        ),
        (
            |f| f.exempt_crops.push("radish".into()),
            "brassicaceae: exempt_crops: must name the crops of a family exempt in part, and none of another",
        ),
        (|f| f.after_lime.as_mut().unwrap().within_years = 0, "after_lime.within_years: is 0"),
        (|f| f.after_lime.as_mut().unwrap().source.clear(), "brassicaceae: after_lime.source: is empty"),
        (|f| f.source = String::new(), "source: is empty"),
    ];
    for &(spoil, says) in cases {
        let mut family = book().family("brassicaceae").unwrap().clone();
        spoil(&mut family);
        let said = families("families.ron", &[family]).unwrap_err().to_string();
        assert!(said.starts_with("families.ron: ") && said.contains(says), "`{said}` does not say `{says}`");
    }
    let family = book().family("brassicaceae").unwrap().clone();
    let said = families("families.ron", &[family.clone(), family]).unwrap_err().to_string();
    assert_eq!(said, "families.ron: brassicaceae: id: is there twice");
}

#[test]
fn every_field_of_a_hazard_that_does_not_hold_is_named() {
    let cases: &[Case<Hazard>] = &[
        (|h| h.id = "Club root".into(), "id: `Club root` may hold only small letters"),
        (|h| h.name = String::new(), "clubroot: name: is empty"),
        (|h| h.cause = String::new(), "clubroot: cause: is empty"),
        (|h| h.examples_of.push("Poaceae".into()), "examples_of: `Poaceae` is not among the host families"),
        (|h| h.host_families.push("Cabbageaceae".into()), "host_families: `Cabbageaceae` is no family"),
        (|h| h.host_crops.push(String::new()), "clubroot: host_crops: is empty"),
        (
            |h| {
                h.host_crops.clear();
                h.host_families.clear();
                h.examples_of.clear();
            },
            "clubroot: host_crops: names no host",
        ),
        (|h| h.host_green_manures.push(String::new()), "clubroot: host_green_manures: is empty"),
        (|h| h.persistence_years = (15.0, 7.0, 20.0), "persistence_years: runs backwards: low 15 is above usual 7"),
        (|h| h.persistence_years = (7.0, 15.0, f64::NAN), "persistence_years: is not a number"),
        (|h| h.persistence_years.0 = -1.0, "persistence_years: is -1"),
        (|h| h.break_years = (7.0, 5.0), "break_years: runs backwards: least 7 is above usual 5"),
        (|h| h.asks = Asks::LessRisk { basis: " ".into() }, "clubroot: asks.basis: is empty"),
        (|h| h.source = String::new(), "clubroot: source: is empty"),
    ];
    let book = book();
    for &(spoil, says) in cases {
        let mut hazard = book.hazards()[0].clone();
        spoil(&mut hazard);
        let said = hazards("hazards.ron", &[hazard], book.families()).unwrap_err().to_string();
        assert!(said.starts_with("hazards.ron: ") && said.contains(says), "`{said}` does not say `{says}`");
    }
}

#[test]
fn every_field_of_a_follow_rule_that_does_not_hold_is_named() {
    let cases: &[Case<FollowRule>] = &[
        (|r| r.before = "Beanaceae".into(), "F01: before: `Beanaceae` is no family of families.ron"),
        (|r| r.after = "Cabbageaceae".into(), "F01: after: `Cabbageaceae` is no family of families.ron"),
        (|r| r.within_years = 0.0, "F01: within_years: is 0, must be above 0"),
        (|r| r.within_years = f64::NAN, "F01: within_years: is not a number"),
        (|r| r.reason = String::new(), "F01: reason: is empty"),
        (|r| r.needs_seen.push("club_root".into()), "F01: needs_seen: `club_root` is no hazard of hazards.ron"),
        (|r| r.conflicts_with.push("F99".into()), "F01: conflicts_with: `F99` is no rule"),
        (|r| r.source = String::new(), "F01: source: is empty"),
    ];
    let book = book();
    for &(spoil, says) in cases {
        let mut rule = book.follow_rules()[0].clone();
        spoil(&mut rule);
        let said = follow_rules("follow_rules.ron", &[rule], book.families(), book.hazards()).unwrap_err().to_string();
        assert!(said.contains(says), "`{said}` does not say `{says}`");
    }
    assert_eq!(
        super::rule_id("follow_rules.ron", "F01", false).unwrap_err().to_string(),
        "follow_rules.ron: F01: id: is there twice"
    );
}

#[test]
fn every_field_of_a_known_plant_that_does_not_hold_is_named() {
    let cases: &[Case<KnownPlant>] = &[
        (|p| p.id = "Wheat".into(), "id: `Wheat` may hold only small letters"),
        (|p| p.id = "leek".into(), "leek: id: is the id of a crop"),
        (|p| p.name = String::new(), "name: is empty"),
        (|p| p.other_names.push(String::new()), "other_names: is empty"),
        (|p| p.latin = String::new(), "latin: is empty"),
        (|p| p.family = "wheataceae".into(), "family: `wheataceae` is no family of families.ron"),
        (|p| p.groups.push(String::new()), "groups: is empty"),
        (|p| p.source = String::new(), "source: is empty"),
    ];
    let book = book();
    for &(spoil, says) in cases {
        let mut plant = book.plants()[0].clone();
        spoil(&mut plant);
        let said =
            plants("plants.ron", &[plant], &book.family_idx_by_id, &book.crop_idx_by_id).unwrap_err().to_string();
        assert!(said.starts_with("plants.ron: ") && said.contains(says), "`{said}` does not say `{says}`");
    }
}

#[test]
fn every_word_that_means_nothing_is_named() {
    let cases: &[Case<Words>] = &[
        (|w| w.usual.source.clear(), "names.ron: usual: source: is empty"),
        (
            |w| drop(w.usual.meanings.insert("corn".into(), "triffid".into())),
            "names.ron: corn: usual: `triffid` is no crop and no plant",
        ),
        (
            |w| drop(w.old_families.meanings.insert("cruciferae".into(), "Cabbageaceae".into())),
            "names.ron: cruciferae: old_families: `Cabbageaceae` is no botanical family of families.ron",
        ),
        (|w| w.fallow.source.clear(), "names.ron: fallow: source: is empty"),
        (|w| w.fallow.words.push("Bare-fallow".into()), "names.ron: Bare-fallow: fallow: is not in small letters"),
        (|w| w.common_families.names[0].family.clear(), "common_families: `` is no botanical family"),
        (
            |w| {
                let twice = w.common_families.names[0].clone();
                w.common_families.names.push(twice);
            },
            "names.ron: allium: id: is there twice",
        ),
    ];
    let book = book();
    for &(spoil, says) in cases {
        let mut words = book.words.clone();
        spoil(&mut words);
        let said = words_of_book("names.ron", &words, &book).unwrap_err().to_string();
        assert!(said.contains(says), "`{said}` does not say `{says}`");
    }
}
