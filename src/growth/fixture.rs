//! A few crops for tests, so that engine tests do not move when the book does.
//! Figures as in the book: spacings and days are judgement and memory of growers' books, common practice.

use chrono::NaiveDate;

use crate::crops::{
    BedYears, Calendar, Crop, Feeding, HarvestHabit, Keeping, Life, Months, Raised, Response, Seed, Size, Spacing,
    Temperature, Timing, Yield,
};
use crate::units::Mm;

pub(crate) fn day(iso: &str) -> NaiveDate {
    iso.parse().unwrap()
}

/// What distinguishes one fixture from another.
struct Figures {
    id: &'static str,
    equidistant_cm: i32,
    rows_cm: (i32, i32),
    clump: u32,
    raised: &'static [Raised],
    weeks_in_module: Option<u32>,
    sow_indoor: Option<(u32, u32)>,
    sow_outdoor: Option<(u32, u32)>,
    plant_out: Option<(u32, u32)>,
    harvest: (u32, u32),
    days: (Option<u32>, Option<u32>),
    weeks: f64,
    habit: HarvestHabit,
}

fn crop(figures: &Figures) -> Crop {
    let months = |pair: Option<(u32, u32)>| pair.map(|(from, to)| Months { from, to });
    let distance = |cm: i32| (cm > 0).then(|| Mm::from_cm(cm));
    let source = "common practice, no published source".to_owned();
    Crop {
        id: figures.id.to_owned(),
        name: figures.id.to_owned(),
        short_name: figures.id.to_owned(),
        other_names: vec![],
        latin: String::new(),
        family: String::new(),
        groups: vec![],
        known_as: None,
        life: Life::Annual,
        is_permanent: false,
        bed_years: None,
        spacing: Spacing {
            equidistant_mm: distance(figures.equidistant_cm),
            clump: figures.clump,
            row_mm: distance(figures.rows_cm.0),
            in_row_mm: distance(figures.rows_cm.1),
            row_clump: 1,
            sow_g_per_m2: None,
            source: source.clone(),
        },
        seed: Seed {
            raised: figures.raised.to_vec(),
            depth_mm: Mm(10),
            per_g: Some(360.0),
            germination_pct: 80.0,
            weeks_in_module: figures.weeks_in_module,
            source: source.clone(),
        },
        emergence: None,
        roots: None,
        calendar: Calendar {
            sow_indoor: months(figures.sow_indoor),
            sow_outdoor: months(figures.sow_outdoor),
            plant_out: months(figures.plant_out),
            harvest: Months { from: figures.harvest.0, to: figures.harvest.1 },
            days_from_sow: figures.days.0,
            days_from_planting: figures.days.1,
            days_hold: None,
            harvest_weeks: figures.weeks,
            habit: figures.habit,
            bolting_note: String::new(),
            source: source.clone(),
        },
        stages: None,
        temperature: Temperature {
            base_c: 5.0,
            optimum_c: 18.0,
            optimum_low_c: 13.0,
            optimum_high_c: 24.0,
            growth_min_c: None,
            growth_max_c: None,
            hardiness_c: -5.0,
            source: source.clone(),
        },
        development: None,
        response: Response::default(),
        size: Size { height_mm: Mm::from_cm(40), root_mm: Mm::from_cm(40), source: source.clone() },
        yields: Yield { low_kg_per_m2: 1.0, typical_kg_per_m2: 2.0, high_kg_per_m2: 3.0, source: source.clone() },
        keeping: Keeping { weeks: None, conditions: String::new(), source: source.clone() },
        feeding: Feeding::Medium,
        feeding_source: source,
        caution: None,
        caution_source: String::new(),
        timing: Timing::default(),
    }
}

pub(crate) fn leek() -> Crop {
    crop(&Figures {
        id: "leek",
        equidistant_cm: 25,
        rows_cm: (30, 15),
        clump: 4,
        raised: &[Raised::Module, Raised::InPlace],
        weeks_in_module: Some(10),
        sow_indoor: Some((2, 4)),
        sow_outdoor: Some((3, 4)),
        plant_out: Some((4, 7)),
        harvest: (9, 4),
        days: (Some(165), Some(95)),
        weeks: 28.0,
        habit: HarvestHabit::Standing,
    })
}

pub(crate) fn salad_onion() -> Crop {
    crop(&Figures {
        id: "salad-onion",
        equidistant_cm: 20,
        rows_cm: (15, 2),
        clump: 10,
        raised: &[Raised::InPlace, Raised::Module],
        weeks_in_module: Some(6),
        sow_indoor: Some((2, 8)),
        sow_outdoor: Some((3, 8)),
        plant_out: Some((3, 9)),
        harvest: (5, 10),
        days: (Some(75), Some(35)),
        weeks: 5.0,
        habit: HarvestHabit::Once,
    })
}

pub(crate) fn lettuce() -> Crop {
    crop(&Figures {
        id: "lettuce-head",
        equidistant_cm: 30,
        rows_cm: (30, 28),
        clump: 1,
        raised: &[Raised::Module, Raised::InPlace],
        weeks_in_module: Some(4),
        sow_indoor: Some((2, 7)),
        sow_outdoor: Some((3, 7)),
        plant_out: None,
        harvest: (5, 10),
        days: (Some(73), Some(45)),
        weeks: 2.0,
        habit: HarvestHabit::Once,
    })
}

pub(crate) fn courgette() -> Crop {
    crop(&Figures {
        id: "courgette",
        equidistant_cm: 90,
        rows_cm: (90, 90),
        clump: 1,
        raised: &[Raised::Module, Raised::InPlace],
        weeks_in_module: Some(4),
        sow_indoor: Some((4, 5)),
        sow_outdoor: Some((5, 6)),
        plant_out: Some((5, 6)),
        harvest: (7, 10),
        days: (Some(73), Some(45)),
        weeks: 12.0,
        habit: HarvestHabit::PickedOver,
    })
}

pub(crate) fn garlic() -> Crop {
    crop(&Figures {
        id: "garlic",
        equidistant_cm: 15,
        rows_cm: (30, 15),
        clump: 1,
        raised: &[Raised::Set],
        weeks_in_module: None,
        sow_indoor: None,
        sow_outdoor: None,
        plant_out: Some((10, 2)),
        harvest: (6, 7),
        days: (None, Some(245)),
        weeks: 3.0,
        habit: HarvestHabit::Storage,
    })
}

pub(crate) fn phacelia() -> Crop {
    crop(&Figures {
        id: "phacelia",
        equidistant_cm: 0,
        rows_cm: (0, 0),
        clump: 1,
        raised: &[Raised::InPlace],
        weeks_in_module: None,
        sow_indoor: None,
        sow_outdoor: Some((3, 9)),
        plant_out: None,
        harvest: (6, 11),
        days: (Some(60), None),
        weeks: 4.0,
        habit: HarvestHabit::Once,
    })
}

pub(crate) fn strawberry() -> Crop {
    let mut strawberry = crop(&Figures {
        id: "strawberry",
        equidistant_cm: 45,
        rows_cm: (60, 40),
        clump: 1,
        raised: &[Raised::Crown],
        weeks_in_module: None,
        sow_indoor: None,
        sow_outdoor: None,
        plant_out: Some((7, 9)),
        harvest: (6, 7),
        days: (None, Some(300)),
        weeks: 4.0,
        habit: HarvestHabit::PickedOver,
    });
    strawberry.is_permanent = true;
    strawberry.bed_years = Some(BedYears { most: 3, source: "common practice, no published source".to_owned() });
    strawberry
}
