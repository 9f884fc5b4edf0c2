//! Gardens whose lists and texts are as long as they may be.

use bedfellow::garden::limits;
use chrono::Days;

use super::file::{CROPS, File, HAZARDS, Planting, SIZE, WIDE, between, day, in_april, own_crop};

/// Past crops, hazards seen, amendments and plantings of one bed, as many of each.
pub fn one_history(n: usize) -> String {
    let mut file = File::new("one history");
    file.bed(0, SIZE);
    history_of(&mut file, 1, n);
    file.done()
}

/// The same over as many beds as there may be, a thousand entries of each list in a bed.
pub fn histories(n: usize) -> String {
    let mut file = File::new("histories");
    let n_beds = n.div_ceil(1_000);
    file.beds(n_beds, SIZE);
    history_of(&mut file, n_beds, n);
    file.done()
}

fn history_of(file: &mut File, n_beds: usize, n: usize) {
    for at in 0..n {
        let (bed, year, what) = (at % n_beds, 1901 + at % 140, CROPS[at / n_beds % CROPS.len()]);
        file.put("past", &format!("(bed: \"B{bed}\", year: {year}, what: \"{what}\")"));
    }
    for at in 0..n {
        let (bed, day, hazard) = (at % n_beds, day(at % 50_000), HAZARDS[at / n_beds % HAZARDS.len()]);
        file.put("hazards_seen", &format!("(bed: \"B{bed}\", hazard: \"{hazard}\", date: \"{day}\")"));
    }
    for at in 0..n {
        let (bed, day) = (at % n_beds, day(40_000 + at % 8_000));
        let gift = ["FreshManure", "Lime", "Compost"][at / n_beds % 3];
        file.put("soil_log", &format!("(bed: \"B{bed}\", date: \"{day}\", gift: {gift})"));
    }
    for at in 0..n {
        let from = day(40_000 + at / n_beds * 4);
        let (bed, crop, dates) = (at % n_beds, CROPS[at / n_beds % CROPS.len()], between(from, from + Days::new(100)));
        file.planting(&Planting { id: at + 1, bed, crop, dates: &dates, ..Planting::default() });
    }
}

/// As long a soil log as there may be, all on one day of one bed, under roots.
pub fn one_day_of_soil(n: usize) -> String {
    let mut file = File::new("soil log");
    file.bed(0, SIZE);
    for _ in 0..n {
        file.put("soil_log", "(bed: \"B0\", date: \"2027-03-01\", gift: FreshManure)");
    }
    for id in 1..=200 {
        file.planting(&Planting { id, crop: "carrot-maincrop", ..Planting::default() });
    }
    file.done()
}

/// Past crops of which no book knows one.
pub fn unknown_past(n: usize) -> String {
    let mut file = File::new("unknown");
    let n_beds = n.div_ceil(1_000);
    file.beds(n_beds, SIZE);
    for at in 0..n {
        file.put("past", &format!("(bed: \"B{}\", year: 2020, what: \"x{at}\")", at % n_beds));
    }
    for at in 0..n {
        let bed = at % n_beds;
        file.put("hazards_seen", &format!("(bed: \"B{bed}\", hazard: \"x{at}\", date: \"2020-05-01\")"));
    }
    file.done()
}

/// Plantings of crops that no book knows, and without a date.
pub fn unknown_crops(n: usize) -> String {
    let mut file = File::new("unknown crops");
    let n_beds = n.div_ceil(1_000);
    file.beds(n_beds, SIZE);
    for at in 0..n {
        let (bed, id) = (at % n_beds, at + 1);
        let (crop, dates) = (format!("x{at}"), format!("plant: \"{}\"", in_april() + Days::new((at / n_beds) as u64)));
        if (at / n_beds).is_multiple_of(2) {
            file.planting(&Planting { id, bed, crop: &crop, dates: &dates, ..Planting::default() });
        } else {
            file.planting(&Planting { id, bed, dates: "", ..Planting::default() });
        }
    }
    file.done()
}

/// Plantings that were each picked on ten thousand days, as many as a file holds.
pub fn picks(n: usize) -> String {
    let mut file = File::new("picks");
    file.beds(200, SIZE);
    (1..=n).for_each(|id| file.planting(&Planting { id, bed: id % 200, ..Planting::default() }));
    for at in 0..(n * 10_000).min(limits::N_HAPPENED) {
        let (planting, date) = (at / 10_000 + 1, day(46_000 + at % 10_000));
        file.put("happened", &format!("(planting: {planting}, date: \"{date}\", what: Picked(g: 9))"));
    }
    file.done()
}

/// As many own crops as there may be, and plantings, past crops and wishes that name them.
fn own_crops_named(n: usize, n_names: usize, n_wide: usize) -> String {
    let mut file = File::new("own crops");
    file.beds(200, SIZE);
    for at in 0..n {
        file.put("own_crops", &own_crop(at, n_names, n_wide));
    }
    for at in 0..n * 4 {
        let crop = format!("own{}", at % n);
        file.planting(&Planting { id: at + 1, bed: at % 200, crop: &crop, ..Planting::default() });
    }
    for at in 0..n * 10 {
        let (bed, year) = (at % 200, 2000 + at % 27);
        file.put("past", &format!("(bed: \"B{bed}\", year: {year}, what: \"{}{}\")", WIDE.repeat(n_wide), at % n));
    }
    file.done()
}

pub fn own_crops(n: usize) -> String {
    own_crops_named(n, 100, 24)
}

/// Names wider than the book takes them: no planting's crop is known then.
pub fn own_crops_refused(n: usize) -> String {
    own_crops_named(n, 40, 190)
}

/// Every text as long and as wide as it may be.
pub fn wide_names(n: usize) -> String {
    let mut file = File::new(&WIDE.repeat(200));
    let (name, notes) = (WIDE.repeat(199), WIDE.repeat(2_000));
    for idx in 0..n {
        let id = format!("{}{idx:04}", WIDE.repeat(36));
        let bed = format!("(id: \"{id}\", name: \"{name}\", width_mm: 1200, length_mm: 4800, notes: \"{notes}\")");
        file.put("beds", &bed);
    }
    for at in 0..n * 4 {
        if !file.has_room(9_000) {
            break;
        }
        let bed = format!("{}{:04}", WIDE.repeat(36), at % n);
        let (id, crop) = (at + 1, if at % 4 == 0 { &name } else { "leek" });
        let entry = format!(
            "(id: {id}, bed: \"{bed}\", crop: \"{crop}\", variety: \"{name}\", from_mm: 0, to_mm: 4800, \
             layout: Grid(spacing_mm: 300), clump: 1, raised: Module, planned: (plant: \"2027-04-01\"), notes: \"{notes}\")"
        );
        file.put("plantings", &entry);
    }
    file.done()
}

/// As many accepted findings as there may be, all of one planting, its own the last.
pub fn accepted(n: usize) -> String {
    let mut file = File::new("accepted");
    file.bed(0, SIZE);
    (1..=200).for_each(|id| file.planting(&Planting { id, ..Planting::default() }));
    for at in 0..n {
        let against = 1_000 + at;
        file.put(
            "accepted",
            &format!("(rule: \"overlap\", planting: 200, against: Planting({against}), reason: \"x\")"),
        );
    }
    file.done()
}

/// Reasons as long as they may be, each of a finding of its own.
pub fn accepted_at_length(n: usize) -> String {
    let mut file = File::new("accepted at length");
    file.beds(n.div_ceil(100), SIZE);
    (0..n).for_each(|at| file.planting(&Planting { id: at + 1, bed: at / 100, ..Planting::default() }));
    let reason = WIDE.repeat(2_000);
    for at in 0..n {
        if !file.has_room(reason.len() + 100) {
            break;
        }
        let against = at / 100 * 100 + 1;
        let id = at + 1;
        file.put(
            "accepted",
            &format!("(rule: \"overlap\", planting: {id}, against: Planting({against}), reason: \"{reason}\")"),
        );
    }
    file.done()
}

/// What households want and what is paid for it, for crops of the garden's own besides: every list as long as it may be.
pub fn wants(n: usize) -> String {
    let mut file = File::new("wants");
    file.beds(200, SIZE);
    for at in 0..n.min(1_000) {
        file.put("own_crops", &own_crop(at, 1, 24));
    }
    for at in 0..n.min(2_000) {
        let n_wants = n.min(1_000);
        let wants: Vec<String> = (0..n_wants).map(|k| format!("\"own{}\": 100", (at + k) % n_wants)).collect();
        file.put("households", &format!("(name: \"h\", n_people: 4, wants_g_per_week: {{{}}})", wants.join(",")));
    }
    for at in 0..n {
        file.put("prices", &format!("(crop: \"x{at}\", minor_per_kg: 320)"));
    }
    for bed in 0..200 {
        file.planting(&Planting { id: bed + 1, bed, ..Planting::default() });
    }
    file.done()
}

/// A list of which nothing is reckoned, at most so long that it fills the file.
fn full_list(n: usize, list: &'static str, entry: fn(usize) -> String) -> String {
    let mut file = File::new("full list");
    file.beds(200, SIZE);
    for at in 0..n {
        let entry = entry(at);
        if !file.has_room(entry.len()) {
            break;
        }
        file.put(list, &entry);
    }
    file.done()
}

pub fn full_past(n: usize) -> String {
    let entry = |at: usize| format!("(bed: \"B{}\", year: 2020, what: \"{at}{}\")", at % 200, WIDE.repeat(90));
    full_list(n, "past", entry)
}

pub fn full_hazards(n: usize) -> String {
    let entry = |at: usize| {
        let notes = WIDE.repeat(80);
        format!("(bed: \"B{}\", hazard: \"clubroot\", date: \"{}\", notes: \"{notes}\")", at % 200, day(at % 50_000))
    };
    full_list(n, "hazards_seen", entry)
}

pub fn full_accepted(n: usize) -> String {
    let entry = |at: usize| format!("(rule: \"x\", planting: {}, reason: \"{}\")", at + 1, WIDE.repeat(85));
    full_list(n, "accepted", entry)
}

pub fn full_expenses(n: usize) -> String {
    let entry =
        |at: usize| format!("(date: \"{}\", kind: \"x\", minor: 9, notes: \"{}\")", day(at % 9_000), WIDE.repeat(85));
    full_list(n, "expenses", entry)
}

pub fn full_seed_tin(n: usize) -> String {
    full_list(n, "seed_tin", |at| {
        format!("(crop: \"x\", variety: \"{at}{}\", n_seeds: 9, packed_year: 2026)", WIDE.repeat(85))
    })
}

/// As many plantings as there may be, over all beds, each in its year, and notes that fill the file.
pub fn full_plantings(n: usize) -> String {
    let mut file = File::new("full plantings");
    file.beds(2_000.min(n), SIZE);
    let more = format!(", notes: \"{}\"", WIDE.repeat(28));
    for at in 0..n {
        if !file.has_room(more.len() + 260) {
            break;
        }
        let (bed, turn) = (at % 2_000, at / 2_000);
        let dates = format!("plant: \"{}-{:02}-10\"", 2027 + turn / 4, turn % 4 * 3 + 1);
        let crop = CROPS[(at + turn) % CROPS.len()];
        file.planting(&Planting { id: at + 1, bed, crop, dates: &dates, more: &more, ..Planting::default() });
    }
    file.done()
}
