//! Random edits of a garden: most of them could be a grower's, some are none's.

use std::sync::LazyLock;

use bedfellow::crops::{Crop, CropBook, Raised};
use bedfellow::garden::{
    Accepted, Against, Amendment, Bed, BedKind, BoxKind, Cause, ClimateChoice, Cover, Edit, Ending, Entry, EntryId,
    Expense, FamilyReturn, Garden, Happened, Happening, HazardSeen, Household, Layout, List, MonthDay, PastCrop,
    Planting, PlantingId, Price, Quiet, Run, SeedLot, Side, Site, SoilEntry, SoilTexture,
};
use bedfellow::units::Mm;
use chrono::{Days, NaiveDate};

use crate::dice::Dice;

/// The garden that a walk of edits begins with.
pub const BEGINNING: &str = r#"(
    format: 2,
    name: "Garden of chance",
    site: (
        latitude_deg: 54.0,
        elevation_m: 200,
        last_frost: (month: 5, day: 20),
        first_frost: (month: 10, day: 1),
        currency: "GBP",
    ),
    beds: [
        (id: "A1", width_mm: 1200, length_mm: 2400),
        (id: "A2", width_mm: 1200, length_mm: 4800, east_mm: 1650),
    ],
    plantings: [
        (id: 1, bed: "A1", crop: "leek", from_mm: 0, to_mm: 1200, layout: Grid(spacing_mm: 300), clump: 4, raised: Module),
    ],
)
"#;

/// A planting and a bed to be altered: fields that an edit does not draw keep what they have here.
static TEMPLATE: LazyLock<(Planting, Bed)> = LazyLock::new(|| {
    let garden = Garden::from_ron(BEGINNING, "beginning").unwrap();
    (garden.plantings[0].clone(), garden.beds[0].clone())
});

/// A crop to be altered.
static LEEK: LazyLock<Crop> = LazyLock::new(|| CropBook::embedded().unwrap().crop("leek").unwrap().clone());

const BEDS: [&str; 7] = ["A1", "A2", "B1", "B2", "Bed 5", "C/3", "Z"];
const CROPS: [&str; 6] = ["leek", "carrot", "salad-onion", "kale", "potato", "no-such-crop"];
const TEXTS: [&str; 6] = ["", "a few words", "\"quoted\" \\ (½ m²), ä // no comment /* \u{301}", "漢字 🥕", "  ", "é"];
/// Texts that only notes may hold, and some that nothing may.
const NOTES: [&str; 4] = ["two\nlines\tand a tab", "bell \u{7}", "", "\u{202e}turned round"];
/// Numbers of plantings are drawn from the least, so that they meet again.
const N_PLANTINGS: i64 = 30;

/// How often each kind is drawn; their places are the kinds of [`simple`].
const WEIGHTS: [usize; 11] = [14, 5, 8, 5, 3, 5, 26, 14, 10, 2, 2];

/// One random edit of a garden.
pub fn edit(dice: &mut Dice, garden: &Garden) -> Edit {
    if dice.is_percent(85) {
        return simple(dice, garden);
    }
    let edits = (0..dice.below(5)).map(|_| simple(dice, garden)).collect();
    Edit::Several { title: "several at once".to_owned(), edits }
}

fn simple(dice: &mut Dice, garden: &Garden) -> Edit {
    let mut throw = dice.below(WEIGHTS.iter().sum());
    let mut kind = 0;
    while throw >= WEIGHTS[kind] {
        throw -= WEIGHTS[kind];
        kind += 1;
    }
    match kind {
        0 => Edit::AddPlanting(Box::new(planting(dice, garden))),
        1 => Edit::RemovePlanting(planting_id(dice, garden)),
        2 => Edit::ChangePlanting(Box::new(changed_planting(dice, garden))),
        3 => Edit::AddBed { at: place(dice, garden.beds.len()), bed: bed(dice) },
        4 => Edit::RemoveBed(bed_id(dice, garden)),
        5 => Edit::ChangeBed { id: bed_id(dice, garden), bed: bed(dice) },
        6 => Edit::Put(Box::new(row(dice, garden))),
        7 => Edit::Take(row(dice, garden).key()),
        8 => changed_row(dice, garden),
        9 => Edit::SetSite(site(dice, garden)),
        _ => Edit::Rename(text(dice)),
    }
}

/// A row in the place of another. Most rows drawn have none of their key to change, so that several are drawn where need be.
fn changed_row(dice: &mut Dice, garden: &Garden) -> Edit {
    let change = |dice: &mut Dice| Edit::Change(Box::new(row(dice, garden)));
    let applies = |edit: &Edit| edit.clone().apply_to(&mut garden.clone()).is_ok();
    let mut edit = change(dice);
    for _ in 0..dice.below(20) {
        if applies(&edit) {
            break;
        }
        edit = change(dice);
    }
    edit
}

/// A place in a list, now and then one beyond its end.
fn place(dice: &mut Dice, len: usize) -> usize {
    let n_beyond = usize::from(dice.is_percent(10));
    dice.below(len + 1 + n_beyond)
}

fn text(dice: &mut Dice) -> String {
    match dice.below(30) {
        0 => "n".repeat(dice.below(300)),
        1 => (*dice.one(&NOTES)).to_owned(),
        _ => (*dice.one(&TEXTS)).to_owned(),
    }
}

fn notes(dice: &mut Dice) -> String {
    if dice.is_percent(20) { (*dice.one(&NOTES)).to_owned() } else { text(dice) }
}

fn bed_id(dice: &mut Dice, garden: &Garden) -> String {
    if dice.is_percent(80) && !garden.beds.is_empty() {
        return dice.one(&garden.beds).id.clone();
    }
    (*dice.one(&BEDS)).to_owned()
}

fn planting_id(dice: &mut Dice, garden: &Garden) -> PlantingId {
    if dice.is_percent(80) && !garden.plantings.is_empty() {
        return dice.one(&garden.plantings).id;
    }
    PlantingId(dice.between(0, N_PLANTINGS) as u32)
}

fn day(dice: &mut Dice) -> NaiveDate {
    let first = NaiveDate::from_ymd_opt(2025, 1, 1).unwrap();
    let n = if dice.is_percent(2) { dice.below(200_000) } else { dice.below(1_500) };
    first.checked_add_days(Days::new(n as u64)).unwrap()
}

fn side(dice: &mut Dice) -> Side {
    *dice.one(&[Side::Whole, Side::Whole, Side::Left, Side::Right])
}

fn layout(dice: &mut Dice, garden: &Garden) -> Layout {
    let mut mm = || Mm(dice.between_or(3, -5, 1, 900) as i32);
    let (spacing_mm, row_mm, in_row_mm) = (mm(), mm(), mm());
    let run = *dice.one(&[Run::Along, Run::Across]);
    match dice.below(7) {
        0 => Layout::Grid { spacing_mm },
        1 => Layout::Offset { spacing_mm },
        2 => Layout::Rows { row_mm, in_row_mm, run },
        3 => Layout::Drill { row_mm, plants_per_m: dice.real(0.0, 200.0), run },
        4 => Layout::Edge { spacing_mm, along: side(dice) },
        5 => Layout::Between { host: planting_id(dice, garden) },
        _ => Layout::Broadcast { plants_per_m2: dice.real(0.0, 900.0) },
    }
}

fn strip(dice: &mut Dice, garden: &Garden, bed: &str) -> (Mm, Mm) {
    let length = garden.bed(bed).map_or(2_400, |bed| bed.length_mm.0);
    let beyond = if dice.is_percent(5) { 500 } else { 0 };
    let (a, b) = (dice.between(0, length.into()), dice.between(0, i64::from(length) + beyond));
    (Mm(a.min(b) as i32), Mm(a.max(b) as i32))
}

fn planting(dice: &mut Dice, garden: &Garden) -> Planting {
    let bed = bed_id(dice, garden);
    let mut planting = TEMPLATE.0.clone();
    planting.id = PlantingId(dice.between(0, N_PLANTINGS) as u32);
    planting.bed = bed;
    fill(dice, garden, &mut planting);
    planting
}

/// One that is there with something else about it; now and then one that is not there.
fn changed_planting(dice: &mut Dice, garden: &Garden) -> Planting {
    if garden.plantings.is_empty() || dice.is_percent(15) {
        return planting(dice, garden);
    }
    let mut planting = dice.one(&garden.plantings).clone();
    match dice.below(6) {
        0 => planting.bed = bed_id(dice, garden),
        1 => (planting.from_mm, planting.to_mm) = strip(dice, garden, &planting.bed),
        2 => planting.layout = layout(dice, garden),
        3 => planting.notes = notes(dice),
        4 => planting.planned.plant = dice.is_percent(70).then(|| day(dice)),
        _ => fill(dice, garden, &mut planting),
    }
    planting
}

fn fill(dice: &mut Dice, garden: &Garden, planting: &mut Planting) {
    (planting.from_mm, planting.to_mm) = strip(dice, garden, &planting.bed);
    planting.crop = (*dice.one(&CROPS)).to_owned();
    planting.variety = text(dice);
    planting.side = side(dice);
    planting.layout = layout(dice, garden);
    planting.setback_mm = dice.is_percent(30).then(|| Mm(dice.between(0, 300) as i32));
    planting.clump = dice.between_or(5, 0, 1, 8) as u32;
    planting.raised = *dice.one(&[Raised::Module, Raised::InPlace]);
    let mut days: Vec<Option<NaiveDate>> = (0..3).map(|_| dice.is_percent(40).then(|| day(dice))).collect();
    if dice.is_percent(85) {
        // In order of time, which dates must be; the days left out stay where they are.
        let mut known: Vec<NaiveDate> = days.iter().flatten().copied().collect();
        known.sort_unstable();
        let mut known = known.into_iter();
        for day in days.iter_mut().filter(|day| day.is_some()) {
            *day = known.next();
        }
    }
    (planting.planned.sow, planting.planned.plant, planting.planned.clear) = (days[0], days[1], days[2]);
    planting.notes = notes(dice);
}

fn bed(dice: &mut Dice) -> Bed {
    let mut bed = TEMPLATE.1.clone();
    (*dice.one(&BEDS)).clone_into(&mut bed.id);
    if dice.is_percent(4) {
        bed.id = text(dice);
    }
    bed.name = text(dice);
    bed.width_mm = Mm(dice.between_or(5, -1, 300, 2_000) as i32);
    bed.length_mm = Mm(dice.between(1_000, 6_000) as i32);
    bed.east_mm = Mm(dice.between(-20_000, 20_000) as i32);
    bed.south_mm = Mm(dice.between(0, 20_000) as i32);
    bed.bearing_deg = dice.between(0, 380) as u32;
    bed.kind = *dice.one(&[BedKind::Bed, BedKind::Border, BedKind::Container, BedKind::Permanent]);
    bed.cover = *dice.one(&[Cover::Open, Cover::Fleece, Cover::UnheatedTunnel, Cover::Glass]);
    bed.soil = *dice.one(&[SoilTexture::Loam, SoilTexture::Sand, SoilTexture::Clay]);
    bed.notes = notes(dice);
    bed
}

fn happening(dice: &mut Dice) -> Happening {
    let amount = |dice: &mut Dice| dice.is_percent(50).then(|| dice.below(9_000) as u32);
    match dice.below(8) {
        0 => Happening::Sown,
        1 => Happening::Emerged,
        2 => Happening::Planted,
        3 => Happening::Lost { plants: dice.below(30) as u32, why: dice.is_percent(50).then_some(Cause::Pest) },
        4 => Happening::Ended { why: dice.is_percent(50).then_some(Ending::Harvested) },
        _ => Happening::Picked {
            g: amount(dice),
            pieces: amount(dice),
            household: dice.is_percent(30).then(|| EntryId(dice.between(0, 4) as u32)),
            is_last: dice.is_percent(10),
        },
    }
}

/// A row of some list. Its number is drawn from the least, so that they meet again.
fn row(dice: &mut Dice, garden: &Garden) -> Entry {
    let id = EntryId(dice.between(0, 4) as u32);
    match *dice.one(List::ALL) {
        List::Return => {
            let family = (*dice.one(&["cabbage-family", "onion-family", "pea-family", "no family", ""])).to_owned();
            FamilyReturn { family, years: dice.between(0, 110) as u32 }.into()
        }
        List::Happened => {
            let (planting, date) = (planting_id(dice, garden), day(dice));
            Happened { id, planting, date, what: happening(dice) }.into()
        }
        List::Past => {
            let (from, to) = (dice.between(-5, 900), dice.between(-5, 2_000));
            let strip_mm = dice.is_percent(30).then_some((Mm(from as i32), Mm(to as i32)));
            let year = dice.between_or(10, 1_880, 2_000, 2_030) as i32;
            let what = (*dice.one(&CROPS)).to_owned();
            PastCrop { id, bed: bed_id(dice, garden), year, what, strip_mm, side: side(dice) }.into()
        }
        List::Hazard => {
            let hazard = (*dice.one(&["clubroot", "white-rot", "no such hazard"])).to_owned();
            HazardSeen { id, bed: bed_id(dice, garden), hazard, date: day(dice), notes: notes(dice) }.into()
        }
        List::Soil => {
            let amendments =
                [Amendment::Compost, Amendment::Manure, Amendment::FreshManure, Amendment::Lime, Amendment::Mulch];
            SoilEntry {
                id,
                bed: bed_id(dice, garden),
                date: day(dice),
                amendment: *dice.one(&amendments),
                depth_mm: dice.is_percent(50).then(|| Mm(dice.between(-1, 100) as i32)),
                weight_g: dice.is_percent(50).then(|| dice.below(90_000) as u32),
            }
            .into()
        }
        List::Accepted => {
            let against = match dice.below(6) {
                0 => Against::Planting(planting_id(dice, garden)),
                1 => Against::Past { year: dice.between(1_890, 2_210) as i32, what: text(dice) },
                2 => Against::Hazard(text(dice)),
                3 => Against::WeeksAfter(dice.between(1_890, 2_210) as i32),
                4 => Against::WeeksBefore(dice.between(1_890, 2_210) as i32),
                _ => Against::Nothing,
            };
            let rule = (*dice.one(&["repeat", "return", ""])).to_owned();
            Accepted { id, rule, planting: planting_id(dice, garden), against, reason: notes(dice) }.into()
        }
        List::Quiet => {
            let rule = (*dice.one(&["gap", "shade", ""])).to_owned();
            let bed = dice.is_percent(50).then(|| bed_id(dice, garden));
            let crop = dice.is_percent(50).then(|| text(dice));
            Quiet { id, rule, bed, crop, reason: notes(dice) }.into()
        }
        List::Household => {
            let crop = |dice: &mut Dice| if dice.is_percent(20) { text(dice) } else { (*dice.one(&CROPS)).to_owned() };
            let wants_g_per_week = (0..dice.below(3)).map(|_| (crop(dice), dice.below(900) as u32)).collect();
            Household { id, name: text(dice), n_people: dice.between(0, 10_300) as u32, wants_g_per_week }.into()
        }
        List::BoxKind => {
            let (n_crops, weight_g) = (dice.below(9) as u32, dice.below(9_000) as u32);
            BoxKind { id, name: text(dice), n_crops, weight_g }.into()
        }
        List::Price => Price { id, crop: text(dice), minor_per_kg: dice.below(900) as u32 }.into(),
        List::Expense => {
            let minor = dice.below(90_000) as u32;
            Expense { id, date: day(dice), kind: text(dice), minor, notes: notes(dice) }.into()
        }
        List::Seed => {
            let packed_year = dice.between_or(10, 1_880, 2_000, 2_030) as i32;
            let n_seeds = dice.below(900) as u32;
            SeedLot { id, crop: text(dice), variety: text(dice), n_seeds, packed_year }.into()
        }
        List::OwnCrop => {
            let mut crop = LEEK.clone();
            crop.id = format!("own-{id}");
            crop.name = text(dice);
            crop.caution = dice.is_percent(30).then(|| notes(dice));
            crop.into()
        }
    }
}

fn site(dice: &mut Dice, garden: &Garden) -> Site {
    let mut site = garden.site.clone();
    site.latitude_deg = dice.real(-95.0, 95.0);
    site.elevation_m = dice.between(-600, 3_000) as i32;
    site.last_frost = MonthDay { month: dice.between(1, 13) as u32, day: dice.between(1, 31) as u32 };
    site.climate = match dice.below(4) {
        0 => ClimateChoice::Nearest,
        1 => ClimateChoice::Book((*dice.one(&["maritime-upland", "no such climate", ""])).to_owned()),
        2 => ClimateChoice::Weather { file: (*dice.one(&["weather.csv", "../weather.csv", ""])).to_owned() },
        _ => {
            let n = dice.between(11, 13) as usize;
            let tmin_c: Vec<f64> = (0..n).map(|_| dice.real(-20.0, 15.0)).collect();
            let tmax_c = tmin_c.iter().map(|tmin| tmin + dice.real(-0.2, 12.0)).collect();
            let spread_c = dice.is_percent(50).then(|| dice.real(0.0, 11.0));
            ClimateChoice::Normals { tmin_c, tmax_c, rain_mm: None, spread_c }
        }
    };
    site
}
