//! Damaged texts of every kind that is read: an answer or a message, never a panic, in bounded time and memory.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::{Arc, LazyLock};
use std::time::{Duration, Instant};

use bedfellow::climate::Weather;
use bedfellow::crops::{Crop, CropBook};
use bedfellow::garden::{Garden, How, Record, replay};
use bedfellow::season::Plan;
use bedfellow::store::{Access, Kept, Opened, Stamp};
use bedfellow::units::Mm;
use bedfellow::words::explain;

use crate::damage::damaged;
use crate::dice::Dice;
use crate::draw::{self, BEGINNING};
use crate::faulty::FaultyDisk;
use crate::size;
use crate::usage::Used;

/// What a whole reading campaign may add to the memory the process needs, at its worst moment.
const MOST_MEMORY_MB: u64 = 512;

/// What one text may take in an optimised build.
const MOST_TIME: Duration = Duration::from_secs(1);

static BOOK: LazyLock<Arc<CropBook>> = LazyLock::new(|| Arc::new(CropBook::embedded().unwrap()));

/// Words that garden files, crops and messages know.
const WORDS: [&str; 49] = [
    "format",
    "name",
    "site",
    "beds",
    "plantings",
    "id",
    "bed",
    "crop",
    "from_mm",
    "to_mm",
    "layout",
    "Grid",
    "Offset",
    "Rows",
    "Drill",
    "Edge",
    "Between",
    "Broadcast",
    "host",
    "spacing_mm",
    "clump",
    "raised",
    "Module",
    "Direct",
    "InPlace",
    "planned",
    "plant",
    "clear",
    "real",
    "happened",
    "past",
    "hazards_seen",
    "soil_log",
    "accepted",
    "kept_quiet",
    "own_crops",
    "climate",
    "Normals",
    "Weather",
    "Some",
    "None",
    "true",
    "Whole",
    "Left",
    "2027-02-29",
    "1900-01-01",
    "//",
    "/*",
    "r#\"",
];

/// What one text came to.
enum Outcome {
    Taken,
    Refused,
}

/// Reads damaged texts one after the other and says what came of it. Each text depends on the seed and its number alone.
fn campaign(what: &str, (short, long): (u64, u64), samples: &[String], words: &[&str], read: impl Fn(&str) -> Outcome) {
    assert!(!samples.is_empty() && samples.iter().all(|sample| !sample.is_empty()));
    let seed = size::seed();
    println!("{what}: seed {seed}");
    LazyLock::force(&BOOK);
    let memory = Memory::begin();
    let (mut n_taken, mut n_refused, mut n_bytes) = (0_u64, 0_u64, 0);
    let (mut slowest, mut slowest_number) = (Duration::ZERO, 0);
    let mut failed = Vec::new();
    let trials = size::trials(short, long);
    let tenth = (trials.end / 10).max(1);
    for number in trials.clone() {
        let mut dice = Dice::of(seed, number);
        let sample = dice.one(samples);
        let text = damaged(&mut dice, sample, samples, words);
        n_bytes += text.len();
        if size::only().is_some() {
            std::fs::write(size::left_behind(&format!("{what}-{number}")), &text).unwrap();
        }
        let begun = Instant::now();
        match catch_unwind(AssertUnwindSafe(|| read(&text))) {
            Ok(Outcome::Taken) => n_taken += 1,
            Ok(Outcome::Refused) => n_refused += 1,
            Err(_) => {
                let path = size::left_behind(&format!("{what}-{number}"));
                std::fs::write(&path, &text).unwrap();
                failed.push(format!("{number} (left in {})", path.display()));
                assert!(failed.len() < 10, "{what}, seed {seed}: texts {}", failed.join(", "));
            }
        }
        let taken = begun.elapsed();
        if taken > slowest {
            (slowest, slowest_number) = (taken, number);
        }
        if number % tenth == tenth - 1 && size::is_long() {
            size::say(&format!("{what}: {} of {} texts", number + 1, trials.end));
        }
    }
    let n = n_taken + n_refused;
    let memory_mb = memory.most_added_mb();
    size::say(&format!(
        "{what}: {n} texts of {} bytes on average, {n_taken} taken, {n_refused} refused, slowest {} ms (number {slowest_number}), {} MB more memory at most; seed {seed}",
        n_bytes as u64 / n.max(1),
        slowest.as_millis(),
        memory_mb.map_or("unknown".to_owned(), |mb| mb.to_string()),
    ));
    assert!(failed.is_empty(), "{what}, seed {seed}: texts {}", failed.join(", "));
    assert!(memory_mb.is_none_or(|mb| mb < MOST_MEMORY_MB), "{what}: {memory_mb:?} MB");
    if size::only().is_none() {
        assert!(n_taken > 0 && n_refused > n / 20, "{what}: {n_taken} taken, {n_refused} refused: too one-sided");
    }
    // Tests are not timed; the long form is no test but a measurement.
    if size::is_long() && !cfg!(debug_assertions) {
        assert!(slowest < MOST_TIME, "{what}: text {slowest_number} of seed {seed} takes {} ms", slowest.as_millis());
    }
}

/// The memory that the process has needed, where the system tells.
struct Memory(Option<u64>);

impl Memory {
    fn begin() -> Self {
        // Sets the peak back to what is needed now (Linux, proc(5)).
        let _ = std::fs::write("/proc/self/clear_refs", "5");
        Self(Used::by_this_process().peak_kb)
    }

    fn most_added_mb(&self) -> Option<u64> {
        Some(Used::by_this_process().peak_kb?.saturating_sub(self.0?) / 1024)
    }
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The texts of the files of a folder, those that are text.
fn texts_in(folder: &str) -> Vec<String> {
    let mut paths: Vec<_> =
        std::fs::read_dir(root().join(folder)).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let texts = paths.iter().filter_map(|path| std::fs::read_to_string(path).ok());
    texts.filter(|text| !text.is_empty()).collect()
}

#[test]
fn garden_files() {
    let mut samples = texts_in("tests/samples/valid");
    // The whole ones thrice: what is broken already breaks early, and says little of what comes after reading.
    samples = [samples.as_slice(), &samples, &samples, &texts_in("tests/samples/broken")].concat();
    samples.push(std::fs::read_to_string(root().join("demo/walled-garden.ron")).unwrap());
    campaign("garden-file", (400, 400_000), &samples, &WORDS, |text| match Garden::from_ron(text, "chance.ron") {
        Err(error) => {
            let message = error.to_string();
            assert!(message.contains("chance.ron"), "{message}");
            assert!(!message.chars().any(|sign| sign.is_control() && sign != '\n'), "{message:?}");
            assert!(message.len() < 20_000, "a message, not a book");
            Outcome::Refused
        }
        Ok(garden) => {
            let written = garden.to_ron();
            let again = Garden::from_ron(&written, "again.ron").unwrap();
            assert_eq!(again.to_ron(), written);
            let plan = Plan::new(garden, &BOOK);
            for finding in plan.findings() {
                assert!(!explain(&plan, finding, &plan.explained(finding)).headline.is_empty());
            }
            Outcome::Taken
        }
    });
}

#[test]
fn crops_of_a_book() {
    let crops: Vec<Crop> = ron::from_str(&std::fs::read_to_string(root().join("assets/crops.ron")).unwrap()).unwrap();
    let pretty = ron::ser::PrettyConfig::new();
    let written = |crops: &[Crop]| ron::ser::to_string_pretty(crops, pretty.clone()).unwrap();
    let samples: Vec<String> = crops.chunks(1).chain(crops.chunks(5)).map(written).collect();
    let sound = BOOK.with_own_crops(&crops);
    assert!(sound.is_ok(), "the book's crops hold together");
    campaign("crop-book", (400, 200_000), &samples, &WORDS, |text| {
        let Ok(crops) = ron::from_str::<Vec<Crop>>(text) else { return Outcome::Refused };
        match BOOK.with_own_crops(&crops) {
            Err(error) => {
                assert!(!error.to_string().is_empty());
                Outcome::Refused
            }
            Ok(book) => {
                for crop in &crops {
                    assert!(book.find(&crop.id).is_some());
                }
                Outcome::Taken
            }
        }
    });
}

#[test]
fn weather_files() {
    let words = [
        "date",
        "tmin",
        "tmax",
        "rain",
        "Tmin (F)",
        "tmax_f",
        "mintemp",
        "day",
        "NA",
        "-",
        "trace",
        "T",
        "12,5",
        ";",
        "\t",
        "2027-02-29",
        "29/02/2027",
        "20270301",
        "1900-01-01",
        "2200-12-31",
        "9999-12-31",
        "#",
        "\"",
        "\"\"",
    ];
    let mut samples = texts_in("tests/campaigns/seeds/weather");
    samples.push(three_years_of_weather());
    campaign("weather-file", (1_000, 400_000), &samples, &words, |text| match Weather::parse(text) {
        Err(error) => {
            assert!(!error.to_string().chars().any(char::is_control), "{error}");
            Outcome::Refused
        }
        Ok(read) => {
            assert!(!read.weather.days().is_empty());
            assert!(read.weather.days().iter().all(|day| day.tmin_c.is_finite() && day.tmax_c.is_finite()));
            let _ = read.weather.normals();
            let _ = read.weather.day_tables(54.0);
            Outcome::Taken
        }
    });
}

/// Days of a made-up weather with every month of three years.
fn three_years_of_weather() -> String {
    let first = chrono::NaiveDate::from_ymd_opt(2023, 1, 1).unwrap();
    let mut text = String::from("date,tmin,tmax,rain\n");
    for (n, day) in first.iter_days().take(3 * 365 + 1).enumerate() {
        let tenths = (n * 7919) % 90;
        text.push_str(&format!("{day},{}.{},{}.5,{}\n", tenths / 10, tenths % 10, 10 + tenths / 9, n % 4));
    }
    text
}

#[test]
fn arguments_of_the_desk_calculator() {
    let words = [
        "plants",
        "rotation",
        "family",
        "fit",
        "share",
        "dates",
        "daylight",
        "radiation",
        "evaporation",
        "heat",
        "emergence",
        "--bed",
        "--layout",
        "--spacing",
        "--row",
        "--in-row",
        "--per-metre",
        "--per-m2",
        "--sides",
        "--clump",
        "--setback",
        "--cycle",
        "--return",
        "--hazard",
        "--stands",
        "--joins",
        "--alone",
        "--together",
        "--sow",
        "--plant",
        "--climate",
        "--latitude",
        "--cover",
        "--date",
        "--tmin",
        "--tmax",
        "--base",
        "--upper",
        "--method",
        "--soil",
        "--json",
        "--ascii",
        "120x240",
        "100000x100000",
        "0.1",
        "leek",
        "salad onion",
        "fallow",
        "2027-06-01..2027-11-15",
        "90",
        "-90",
        "grid",
        "between",
        "broadcast",
        "2027-02-29",
        "--",
        "-",
        "",
    ];
    let samples = texts_in("tests/campaigns/seeds/reckon");
    campaign("reckon", (400, 200_000), &samples, &words, |text| {
        let given = ["bedfellow", "--today", "2027-04-15", "reckon"].into_iter().chain(text.lines());
        match bedfellow::cli::rehearse(given.map(std::ffi::OsString::from), &BOOK) {
            Ok(_) => Outcome::Taken,
            Err(message) => {
                assert!(!message.is_empty());
                Outcome::Refused
            }
        }
    });
}

/// A journal as a sitting of random edits leaves it, and its records.
fn journal_of_edits(dice: &mut Dice, folder: &Path) -> (String, Vec<String>) {
    let path = folder.join("garden.ron");
    std::fs::write(&path, BEGINNING).unwrap();
    let now = Stamp::from_file_name("20270415T081500Z").unwrap();
    let mut kept = Kept::open(&path, 1_000_000, now, Box::new(FaultyDisk::sound())).unwrap().kept;
    let mut garden = Garden::from_ron(BEGINNING, "garden.ron").unwrap();
    let mut lines = Vec::new();
    while lines.len() < 12 {
        let edit = draw::edit(dice, &garden);
        let title = edit.title(&garden);
        if edit.clone().apply_to(&mut garden).is_ok() {
            let line = Record { how: How::Made, title, edit }.to_line().unwrap();
            kept.append(&line).unwrap();
            lines.push(line);
        }
    }
    kept.flush().unwrap();
    let journal = std::fs::read_to_string(folder.join(".garden.ron.kept/journal")).unwrap();
    drop(kept);
    std::fs::remove_dir_all(folder.join(".garden.ron.kept")).unwrap();
    (journal, lines)
}

#[test]
fn journals() {
    let folder = tempfile::tempdir().unwrap();
    let mut dice = Dice::of(size::seed(), u64::MAX);
    let samples: Vec<String> = (0..20).map(|_| journal_of_edits(&mut dice, folder.path()).0).collect();
    let (path, beside) = (folder.path().join("garden.ron"), folder.path().join(".garden.ron.kept"));
    let now = Stamp::from_file_name("20270415T091500Z").unwrap();
    let open = || Kept::open(&path, 1_000_000, now, Box::new(FaultyDisk::sound())).unwrap();
    campaign(
        "journal",
        (300, 150_000),
        &samples,
        &["bedfellow journal", "1", "2", "base=", "saving", "\n"],
        |journal| {
            let _ = std::fs::remove_dir_all(&beside);
            std::fs::create_dir(&beside).unwrap();
            std::fs::write(beside.join("journal"), journal).unwrap();
            let Opened { mut kept, text, records, .. } = open();
            assert_eq!(text, BEGINNING);
            // Whatever is replayed stood in the journal, in that order.
            let mut rest = journal;
            for record in &records {
                let at = rest.find(record.as_str()).expect("a record that the journal holds");
                rest = &rest[at + record.len()..];
            }
            if *kept.access() != Access::Ours {
                return Outcome::Refused;
            }
            // And it goes on from there.
            kept.append("one more").unwrap();
            kept.flush().unwrap();
            drop(kept);
            assert_eq!(open().records, [records.as_slice(), &["one more".to_owned()]].concat());
            if records.is_empty() { Outcome::Refused } else { Outcome::Taken }
        },
    );
}

#[test]
fn records_of_a_journal() {
    let folder = tempfile::tempdir().unwrap();
    let mut dice = Dice::of(size::seed(), u64::MAX - 1);
    let samples: Vec<String> = (0..40).map(|_| journal_of_edits(&mut dice, folder.path()).1.join("\n")).collect();
    let garden = Garden::from_ron(BEGINNING, "garden.ron").unwrap();
    campaign("records", (300, 200_000), &samples, &WORDS, |text| {
        let lines: Vec<String> = text.lines().map(str::to_owned).collect();
        let mut after = garden.clone();
        let outcome = match replay(&mut after, &lines) {
            Ok(made) => {
                assert_eq!(made.len(), lines.len());
                Outcome::Taken
            }
            Err((place, error)) => {
                assert!(place < lines.len() && !error.to_string().is_empty());
                Outcome::Refused
            }
        };
        // Whatever was made left a garden that a file may hold.
        let written = after.to_ron();
        assert_eq!(Garden::from_ron(&written, "garden.ron").map(|garden| garden.to_ron()), Ok(written));
        outcome
    });
}

#[test]
fn names_and_lengths() {
    let mut samples: Vec<String> = BOOK.crops().iter().map(|crop| crop.name.clone()).collect();
    samples.extend(["120", "30.5", "2.54 cm", "0,1", "-7"].map(str::to_owned));
    campaign("names-and-lengths", (60, 200_000), &samples, &["leek", "cm", "family", "mm", " "], |text| {
        assert!(BOOK.nearest_names(text, 3).len() <= 3);
        let _ = BOOK.find_families(text);
        if let Ok(length) = Mm::parse_cm(text) {
            assert_eq!(Mm::parse_cm(&length.to_string()), Ok(length));
        }
        if BOOK.find(text).is_some() { Outcome::Taken } else { Outcome::Refused }
    });
}
