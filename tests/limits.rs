//! Every limit of a garden: what lies on it is taken, what lies one beyond is refused with a message that says so; files and edits alike.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // functions that tests share are not tests to clippy

use std::fmt::Write as _;

use bedfellow::climate::Weather;
use bedfellow::crops::CropBook;
use bedfellow::garden::{
    Accepted, Against, Bed, Edit, EntryId, FamilyReturn, Garden, Happened, Happening, HazardSeen, List, PastCrop,
    PlannedDates, Planting, PlantingId, SoilEntry, Undo, limits,
};
use bedfellow::store;
use bedfellow::units::Mm;

const EVERY_FIELD: &str = include_str!("samples/valid/every-field.ron");
const SMALL: &str = include_str!("samples/valid/small.ron");

fn small() -> Garden {
    Garden::from_ron(SMALL, "small.ron").unwrap()
}

fn every_field() -> Garden {
    Garden::from_ron(EVERY_FIELD, "every-field.ron").unwrap()
}

/// Written and read again: the message if it is refused.
fn refusal(garden: &Garden) -> Option<String> {
    let text = garden.to_ron();
    match Garden::from_ron(&text, "g.ron") {
        Ok(again) => {
            assert_eq!(again.to_ron(), text, "read as it was written");
            None
        }
        Err(error) => Some(error.to_string()),
    }
}

fn is_taken(what: &str, garden: &Garden) {
    assert_eq!(refusal(garden), None, "{what} at its limit");
}

fn is_refused(what: &str, garden: &Garden, says: &str) {
    let message = refusal(garden).unwrap_or_else(|| panic!("{what} beyond its limit is taken"));
    assert!(message.contains(says), "{what}: `{says}` is not said in {message}");
    assert!(message.contains("g.ron:"), "{what}: the line is named in {message}");
}

/// `set` gives the garden a text of so many characters.
fn text_holds(what: &str, most: usize, set: impl Fn(&mut Garden, String)) {
    for (n_chars, is_within) in [(most, true), (most + 1, false)] {
        // Two bytes each: it is characters that count.
        let mut garden = every_field();
        set(&mut garden, "ä".repeat(n_chars));
        if is_within {
            is_taken(what, &garden);
        } else {
            is_refused(what, &garden, &format!("{most} are the most"));
        }
    }
}

#[test]
fn texts_are_taken_up_to_their_length() {
    let (line, notes) = (limits::NAME_CHARS, limits::NOTES_CHARS);
    text_holds("garden name", line, |garden, text| garden.name = text);
    text_holds("bed name", line, |garden, text| garden.beds[0].name = text);
    text_holds("bed notes", notes, |garden, text| garden.beds[0].notes = text);
    text_holds("bed id", limits::BED_ID_CHARS, |garden, text| {
        let like_it = Bed { id: text, ..garden.beds[0].clone() };
        garden.beds.push(like_it);
    });
    text_holds("crop", line, |garden, text| garden.plantings[0].crop = text);
    text_holds("variety", line, |garden, text| garden.plantings[0].variety = text);
    text_holds("notes", notes, |garden, text| garden.plantings[0].notes = text);
    text_holds("past crop", line, |garden, text| garden.past[0].what = text);
    text_holds("hazard", line, |garden, text| garden.hazards_seen[0].hazard = text);
    text_holds("hazard notes", notes, |garden, text| garden.hazards_seen[0].notes = text);
    text_holds("rule", line, |garden, text| garden.accepted[0].rule = text);
    text_holds("against", line, |garden, text| garden.accepted[0].against = Against::Hazard(text));
    text_holds("against", line, |garden, what| garden.accepted[0].against = Against::Past { year: 2024, what });
    text_holds("reason", notes, |garden, text| garden.accepted[0].reason = text);
    text_holds("household", line, |garden, text| garden.households[0].name = text);
    text_holds("box kind", line, |garden, text| garden.box_kinds[0].name = text);
    text_holds("price", line, |garden, text| garden.prices[0].crop = text);
    text_holds("expense", line, |garden, text| garden.expenses[0].kind = text);
    text_holds("expense notes", notes, |garden, text| garden.expenses[0].notes = text);
    text_holds("seed lot", line, |garden, text| garden.seed_tin[0].variety = text);
}

/// `set` gives the garden a value of a limit; its ends are taken, one step beyond each is refused.
fn value_holds(what: &str, ends: [f64; 2], step: f64, set: impl Fn(&mut Garden, f64)) {
    for (value, is_within) in
        [(ends[0], true), (ends[1], true), (ends[0] - step, false), (ends[1] + step, false), (f64::NAN, false)]
    {
        // Whole numbers have no NaN, and unsigned ones nothing below 0.
        if value.is_nan() && step >= 1.0 || value < 0.0 && step >= 1.0 && ends[0] == 0.0 {
            continue;
        }
        let mut garden = every_field();
        set(&mut garden, value);
        if is_within {
            is_taken(what, &garden);
        } else {
            is_refused(what, &garden, what);
        }
    }
}

fn ends(limit: limits::Limit<Mm>) -> [f64; 2] {
    [f64::from(limit.least.0), f64::from(limit.greatest.0)]
}

fn planting(garden: &mut Garden, layout: bedfellow::garden::Layout) {
    garden.plantings[0].layout = layout;
}

#[test]
fn values_are_taken_up_to_their_ends() {
    use bedfellow::garden::{ClimateChoice, Layout, Run};
    let mm = |value: f64| Mm(value as i32);
    // Beds of their own: what stands in the others would no longer fit.
    let bed = |garden: &mut Garden, change: &dyn Fn(&mut Bed)| {
        let mut bed = Bed { id: "limit".to_owned(), ..garden.beds[0].clone() };
        change(&mut bed);
        garden.beds.push(bed);
    };
    value_holds("width", ends(limits::BED_SIDE), 1.0, |g, v| bed(g, &|bed| bed.width_mm = mm(v)));
    value_holds("length", ends(limits::BED_SIDE), 1.0, |g, v| bed(g, &|bed| bed.length_mm = mm(v)));
    value_holds("bed place", ends(limits::BED_PLACE), 1.0, |g, v| bed(g, &|bed| bed.east_mm = mm(v)));
    value_holds("bed place", ends(limits::BED_PLACE), 1.0, |g, v| bed(g, &|bed| bed.south_mm = mm(v)));
    value_holds("bearing", [0.0, 359.0], 1.0, |g, v| bed(g, &|bed| bed.bearing_deg = v as u32));
    let spacing = ends(limits::SPACING);
    value_holds("spacing", spacing, 1.0, |g, v| planting(g, Layout::Grid { spacing_mm: mm(v) }));
    value_holds("row distance", spacing, 1.0, |g, v| {
        planting(g, Layout::Rows { row_mm: mm(v), in_row_mm: Mm(50), run: Run::Along });
    });
    value_holds("setback", ends(limits::SETBACK), 1.0, |g, v| g.plantings[0].setback_mm = Some(mm(v)));
    value_holds("metre of drill", [limits::PER_METRE.least, limits::PER_METRE.greatest], 0.001, |g, v| {
        planting(g, Layout::Drill { row_mm: Mm(200), plants_per_m: v, run: Run::Along });
    });
    value_holds("square metre", [limits::PER_M2.least, limits::PER_M2.greatest], 0.001, |g, v| {
        planting(g, Layout::Broadcast { plants_per_m2: v });
    });
    value_holds("clump", [1.0, 100.0], 1.0, |g, v| g.plantings[0].clump = v as u32);
    value_holds("planting number", [1.0, 999_999_999.0], 1.0, |g, v| {
        g.plantings = vec![Planting { id: PlantingId(v as u32), ..small().plantings[0].clone() }];
        g.plantings[0].bed.clone_from(&g.beds[0].id);
        g.plantings[0].layout = Layout::Grid { spacing_mm: Mm(300) };
    });
    value_holds("year", [1900.0, 2200.0], 1.0, |g, v| g.past[0].year = v as i32);
    value_holds("year", [1900.0, 2200.0], 1.0, |g, v| g.seed_tin[0].packed_year = v as i32);
    value_holds("year", [1900.0, 2200.0], 1.0, |g, v| {
        g.soil_log[0].date = chrono::NaiveDate::from_ymd_opt(v as i32, 7, 1).unwrap();
    });
    value_holds("latitude", [-90.0, 90.0], 0.001, |g, v| g.site.latitude_deg = v);
    value_holds("elevation", [-500.0, 9_000.0], 1.0, |g, v| g.site.elevation_m = v as i32);
    value_holds("return interval", [0.0, 100.0], 1.0, |g, v| {
        g.return_years.push(FamilyReturn { family: "onion".to_owned(), years: v as u32 });
    });
    value_holds("depth", ends(limits::SPREAD_DEPTH), 1.0, |g, v| g.soil_log[0].depth_mm = Some(mm(v)));
    value_holds("people", [0.0, 10_000.0], 1.0, |g, v| g.households[0].n_people = v as u32);
    let normals = |tmin_c: f64, tmax_c: f64, rain: f64, spread: f64| ClimateChoice::Normals {
        tmin_c: vec![tmin_c; 12],
        tmax_c: vec![tmax_c; 12],
        rain_mm: Some(vec![rain; 12]),
        spread_c: Some(spread),
    };
    let temperature = [limits::MONTH_TEMPERATURE.least, limits::MONTH_TEMPERATURE.greatest];
    value_holds("temperature", [temperature[0], temperature[1] - 0.01], 0.011, |g, v| {
        g.site.climate = normals(v, v + 0.01, 50.0, 1.0);
    });
    value_holds("rain", [0.0, 4_000.0], 0.001, |g, v| g.site.climate = normals(1.0, 2.0, v, 1.0));
    value_holds("spread", [0.0, 10.0], 0.001, |g, v| g.site.climate = normals(1.0, 2.0, 50.0, v));
}

/// Beds in which a list may reach its own limit: each takes no more than its share.
const N_BEDS_FOR_LISTS: usize = limits::N_PLANTINGS / limits::N_IN_BED + 1;

/// The bed of an entry, so that each bed gets its share in turn.
fn bed_of(entry_idx: usize) -> String {
    format!("b{}", entry_idx % N_BEDS_FOR_LISTS)
}

/// A garden with those beds.
fn many_beds() -> Garden {
    let mut garden = Garden::empty("lists");
    let bed = small().beds[0].clone();
    garden.beds = (0..N_BEDS_FOR_LISTS).map(|n| Bed { id: bed_of(n), ..bed.clone() }).collect();
    garden
}

/// A garden of beds whose list has so many entries.
fn with_list(name: &str, n: usize, entry: impl Fn(usize) -> String, brackets: (char, char)) -> String {
    let garden = many_beds();
    let head = garden.to_ron();
    assert!(!head.contains(&format!("{name}:")), "{name} is there already");
    let head = head.trim_end().strip_suffix(')').unwrap();
    let mut text = format!("{head}    {name}: {}\n", brackets.0);
    for idx in 0..n {
        let _ = writeln!(text, "{},", entry(idx));
    }
    let _ = write!(text, "{},\n)", brackets.1);
    text
}

#[test]
fn lists_are_taken_up_to_their_length_and_the_line_beyond_is_named() {
    type Entry<'a> = &'a dyn Fn(usize) -> String;
    let past: Entry = &|n| format!("(bed: \"{}\", year: 2020, what: \"x\")", bed_of(n));
    let hazard: Entry = &|n| format!("(bed: \"{}\", hazard: \"x\", date: \"2020-01-01\")", bed_of(n));
    let soil: Entry = &|n| format!("(bed: \"{}\", date: \"2020-01-01\", gift: Lime)", bed_of(n));
    let accepted: Entry = &|_| "(rule: \"x\", planting: 1, reason: \"x\")".to_owned();
    let household: Entry = &|_| "(name: \"x\", n_people: 1)".to_owned();
    let kind: Entry = &|_| "(name: \"x\", n_crops: 1, weight_g: 1)".to_owned();
    let price: Entry = &|_| "(crop: \"x\", minor_per_kg: 1)".to_owned();
    let expense: Entry = &|_| "(date: \"2020-01-01\", kind: \"x\", minor: 1)".to_owned();
    let lot: Entry = &|_| "(crop: \"x\", n_seeds: 1, packed_year: 2020)".to_owned();
    let family: Entry = &|idx| format!("\"f{idx}\": 3");
    let square = ('[', ']');
    for (name, most, entry, brackets) in [
        ("past", limits::N_PLANTINGS, past, square),
        ("hazards_seen", limits::N_PLANTINGS, hazard, square),
        ("soil_log", limits::N_PLANTINGS, soil, square),
        ("accepted", limits::N_PLANTINGS, accepted, square),
        ("households", limits::N_HOUSEHOLDS, household, square),
        ("box_kinds", limits::N_PLANTINGS, kind, square),
        ("prices", limits::N_PLANTINGS, price, square),
        ("expenses", limits::N_PLANTINGS, expense, square),
        ("seed_tin", limits::N_PLANTINGS, lot, square),
        ("return_years", limits::N_NAMED, family, ('{', '}')),
    ] {
        let text = with_list(name, most, entry, brackets);
        assert!(Garden::from_ron(&text, "g.ron").is_ok(), "{name} at its limit");
        list_is_refused(name, most, &with_list(name, most + 1, entry, brackets));
    }
}

/// The last entry of the list stands on the second line from the end.
fn list_is_refused(name: &str, most: usize, text: &str) {
    let message = Garden::from_ron(text, "g.ron").expect_err(name).to_string();
    assert!(message.contains(&format!("more entries than {most}")), "{name}: {message}");
    let line: usize = message.split("g.ron:").nth(1).unwrap().split(':').next().unwrap().parse().unwrap();
    let last = text.lines().count() - 2;
    assert!((last..=last + 1).contains(&line), "{name}: the last entry is on line {last}; {message}");
}

#[test]
fn beds_plantings_records_and_own_crops_are_taken_up_to_their_number() {
    let mut garden = small();
    let bed = garden.beds[0].clone();
    let n_left = limits::N_BEDS - garden.beds.len();
    garden.beds.extend((0..n_left).map(|n| Bed { id: format!("n{n}"), ..bed.clone() }));
    is_taken("beds", &garden);
    garden.beds.push(Bed { id: "more".to_owned(), ..bed });
    is_refused("beds", &garden, "more entries than 2000");

    let mut garden = every_field();
    let day = chrono::NaiveDate::from_ymd_opt(2027, 1, 1).unwrap();
    let what = Happening::Picked { g: Some(1), pieces: None, household: None, is_last: false };
    let row = |n: usize| {
        let (id, planting) = (EntryId(n as u32 + 1), PlantingId((n / limits::N_RECORDS) as u32 + 1));
        Happened { id, planting, date: day, what }
    };
    garden.happened = (0..limits::N_RECORDS).map(row).collect();
    is_taken("happened to one", &garden);
    let more = Happened { planting: PlantingId(1), ..row(limits::N_RECORDS) };
    beyond(&mut garden, Edit::put(more), "p1 has more than 10000 entries");
    garden.happened.push(more);
    is_refused("happened to one", &garden, "p1 has more than 10000 entries");
    garden.happened = (0..limits::N_HAPPENED).map(row).collect();
    is_taken("happened", &garden);
    beyond(&mut garden, Edit::put(row(limits::N_HAPPENED)), "120000 are the most");
    garden.happened.push(row(limits::N_HAPPENED));
    is_refused("happened", &garden, "more entries than 120000");

    let mut garden = every_field();
    garden.households[0].wants_g_per_week = (0..limits::N_NAMED).map(|n| (format!("c{n}"), 1)).collect();
    is_taken("wants", &garden);
    garden.households[0].wants_g_per_week.insert("more".to_owned(), 1);
    is_refused("wants", &garden, "more entries than 1000");

    let leek = CropBook::embedded().unwrap().crop("leek").unwrap().clone();
    let own = |n: usize| bedfellow::crops::Crop { id: format!("own-{n}"), ..leek.clone() };
    let mut garden = small();
    garden.own_crops = (0..limits::N_OWN_CROPS).map(own).collect();
    garden.number_rows();
    is_taken("own crops", &garden);
    garden.own_crops.push(own(limits::N_OWN_CROPS));
    is_refused("own crops", &garden, "more entries than 1000");
    garden.own_crops.truncate(1);
    garden.own_crops[0].other_names = (0..limits::N_OWN_NAMES).map(|n| format!("name {n}")).collect();
    is_taken("other names", &garden);
    garden.own_crops[0].other_names.push("more".to_owned());
    is_refused("other names", &garden, "more entries than 100");
}

/// An edit that would lead beyond a limit is refused and leaves the garden as it was.
fn beyond(garden: &mut Garden, edit: Edit, says: &str) {
    let counts = |garden: &Garden| List::ALL.iter().map(|list| list.n_rows(garden)).sum::<usize>();
    let before = (garden.beds.len(), garden.plantings.len(), counts(garden));
    let error = edit.apply_to(garden).expect_err(says).to_string();
    assert!(error.contains(says), "`{says}` is not said: {error}");
    assert_eq!(before, (garden.beds.len(), garden.plantings.len(), counts(garden)));
}

/// What puts another row in, and what is said beyond the limit.
type Case<'a> = (&'a dyn Fn(&Garden) -> Edit, &'a str);

#[test]
fn no_edit_leads_beyond_a_limit() {
    let mut garden = small();
    let bed = garden.beds[0].clone();
    let named = |id: &str| Bed { id: id.to_owned(), ..bed.clone() };
    let n_left = limits::N_BEDS - garden.beds.len() - 1;
    garden.beds.extend((0..n_left).map(|n| named(&format!("n{n}"))));
    Edit::AddBed { at: 0, bed: named("last") }.apply_to(&mut garden).unwrap();
    beyond(&mut garden, Edit::AddBed { at: 0, bed: named("more") }, "beds has 2001 entries; 2000 are the most");

    let mut garden = many_beds();
    let planting =
        Planting { layout: bedfellow::garden::Layout::Grid { spacing_mm: Mm(300) }, ..small().plantings[0].clone() };
    // Each a day of its own in its bed, so that few stand at once.
    let numbered = |n: usize| {
        let mut planting = Planting { id: PlantingId(n as u32), bed: bed_of(n), ..planting.clone() };
        let day = planting.planned.sow.or(planting.planned.plant).unwrap();
        let day = day + chrono::Days::new((n / N_BEDS_FOR_LISTS) as u64);
        planting.planned = PlannedDates {
            sow: Some(day),
            plant: Some(day),
            clear: Some(day + chrono::Days::new(1)),
            ..Default::default()
        };
        planting
    };
    garden.plantings = (1..limits::N_PLANTINGS).map(numbered).collect();
    Edit::AddPlanting(Box::new(numbered(limits::N_PLANTINGS))).apply_to(&mut garden).unwrap();
    let text = garden.to_ron();
    assert_eq!(Garden::from_ron(&text, "g.ron").unwrap().plantings.len(), limits::N_PLANTINGS);
    let more = numbered(limits::N_PLANTINGS + 1);
    beyond(&mut garden, Edit::AddPlanting(Box::new(more.clone())), "100000 are the most");
    garden.plantings.push(more);
    is_refused("plantings", &garden, "more entries than 100000");

    let from = every_field();
    let id = EntryId::NONE;
    let past = PastCrop { id, ..from.past[0].clone() };
    let seen = HazardSeen { id, ..from.hazards_seen[0].clone() };
    let entry = SoilEntry { id, ..from.soil_log[0].clone() };
    let accepted = Accepted { id, ..from.accepted[0].clone() };
    // Up to what a bed may have, then up to what the whole list may have.
    let (a_bed, a_list) = (limits::N_IN_BED, limits::N_PLANTINGS);
    for (n_entries, n_accepted, says) in [(a_bed, a_list, "more than 1000"), (a_list, a_list, "100000 are the most")] {
        let mut garden = many_beds();
        garden.plantings.clone_from(&from.plantings);
        garden.plantings.iter_mut().for_each(|planting| planting.bed = bed_of(0));
        let bed = |n: usize| if n_entries == a_bed { bed_of(0) } else { bed_of(n + 1) };
        garden.past = (1..n_entries).map(|n| PastCrop { bed: bed(n), ..past.clone() }).collect();
        garden.hazards_seen = (1..n_entries).map(|n| HazardSeen { bed: bed(n), ..seen.clone() }).collect();
        garden.soil_log = (1..n_entries).map(|n| SoilEntry { bed: bed(n), ..entry.clone() }).collect();
        garden.accepted = vec![accepted.clone(); n_accepted - 1].into();
        garden.number_rows();
        let edits: [Case<'_>; 4] = [
            (&|garden| Edit::adding(PastCrop { bed: bed_of(0), ..past.clone() }, garden), says),
            (&|garden| Edit::adding(HazardSeen { bed: bed_of(0), ..seen.clone() }, garden), says),
            (&|garden| Edit::adding(SoilEntry { bed: bed_of(0), ..entry.clone() }, garden), says),
            (&|garden| Edit::adding(accepted.clone(), garden), "100000 are the most"),
        ];
        for (edit, says) in edits {
            edit(&garden).apply_to(&mut garden).unwrap();
            let more = edit(&garden);
            beyond(&mut garden, more, says);
        }
    }
    let mut garden = small();
    let long = "n".repeat(limits::NAME_CHARS);
    Edit::Rename(long.clone()).apply_to(&mut garden).unwrap();
    beyond(&mut garden, Edit::Rename(long + "n"), "200 are the most");
}

#[test]
fn a_file_is_read_up_to_its_bytes() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("g.ron");
    let most = usize::try_from(limits::FILE_BYTES).unwrap();
    let mut text = SMALL.to_owned();
    text.push_str(&" ".repeat(most - text.len()));
    std::fs::write(&path, &text).unwrap();
    let read = store::read_text(&path, limits::FILE_BYTES).unwrap();
    assert_eq!(read.len(), most);
    assert!(Garden::from_ron(&read, "g.ron").is_ok());
    text.push(' ');
    std::fs::write(&path, &text).unwrap();
    let message = store::read_text(&path, limits::FILE_BYTES).unwrap_err().to_string();
    assert!(message.contains("33554433 bytes") && message.contains("33554432 at most"), "{message}");
}

#[test]
fn weather_is_read_up_to_its_days() {
    let first = chrono::NaiveDate::from_ymd_opt(1950, 1, 1).unwrap();
    let mut csv = "date,tmin,tmax\n".to_owned();
    for n in 0..limits::N_WEATHER_DAYS {
        let _ = writeln!(csv, "{},1,9", first + chrono::Days::new(n as u64));
    }
    assert_eq!(Weather::parse(&csv).unwrap().weather.days().len(), limits::N_WEATHER_DAYS);
    let _ = writeln!(csv, "{},1,9", first + chrono::Days::new(limits::N_WEATHER_DAYS as u64));
    let message = Weather::parse(&csv).unwrap_err().to_string();
    assert_eq!(message, "line 40002: there are more than 40000 days; keep the last 40000 or fewer");
}

#[test]
fn steps_are_kept_for_another_day_up_to_their_number_and_their_bytes() {
    let kept = |n_steps: usize, n_chars: usize| {
        let (mut garden, mut undo) = (small(), Undo::default());
        garden.name = "n".repeat(limits::NAME_CHARS);
        for _ in 0..n_steps {
            let edit = Edit::Several { title: "t".repeat(n_chars), edits: vec![Edit::Rename(garden.name.clone())] };
            undo.done("rename", edit.apply_to(&mut garden).unwrap());
        }
        undo.to_keep()
    };
    assert_eq!(kept(limits::N_STEPS_KEPT, 0).len(), limits::N_STEPS_KEPT);
    assert_eq!(kept(limits::N_STEPS_KEPT + 1, 0).len(), limits::N_STEPS_KEPT);
    let around = kept(1, 0)[0].len();
    let most = limits::STEPS_KEPT_BYTES - around;
    assert_eq!((kept(1, most)[0].len(), kept(1, most + 1).len()), (limits::STEPS_KEPT_BYTES, 0));
    // Two that fill it together.
    assert_eq!(kept(2, most / 2 - around).len(), 2);
    assert_eq!(kept(2, most / 2 + around).len(), 1);
}
