//! One crop's page: what the book says of it, and where that comes from.

use std::fmt::Write as _;

use crate::crops::{Crop, CropBook, Feeding, HarvestHabit, KnownPlant, Months};
use crate::export::Page;
use crate::units::Mm;
use crate::words::{life_word, raised_words};

const MONTHS: [&str; 12] = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/// `Mar–May`, or one month alone.
pub fn months_words(months: Months) -> String {
    let name = |month: u32| MONTHS.get(month.saturating_sub(1) as usize).copied().unwrap_or("?");
    if months.from == months.to {
        name(months.from).to_owned()
    } else {
        format!("{}–{}", name(months.from), name(months.to))
    }
}

/// What the book says of a crop it knows in full.
pub fn write_crop(page: &mut Page, book: &CropBook, crop: &Crop) {
    page.line(&format!("{} ({})", crop.name, crop.latin));
    if let Some(caution) = &crop.caution {
        page.paragraph("CAUTION  ", "         ", caution);
    }
    page.blank();
    row(page, "id", &crop.id);
    row(page, "family", &family_words(book, &crop.family));
    let stays = if crop.is_permanent { ", keeps its bed for years" } else { "" };
    row(page, "life", &format!("{}{stays}", life_word(crop.life)));
    if !crop.groups.is_empty() {
        row(page, "groups", &crop.groups.join(", "));
    }
    write_ground(page, crop);
    write_calendar(page, crop);
    let temperature = &crop.temperature;
    let range = format!("{}–{} °C at best", temperature.optimum_low_c, temperature.optimum_high_c);
    row(page, "temperature", &format!("grows from {} °C, {range}", temperature.base_c));
    row(page, "hardiness", &format!("killed at about {} °C in the open", temperature.hardiness_c));
    row(page, "size", &format!("{} cm high, roots to {} cm", crop.size.height_mm, crop.size.root_mm));
    let yields = &crop.yields;
    let (low, typical, high) = (yields.low_kg_per_m2, yields.typical_kg_per_m2, yields.high_kg_per_m2);
    row(page, "yield", &format!("{typical} kg per m² (poor {low}, good {high})"));
    let feeding = match crop.feeding {
        Feeding::Light => "light feeder",
        Feeding::Medium => "medium feeder",
        Feeding::Heavy => "heavy feeder",
    };
    row(page, "feeding", feeding);
    if let Some(weeks) = crop.keeping.weeks {
        row(page, "keeping", &format!("{weeks} weeks; {}", crop.keeping.conditions));
    }
    write_sources(page, book, crop);
}

/// What the book says of a plant it knows by name and family only.
pub fn write_plant(page: &mut Page, book: &CropBook, plant: &KnownPlant) {
    page.line(&format!("{} ({})", plant.name, plant.latin));
    page.blank();
    row(page, "id", &plant.id);
    row(page, "family", &family_words(book, &plant.family));
    if !plant.trap_note.is_empty() {
        row(page, "mind", &plant.trap_note);
    }
    row(page, "source", book.source_words(&plant.source));
    page.blank();
    page.line("Known by name and family only, so that a history may name it.");
}

fn row(page: &mut Page, name: &str, text: &str) {
    page.paragraph(&format!("{name:<14}"), "              ", text);
}

fn family_words(book: &CropBook, id: &str) -> String {
    book.family(id).map_or_else(|| id.to_owned(), |family| format!("{}, {} ({id})", family.botanical, family.common))
}

fn write_ground(page: &mut Page, crop: &Crop) {
    let spacing = &crop.spacing;
    let clump = |n: u32| if n == 1 { String::new() } else { format!(", {n} plants at each station") };
    if let Some(length) = spacing.equidistant_mm {
        row(page, "each way", &format!("{length} cm{}", clump(spacing.clump)));
    }
    if let (Some(row_mm), Some(in_row_mm)) = (spacing.row_mm, spacing.in_row_mm) {
        row(page, "rows", &format!("{row_mm} cm apart, {in_row_mm} cm in the row{}", clump(spacing.row_clump)));
    }
    if let Some(grams) = spacing.sow_g_per_m2 {
        row(page, "broadcast", &format!("{grams} g per m²"));
    }
    let seed = &crop.seed;
    let ways: Vec<&str> = seed.raised.iter().map(|&raised| raised_words(raised)).collect();
    let mut raised = ways.join(" or ");
    if let Some(weeks) = seed.weeks_in_module {
        let _ = write!(raised, ", {weeks} weeks in modules");
    }
    row(page, "raised", &raised);
    let per_g = seed.per_g.map_or(String::new(), |per_g| format!(", {per_g} seeds to the gram"));
    let depth =
        if seed.depth_mm > Mm::ZERO { format!("{} cm deep", seed.depth_mm) } else { "at the surface".to_owned() };
    row(page, "seed", &format!("{depth}{per_g}, {} % come up", seed.germination_pct));
}

fn write_calendar(page: &mut Page, crop: &Crop) {
    let calendar = &crop.calendar;
    for (name, months) in [
        ("sow indoors", calendar.sow_indoor),
        ("sow outdoors", calendar.sow_outdoor),
        ("plant out", calendar.plant_out),
        ("harvest", Some(calendar.harvest)),
    ] {
        if let Some(months) = months {
            row(page, name, &months_words(months));
        }
    }
    let mut days = Vec::new();
    if let Some(n) = calendar.days_from_sow {
        days.push(format!("{n} days from sowing"));
    }
    if let Some(n) = calendar.days_from_planting {
        days.push(format!("{n} days from planting out"));
    }
    if !days.is_empty() {
        row(page, "first pick", &days.join(", "));
    }
    let habit = match calendar.habit {
        HarvestHabit::Once => "all at once",
        HarvestHabit::Standing => "stands until it is wanted",
        HarvestHabit::PickedOver => "picked over",
        HarvestHabit::CutAndComeAgain => "cut and come again",
        HarvestHabit::Storage => "lifted and stored",
    };
    row(page, "habit", &format!("{habit}; {} weeks of harvest", calendar.harvest_weeks));
    if !calendar.bolting_note.is_empty() {
        row(page, "bolting", &calendar.bolting_note);
    }
}

fn write_sources(page: &mut Page, book: &CropBook, crop: &Crop) {
    page.blank();
    page.line("Sources");
    for (name, source) in [
        ("spacing", &crop.spacing.source),
        ("seed", &crop.seed.source),
        ("calendar", &crop.calendar.source),
        ("temperature", &crop.temperature.source),
        ("size", &crop.size.source),
        ("yield", &crop.yields.source),
        ("feeding", &crop.feeding_source),
        ("keeping", &crop.keeping.source),
    ] {
        if !source.is_empty() {
            row(page, &format!("  {name}"), book.source_words(source));
        }
    }
}
