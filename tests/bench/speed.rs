//! How fast the engines and the file are. Run with `cargo bench`; the table in DEVELOPERS.md is copied from here.
//!
//! Sizes are `beds × years`; four plantings a bed and year.

#![allow(clippy::expect_used)] // a bench that cannot begin had better stop

mod generator;
mod screens;

use std::process::{Command, Stdio};
use std::sync::{Arc, LazyLock};

use bedfellow::climate::{self, SoilTable};
use bedfellow::crops::{CropBook, Raised};
use bedfellow::garden::{Cover, Edit, Garden, PlannedDates, Planting, RealDates, SoilTexture};
use bedfellow::growth::Almanac;
use bedfellow::season::{Plan, Sitting};
use bedfellow::units::Mm;
use chrono::{Days, NaiveDate};
use divan::counter::ItemsCount;
use divan::{Bencher, black_box};

const DEMO: &str = include_str!("../../demo/walled-garden.ron");
const SEED: u64 = 54;

/// Beds and years: the demo's size, ten times that, and the garden of 40,000 plantings.
const SIZES: [(i32, i32); 3] = [(30, 1), (100, 3), (1000, 10)];

static BOOK: LazyLock<Arc<CropBook>> = LazyLock::new(|| Arc::new(CropBook::embedded().expect("the book loads")));

fn main() {
    divan::main();
}

fn generated((n_beds, n_years): (i32, i32)) -> Garden {
    generator::garden(&BOOK, n_beds, n_years, SEED)
}

fn demo() -> Garden {
    Garden::from_ron(DEMO, "demo/walled-garden.ron").expect("the demo loads")
}

#[divan::bench]
fn book_is_read() -> CropBook {
    CropBook::embedded().expect("the book loads")
}

/// Dates of 40,000 plantings over ten years at one site, its tables not yet made; the book's ways of raising and two covers by turns.
#[divan::bench(sample_count = 10)]
fn dates_of_40_000_plantings_are_worked_out(bencher: Bencher) {
    let start = NaiveDate::from_ymd_opt(2027, 1, 1).expect("a day");
    let climate = Arc::new(climate::of_site(&demo().site, None).expect("a climate"));
    // An almanac of its own each time: tables that others have made do not count.
    bencher.with_inputs(|| Almanac::new(&climate, None)).bench_refs(|almanac| {
        let crops = BOOK.crops();
        let mut n_days = 0;
        for n in 0..40_000_usize {
            let crop = &crops[n % crops.len()];
            let raised = crop.seed.raised[n % crop.seed.raised.len()];
            let on = start + Days::new((n as u64 * 37) % 3650);
            let planned = match raised {
                Raised::InPlace => PlannedDates { sow: Some(on), ..PlannedDates::default() },
                _ => PlannedDates { plant: Some(on), ..PlannedDates::default() },
            };
            let cover = if n % 5 == 0 { Cover::UnheatedTunnel } else { Cover::Open };
            let stages = almanac.growing(crop, raised, cover).stages(&planned, &RealDates::default()).expect("dates");
            n_days += (stages.clear - stages.enters).num_days();
        }
        n_days
    });
}

/// What growth and weather forbid the same plantings, their tables made before.
#[divan::bench(sample_count = 10)]
fn limits_of_40_000_plantings_are_found(bencher: Bencher) {
    let start = NaiveDate::from_ymd_opt(2027, 1, 1).expect("a day");
    let almanac = Almanac::of_site(&demo().site);
    bencher.bench(|| {
        let crops = BOOK.crops();
        let mut n_limits = 0;
        for n in 0..40_000_usize {
            let crop = &crops[n % crops.len()];
            let raised = crop.seed.raised[0];
            let on = start + Days::new((n as u64 * 37) % 3650);
            let planned = PlannedDates { plant: Some(on), ..PlannedDates::default() };
            let growing = almanac.growing(crop, raised, Cover::Open);
            let stages = growing.stages(&planned, &RealDates::default()).expect("dates");
            n_limits += growing.limits(&stages).len();
        }
        n_limits
    });
}

#[divan::bench]
fn demo_is_read() -> Garden {
    demo()
}

#[divan::bench]
fn demo_is_checked(bencher: Bencher) {
    bencher.with_inputs(demo).bench_values(|garden| Plan::new(garden, &BOOK));
}

#[divan::bench]
fn book_and_demo_are_read_and_checked() -> Plan {
    let book = Arc::new(CropBook::embedded().expect("the book loads"));
    Plan::new(demo(), &book)
}

/// A year of days from normals.
#[divan::bench]
fn day_table_is_made(bencher: Bencher) {
    let climate = bedfellow::climate::reference().expect("the climates load");
    bencher.bench(|| black_box(&climate).day_table(2027));
}

/// A year of soil temperatures at the depth of a seed bed.
#[divan::bench]
fn soil_table_is_made(bencher: Bencher) {
    let air = bedfellow::climate::reference().expect("the climates load").day_table(2027);
    bencher.bench(|| SoilTable::new(black_box(&air), 50.0, SoilTexture::Loam));
}

#[divan::bench(args = SIZES, sample_count = 10)]
fn file_is_read(bencher: Bencher, size: (i32, i32)) {
    let text = generated(size).to_ron();
    bencher.bench(|| Garden::from_ron(black_box(&text), "generated.ron"));
}

#[divan::bench(args = SIZES, sample_count = 10)]
fn file_is_written(bencher: Bencher, size: (i32, i32)) {
    let garden = generated(size);
    bencher.bench(|| black_box(&garden).to_ron());
}

#[divan::bench(args = SIZES, sample_count = 10)]
fn whole_garden_is_checked(bencher: Bencher, size: (i32, i32)) {
    let garden = generated(size);
    bencher.with_inputs(|| garden.clone()).bench_values(|garden| Plan::new(garden, &BOOK));
}

/// The whole command, from the file to the last word: reads, checks, and tells every finding to nobody.
#[divan::bench(args = SIZES, sample_count = 10)]
fn file_is_read_checked_and_told(bencher: Bencher, size: (i32, i32)) {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("generated.ron");
    std::fs::write(&file, generated(size).to_ron()).expect("the garden is written");
    bencher.bench(|| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_bedfellow"));
        command.arg("check").arg(&file).stdout(Stdio::null()).status().expect("the command runs")
    });
}

/// Shortens and lengthens one planting by turns, each a whole edit with its check.
#[divan::bench(args = SIZES)]
fn one_edit_is_made_and_checked(bencher: Bencher, size: (i32, i32)) {
    let plan = Plan::new(generated(size), &BOOK);
    let long = plan.garden().plantings[plan.garden().plantings.len() / 2].clone();
    let mut sitting = Sitting::new(plan);
    let short = Planting { to_mm: long.to_mm - Mm(600), ..long.clone() };
    let mut is_short = false;
    bencher.bench_local(move || {
        is_short = !is_short;
        let next = if is_short { short.clone() } else { long.clone() };
        sitting.apply(Edit::ChangePlanting(Box::new(next))).expect("the edit applies");
    });
}

/// Gardens one bed away from the demo, each with all its findings counted, as places are tried by the thousand: so many a second.
#[divan::bench]
fn demo_with_one_bed_changed_is_weighed(bencher: Bencher) {
    weigh(bencher, &Plan::new(demo(), &BOOK));
}

#[divan::bench(args = SIZES)]
fn garden_with_one_bed_changed_is_weighed(bencher: Bencher, size: (i32, i32)) {
    weigh(bencher, &Plan::new(generated(size), &BOOK));
}

/// One planting after the other 10 cm shorter, from all over the garden.
fn weigh(bencher: Bencher, plan: &Plan) {
    const N_CHANGES: usize = 100;
    let plantings = &plan.garden().plantings;
    let shorter = plantings.iter().step_by(plantings.len().div_ceil(N_CHANGES)).map(|planting| {
        Edit::ChangePlanting(Box::new(Planting { to_mm: planting.to_mm - Mm(100), ..planting.clone() }))
    });
    let changes: Vec<Edit> = shorter.filter(|edit| plan.with(edit.clone()).is_ok()).collect();
    let mut turns = changes.iter().cycle();
    // The garden that was weighed is let go as part of it.
    bencher
        .counter(ItemsCount::new(1_usize))
        .with_inputs(|| turns.next().expect("a change").clone())
        .bench_local_values(|edit| plan.with(edit).expect("the edit applies").n_findings());
}

#[divan::bench(args = SIZES)]
fn what_could_follow_is_ranked(bencher: Bencher, size: (i32, i32)) {
    let plan = Plan::new(generated(size), &BOOK);
    let day = chrono::NaiveDate::from_ymd_opt(generator::FIRST_YEAR, 7, 1).expect("a day");
    bencher.bench_local(|| plan.candidates(black_box(0), day));
}

/// What the placing form computes at each change of a value.
#[divan::bench(args = SIZES)]
fn one_planting_is_previewed(bencher: Bencher, size: (i32, i32)) {
    let plan = Plan::new(generated(size), &BOOK);
    let planting = plan.garden().plantings[plan.garden().plantings.len() / 2].clone();
    bencher.bench_local(|| plan.preview(black_box(&planting)));
}
