//! Does an entry of the book hold together?
//!
//! Every complaint names the file, the entry and the field. The bounds are those of sense (a spacing above zero,
//! months 1 to 12, a range that does not run backwards), not of taste: a garden may believe what it likes of its crops.

use std::collections::{BTreeMap, HashMap, HashSet};

use unicode_width::UnicodeWidthStr;

use super::names::Words;
use super::spelling::folded;
use super::{
    Anchor, Asks, Bolting, BookError, Calendar, Crop, CropBook, Development, Exempt, Family, FamilyName, FollowRule,
    Hazard, KnownPlant, Months, Raised, Response, RuleSide, Seed, Spacing, StageLengths, Temperature, Timing,
};
use crate::units::Mm;

/// Longest name, in cells; a longer one is a mistake in a file, not a name.
const NAME_MAX_CELLS: usize = 60;
/// Longest id, in bytes.
const ID_MAX_BYTES: usize = 60;
/// Longest short name, in cells: what the narrowest column shows.
const SHORT_NAME_MAX_CELLS: usize = 14;
/// Longest distance between plants or rows, and tallest plant: 20 m.
const LENGTH_MAX: Mm = Mm(20_000);

type Checked = Result<(), String>;

/// One entry under check: where it stands, so that every complaint can say so.
struct Entry<'a> {
    file: &'a str,
    entry: &'a str,
}

impl Entry<'_> {
    fn field(&self, field: &str, checked: Checked) -> Result<(), BookError> {
        checked.map_err(|what| BookError {
            file: self.file.to_owned(),
            entry: self.entry.to_owned(),
            field: field.to_owned(),
            what,
        })
    }
}

fn says(holds: bool, what: impl FnOnce() -> String) -> Checked {
    if holds { Ok(()) } else { Err(what()) }
}

fn id(text: &str) -> Checked {
    says(!text.is_empty(), || "is empty".to_owned())?;
    says(text.len() <= ID_MAX_BYTES, || format!("is longer than {ID_MAX_BYTES} letters"))?;
    says(text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-' || b == b'_'), || {
        format!("`{text}` may hold only small letters a to z, digits, `-` and `_`")
    })
}

fn words(text: &str) -> Checked {
    says(!text.trim().is_empty(), || "is empty".to_owned())?;
    says(!text.chars().any(char::is_control), || "holds a control character".to_owned())
}

fn name(text: &str, max_cells: usize) -> Checked {
    words(text)?;
    says(text.width() <= max_cells, || format!("takes {} cells, at most {max_cells} are shown", text.width()))
}

fn names(texts: &[String]) -> Checked {
    texts.iter().try_for_each(|text| name(text, NAME_MAX_CELLS))
}

fn finite(value: f64) -> Checked {
    says(value.is_finite(), || "is not a number".to_owned())
}

fn between(value: f64, low: f64, high: f64, unit: &str) -> Checked {
    finite(value)?;
    says((low..=high).contains(&value), || format!("is {value}, must be between {low} and {high}{unit}"))
}

fn above_zero(value: f64) -> Checked {
    finite(value)?;
    says(value > 0.0, || format!("is {value}, must be above 0"))
}

fn length(value: Mm) -> Checked {
    says(value > Mm::ZERO, || format!("is {} mm, must be above 0", value.0))?;
    says(value <= LENGTH_MAX, || format!("is {} mm, must be at most {} mm", value.0, LENGTH_MAX.0))
}

fn count(value: u32, max: u32) -> Checked {
    says((1..=max).contains(&value), || format!("is {value}, must be between 1 and {max}"))
}

fn rising(values: &[(&str, f64)]) -> Checked {
    for &(_, value) in values {
        finite(value)?;
    }
    for pair in values.windows(2) {
        if let [(low_name, low), (high_name, high)] = pair {
            says(low <= high, || format!("runs backwards: {low_name} {low} is above {high_name} {high}"))?;
        }
    }
    Ok(())
}

/// A window may wrap round the year's end. One that begins the month after it ends covers all twelve months
/// written backwards, which nobody means: a whole year is 1 to 12.
fn months(window: Months) -> Checked {
    for month in [window.from, window.to] {
        says((1..=12).contains(&month), || format!("month {month} is not 1 to 12"))?;
    }
    says(window.from != window.to + 1, || {
        format!("{} to {} runs backwards round the whole year; write 1 to 12 if that is meant", window.from, window.to)
    })
}

fn known(family: &str, family_idx_by_id: &HashMap<String, usize>) -> Checked {
    says(family_idx_by_id.contains_key(family), || format!("`{family}` is no family of families.ron"))
}

fn once<'a>(file: &str, ids: impl Iterator<Item = &'a str>) -> Result<(), BookError> {
    let mut seen = HashSet::new();
    for one in ids {
        Entry { file, entry: one }.field("id", says(seen.insert(one), || "is there twice".to_owned()))?;
    }
    Ok(())
}

/// The name an entry goes by in a complaint.
fn entry_name(id: &str, place: usize) -> String {
    if id.is_empty() { format!("entry {}", place + 1) } else { id.to_owned() }
}

/// Checks crops, each by itself and their ids among one another.
///
/// # Errors
/// The first field that does not hold together.
pub(super) fn crops(file: &str, crops: &[Crop], family_idx_by_id: &HashMap<String, usize>) -> Result<(), BookError> {
    for (place, one) in crops.iter().enumerate() {
        let entry = entry_name(&one.id, place);
        crop(&Entry { file, entry: &entry }, one, family_idx_by_id)?;
    }
    once(file, crops.iter().map(|crop| crop.id.as_str()))
}

fn crop(at: &Entry<'_>, crop: &Crop, family_idx_by_id: &HashMap<String, usize>) -> Result<(), BookError> {
    at.field("id", id(&crop.id))?;
    at.field("name", name(&crop.name, NAME_MAX_CELLS))?;
    at.field("short_name", name(&crop.short_name, SHORT_NAME_MAX_CELLS))?;
    at.field("other_names", names(&crop.other_names))?;
    at.field("latin", name(&crop.latin, NAME_MAX_CELLS))?;
    at.field("family", known(&crop.family, family_idx_by_id))?;
    at.field("groups", names(&crop.groups))?;
    at.field("known_as", crop.known_as.as_deref().map_or(Ok(()), id))?;
    if let Some(bed_years) = &crop.bed_years {
        at.field("bed_years", says(crop.is_permanent, || "is only for a crop that is_permanent".to_owned()))?;
        at.field("bed_years.most", count(bed_years.most.into(), 100))?;
        at.field("bed_years.source", words(&bed_years.source))?;
    }
    spacing(at, &crop.spacing)?;
    seed(at, &crop.seed)?;
    at.field("emergence.source", crop.emergence.as_ref().map_or(Ok(()), |comes_up| words(&comes_up.source)))?;
    calendar(at, &crop.calendar)?;
    raising(at, crop)?;
    if let Some(stages) = &crop.stages {
        stage_lengths(at, stages)?;
    }
    temperature(at, &crop.temperature)?;
    crop.development.as_ref().map_or(Ok(()), |found| development(at, found))?;
    response(at, &crop.response)?;
    at.field("size.height_mm", length(crop.size.height_mm))?;
    at.field("size.root_mm", length(crop.size.root_mm))?;
    at.field("size.source", words(&crop.size.source))?;
    let yields = &crop.yields;
    at.field("yields.low_kg_per_m2", between(yields.low_kg_per_m2, 0.0, 1000.0, " kg per m²"))?;
    at.field(
        "yields",
        rising(&[
            ("low", yields.low_kg_per_m2),
            ("typical", yields.typical_kg_per_m2),
            ("high", yields.high_kg_per_m2),
        ]),
    )?;
    at.field("yields.source", words(&yields.source))?;
    at.field("keeping.weeks", crop.keeping.weeks.map_or(Ok(()), above_zero))?;
    at.field("keeping.source", words(&crop.keeping.source))?;
    at.field("feeding_source", words(&crop.feeding_source))?;
    at.field("caution", crop.caution.as_deref().map_or(Ok(()), words))?;
    timing(at, &crop.timing)
}

fn development(at: &Entry<'_>, development: &Development) -> Result<(), BookError> {
    let Development { base_c, optimum_c, ceiling_c, maximum_c, ripens_by: _, source } = development;
    let in_order = [("base", *base_c), ("optimum", *optimum_c), ("ceiling", *ceiling_c), ("maximum", *maximum_c)];
    for (_, celsius) in in_order {
        at.field("development", between(celsius, -60.0, 60.0, " °C"))?;
    }
    at.field("development", rising(&in_order))?;
    at.field("development.source", words(source))
}

/// The greatest rate or weight of a response: beyond it the exponentials tell nothing apart.
const RESPONSE_MAX: f64 = 100.0;

fn response(at: &Entry<'_>, response: &Response) -> Result<(), BookError> {
    let Response::Shortest { warmth_rate, light_rate, light_weight, source } = response else { return Ok(()) };
    for (field, rate) in [("response.warmth_rate", *warmth_rate), ("response.light_rate", *light_rate)] {
        at.field(field, above_zero(rate))?;
        at.field(field, between(rate, 0.0, RESPONSE_MAX, ""))?;
    }
    at.field("response.light_weight", between(*light_weight, 0.0, RESPONSE_MAX, ""))?;
    at.field("response.source", words(source))
}

fn timing(at: &Entry<'_>, timing: &Timing) -> Result<(), BookError> {
    let hours = |value| between(value, 0.0, 24.0, " hours");
    let degrees = |value| between(value, -60.0, 60.0, " °C");
    if let Some(Anchor::LongDays { hours: long }) = timing.anchor {
        at.field("timing.anchor.hours", hours(long))?;
    }
    for bolting in &timing.bolting {
        match *bolting {
            Bolting::LongDays { hours: long, warm_c, n_days } => {
                at.field("timing.bolting.hours", hours(long))?;
                at.field("timing.bolting.warm_c", degrees(warm_c))?;
                at.field("timing.bolting.n_days", count(n_days, 366))?;
            }
            Bolting::Cold { below_c, n_days } => {
                at.field("timing.bolting.below_c", degrees(below_c))?;
                at.field("timing.bolting.n_days", count(n_days, 366))?;
            }
            Bolting::TooForward { growth_days } => {
                at.field("timing.bolting.growth_days", above_zero(growth_days))?;
            }
        }
    }
    let is_empty = timing.anchor.is_none() && timing.bolting.is_empty() && !timing.under_cover;
    at.field("timing.source", if is_empty { Ok(()) } else { words(&timing.source) })
}

fn spacing(at: &Entry<'_>, spacing: &Spacing) -> Result<(), BookError> {
    for (field, value) in [
        ("spacing.equidistant_mm", spacing.equidistant_mm),
        ("spacing.row_mm", spacing.row_mm),
        ("spacing.in_row_mm", spacing.in_row_mm),
    ] {
        at.field(field, value.map_or(Ok(()), length))?;
    }
    at.field("spacing.clump", count(spacing.clump, 1000))?;
    at.field("spacing.row_clump", count(spacing.row_clump, 1000))?;
    at.field("spacing.sow_g_per_m2", spacing.sow_g_per_m2.map_or(Ok(()), above_zero))?;
    let has_rows = spacing.row_mm.is_some() && spacing.in_row_mm.is_some();
    at.field(
        "spacing",
        says(has_rows || spacing.equidistant_mm.is_some() || spacing.sow_g_per_m2.is_some(), || {
            "says no way to set it out: give equidistant_mm, row_mm with in_row_mm, or sow_g_per_m2".to_owned()
        }),
    )?;
    at.field("spacing.source", words(&spacing.source))
}

fn seed(at: &Entry<'_>, seed: &Seed) -> Result<(), BookError> {
    at.field("seed.raised", says(!seed.raised.is_empty(), || "names no way of raising it".to_owned()))?;
    let mut ways = HashSet::new();
    at.field("seed.raised", says(seed.raised.iter().all(|way| ways.insert(way)), || "names a way twice".to_owned()))?;
    at.field(
        "seed.depth_mm",
        says((Mm::ZERO..=LENGTH_MAX).contains(&seed.depth_mm), || format!("is {} mm", seed.depth_mm.0)),
    )?;
    at.field("seed.per_g", seed.per_g.map_or(Ok(()), above_zero))?;
    at.field("seed.germination_pct", between(seed.germination_pct, 1.0, 100.0, " per cent"))?;
    at.field("seed.weeks_in_module", seed.weeks_in_module.map_or(Ok(()), |weeks| count(weeks, 104)))?;
    at.field("seed.source", words(&seed.source))
}

fn calendar(at: &Entry<'_>, calendar: &Calendar) -> Result<(), BookError> {
    for (field, window) in [
        ("calendar.sow_indoor", calendar.sow_indoor),
        ("calendar.sow_outdoor", calendar.sow_outdoor),
        ("calendar.plant_out", calendar.plant_out),
        ("calendar.days_hold", calendar.days_hold),
        ("calendar.harvest", Some(calendar.harvest)),
    ] {
        at.field(field, window.map_or(Ok(()), months))?;
    }
    at.field("calendar.days_from_sow", calendar.days_from_sow.map_or(Ok(()), |days| count(days, 3650)))?;
    at.field("calendar.days_from_planting", calendar.days_from_planting.map_or(Ok(()), |days| count(days, 3650)))?;
    at.field(
        "calendar",
        says(calendar.days_from_sow.is_some() || calendar.days_from_planting.is_some(), || {
            "says neither days_from_sow nor days_from_planting".to_owned()
        }),
    )?;
    at.field("calendar.harvest_weeks", above_zero(calendar.harvest_weeks))?;
    at.field("calendar.harvest_weeks", between(calendar.harvest_weeks, 0.0, 520.0, " weeks"))?;
    at.field("calendar.source", words(&calendar.source))
}

/// Days of a month, where none in particular is meant.
const MONTH_DAYS: u32 = 30;

/// Whether months and ways of raising go together.
fn raising(at: &Entry<'_>, crop: &Crop) -> Result<(), BookError> {
    let calendar = &crop.calendar;
    let has_modules = crop.seed.raised.contains(&Raised::Module);
    at.field(
        "calendar.sow_indoor",
        says(calendar.sow_indoor.is_none() || has_modules, || "is for a crop that is raised in modules".to_owned()),
    )?;
    if let (Some(sow), Some(plant), Some(weeks)) = (calendar.sow_indoor, calendar.plant_out, crop.seed.weeks_in_module)
    {
        let n_days = ((sow.to + 12 - sow.from) % 12 + 1) * MONTH_DAYS;
        let first = (sow.from - 1) * MONTH_DAYS + weeks * 7;
        let is_met = (first..first + n_days).any(|day| plant.holds(day / MONTH_DAYS % 12 + 1));
        at.field(
            "calendar.plant_out",
            says(is_met, || {
                format!("is no month that a sowing of months {} to {} reaches in {weeks} weeks", sow.from, sow.to)
            }),
        )?;
    }
    if let Some(hold) = calendar.days_hold {
        let goes_in = [calendar.plant_out, calendar.sow_outdoor];
        let is_within = goes_in.into_iter().flatten().any(|months| months.holds(hold.from) && months.holds(hold.to));
        at.field("calendar.days_hold", says(is_within, || "is no part of the months in which it goes in".to_owned()))?;
    }
    Ok(())
}

fn stage_lengths(at: &Entry<'_>, stages: &StageLengths) -> Result<(), BookError> {
    for (field, days) in [
        ("stages.initial_days", stages.initial_days),
        ("stages.development_days", stages.development_days),
        ("stages.mid_days", stages.mid_days),
        ("stages.late_days", stages.late_days),
    ] {
        at.field(field, between(days, 0.0, 3650.0, " days"))?;
    }
    let sum = stages.initial_days + stages.development_days + stages.mid_days + stages.late_days;
    at.field("stages", says(sum > 0.0, || "add up to nothing".to_owned()))?;
    at.field("stages.source", words(&stages.source))
}

fn temperature(at: &Entry<'_>, temperature: &Temperature) -> Result<(), BookError> {
    for (field, degrees) in [
        ("temperature.base_c", Some(temperature.base_c)),
        ("temperature.optimum_c", Some(temperature.optimum_c)),
        ("temperature.optimum_low_c", Some(temperature.optimum_low_c)),
        ("temperature.optimum_high_c", Some(temperature.optimum_high_c)),
        ("temperature.growth_min_c", temperature.growth_min_c),
        ("temperature.growth_max_c", temperature.growth_max_c),
        ("temperature.hardiness_c", Some(temperature.hardiness_c)),
    ] {
        at.field(field, degrees.map_or(Ok(()), |degrees| between(degrees, -60.0, 60.0, " °C")))?;
    }
    at.field(
        "temperature",
        rising(&[
            ("optimum_low_c", temperature.optimum_low_c),
            ("optimum_c", temperature.optimum_c),
            ("optimum_high_c", temperature.optimum_high_c),
        ]),
    )?;
    at.field("temperature", rising(&[("base_c", temperature.base_c), ("optimum_high_c", temperature.optimum_high_c)]))?;
    if let Some(min) = temperature.growth_min_c {
        // It cannot grow where its degree-days count nothing.
        at.field("temperature", rising(&[("base_c", temperature.base_c), ("growth_min_c", min)]))?;
    }
    if let (Some(min), Some(max)) = (temperature.growth_min_c, temperature.growth_max_c) {
        at.field("temperature", rising(&[("growth_min_c", min), ("growth_max_c", max)]))?;
    }
    at.field("temperature.source", words(&temperature.source))
}

/// Checks families, each by itself and their ids among one another.
///
/// # Errors
/// The first field that does not hold together.
pub(super) fn families(file: &str, families: &[Family]) -> Result<(), BookError> {
    for (place, family) in families.iter().enumerate() {
        let entry = entry_name(&family.id, place);
        let at = Entry { file, entry: &entry };
        at.field("id", id(&family.id))?;
        at.field("botanical", name(&family.botanical, NAME_MAX_CELLS))?;
        at.field("common", name(&family.common, NAME_MAX_CELLS))?;
        at.field("return_min_years", count(family.return_min_years, 100))?;
        let mut years = vec![
            ("return_min_years", f64::from(family.return_min_years)),
            ("return_usual_years", f64::from(family.return_usual_years)),
        ];
        years.extend(family.return_max_years.map(|max| ("return_max_years", f64::from(max))));
        at.field("return years", rising(&years))?;
        at.field(
            "named",
            says((family.named == FamilyName::Family) == family.usual_name().ends_with("family"), || {
                "must say Family where the first common name does, and nowhere else".to_owned()
            }),
        )?;
        at.field(
            "exempt_basis",
            says((family.exempt == Exempt::No) == family.exempt_basis.trim().is_empty(), || {
                "must say why the family is exempt, and nothing if it is not".to_owned()
            }),
        )?;
        at.field(
            "exempt_crops",
            says((family.exempt == Exempt::Partly) != family.exempt_crops.is_empty(), || {
                "must name the crops of a family exempt in part, and none of another".to_owned()
            }),
        )?;
        if let Some(counts_with) = &family.counts_with {
            let is_known = families.iter().any(|other| other.id == counts_with.family && other.id != family.id);
            at.field("counts_with.family", says(is_known, || "must be the id of another family".to_owned()))?;
            at.field("counts_with.crops", says(!counts_with.crops.is_empty(), || "must name crops".to_owned()))?;
            at.field("counts_with.source", words(&counts_with.source))?;
        }
        if let Some(after_lime) = &family.after_lime {
            at.field("after_lime.within_years", count(after_lime.within_years, 100))?;
            at.field("after_lime.source", words(&after_lime.source))?;
        }
        at.field("source", words(&family.source))?;
    }
    once(file, families.iter().map(|family| family.id.as_str()))
}

/// Checks plants that are known by name only; none may take the id of a crop.
///
/// # Errors
/// The first field that does not hold together.
pub(super) fn plants(
    file: &str,
    plants: &[KnownPlant],
    family_idx_by_id: &HashMap<String, usize>,
    crop_idx_by_id: &HashMap<String, usize>,
) -> Result<(), BookError> {
    for (place, plant) in plants.iter().enumerate() {
        let entry = entry_name(&plant.id, place);
        let at = Entry { file, entry: &entry };
        at.field("id", id(&plant.id))?;
        at.field("id", says(!crop_idx_by_id.contains_key(&plant.id), || "is the id of a crop".to_owned()))?;
        at.field("name", name(&plant.name, NAME_MAX_CELLS))?;
        at.field("other_names", names(&plant.other_names))?;
        at.field("latin", name(&plant.latin, NAME_MAX_CELLS))?;
        at.field("family", known(&plant.family, family_idx_by_id))?;
        at.field("groups", names(&plant.groups))?;
        at.field("source", words(&plant.source))?;
    }
    once(file, plants.iter().map(|plant| plant.id.as_str()))
}

/// Checks hazards, each by itself and their ids among one another.
///
/// # Errors
/// The first field that does not hold together.
pub(super) fn hazards(file: &str, hazards: &[Hazard], families: &[Family]) -> Result<(), BookError> {
    for (place, hazard) in hazards.iter().enumerate() {
        let entry = entry_name(&hazard.id, place);
        let at = Entry { file, entry: &entry };
        at.field("id", id(&hazard.id))?;
        at.field("name", name(&hazard.name, NAME_MAX_CELLS))?;
        at.field("cause", words(&hazard.cause))?;
        for family in &hazard.host_families {
            at.field("host_families", family_or_botanical(family, families))?;
        }
        for family in &hazard.examples_of {
            at.field(
                "examples_of",
                says(hazard.host_families.contains(family), || format!("`{family}` is not among the host families")),
            )?;
        }
        at.field("host_crops", names(&hazard.host_crops))?;
        at.field(
            "host_crops",
            says(!hazard.host_crops.is_empty() || !hazard.host_families.is_empty(), || "names no host".to_owned()),
        )?;
        at.field("host_green_manures", names(&hazard.host_green_manures))?;
        let (low, usual, high) = hazard.persistence_years;
        at.field("persistence_years", between(low, 0.0, 1000.0, " years"))?;
        at.field("persistence_years", rising(&[("low", low), ("usual", usual), ("high", high)]))?;
        let (least, usual) = hazard.break_years;
        at.field("break_years", between(least, 0.0, 1000.0, " years"))?;
        at.field("break_years", rising(&[("least", least), ("usual", usual)]))?;
        if let Asks::LessRisk { basis } = &hazard.asks {
            at.field("asks.basis", words(basis))?;
        }
        at.field("source", words(&hazard.source))?;
    }
    once(file, hazards.iter().map(|hazard| hazard.id.as_str()))
}

fn family_or_botanical(text: &str, families: &[Family]) -> Checked {
    says(families.iter().any(|family| family.botanical == text || family.id == text), || {
        format!("`{text}` is no family of families.ron")
    })
}

/// Checks the id of a rule as the file writes it.
///
/// # Errors
/// It is empty, holds odd letters, or is there twice.
pub(super) fn rule_id(file: &str, text: &str, is_new: bool) -> Result<(), BookError> {
    let at = Entry { file, entry: text };
    at.field("id", words(text))?;
    at.field(
        "id",
        says(text.bytes().all(|b| b.is_ascii_alphanumeric()), || "may hold only letters and digits".to_owned()),
    )?;
    at.field("id", says(is_new, || "is there twice".to_owned()))
}

/// Checks rules, pair by pair.
///
/// # Errors
/// The first field that does not hold together.
pub(super) fn follow_rules(
    file: &str,
    rules: &[FollowRule],
    families: &[Family],
    hazards: &[Hazard],
) -> Result<(), BookError> {
    let ids: HashSet<&str> = rules.iter().map(|rule| rule.id.as_str()).collect();
    for rule in rules {
        let at = Entry { file, entry: &rule.id };
        for (field, kind, side) in [("before", rule.before_kind, &rule.before), ("after", rule.after_kind, &rule.after)]
        {
            at.field(field, words(side))?;
            if kind == RuleSide::Family && side != super::SAME_FAMILY {
                at.field(field, family_or_botanical(side, families))?;
            }
        }
        at.field("within_years", above_zero(rule.within_years))?;
        at.field("reason", words(&rule.reason))?;
        at.field("source", words(&rule.source))?;
        for hazard in &rule.needs_seen {
            at.field(
                "needs_seen",
                says(hazards.iter().any(|one| one.id == *hazard), || format!("`{hazard}` is no hazard of hazards.ron")),
            )?;
        }
        for other in &rule.conflicts_with {
            at.field("conflicts_with", says(ids.contains(other.as_str()), || format!("`{other}` is no rule")))?;
        }
    }
    Ok(())
}

/// Checks the table of sources.
///
/// # Errors
/// A key without words.
pub(super) fn sources(file: &str, sources: &BTreeMap<String, String>) -> Result<(), BookError> {
    sources.iter().try_for_each(|(key, text)| Entry { file, entry: key }.field("words", words(text)))
}

/// Checks the words beside the names of crops and families.
///
/// # Errors
/// A word that means nothing in the book, or that is there twice.
pub(super) fn words_of_book(file: &str, words_beside: &Words, book: &CropBook) -> Result<(), BookError> {
    let is_botanical = |name: &str| book.families.iter().any(|family| family.botanical == name);
    let botanical =
        |name: &str| says(is_botanical(name), || format!("`{name}` is no botanical family of families.ron"));
    let at = |entry| Entry { file, entry };
    at("usual").field("source", words(&words_beside.usual.source))?;
    for (word, id) in &words_beside.usual.meanings {
        let is_known = book.crop_idx(id).is_some() || book.plants.iter().any(|plant| plant.id == *id);
        at(word).field("usual", says(is_known, || format!("`{id}` is no crop and no plant")))?;
    }
    at("old_families").field("source", words(&words_beside.old_families.source))?;
    for (word, family) in &words_beside.old_families.meanings {
        at(word).field("old_families", botanical(family))?;
    }
    at("common_families").field("source", words(&words_beside.common_families.source))?;
    for name in &words_beside.common_families.names {
        at(&name.word).field("common_families", botanical(&name.family))?;
    }
    at("fallow").field("source", words(&words_beside.fallow.source))?;
    for word in &words_beside.fallow.words {
        at(word).field("fallow", says(*word == folded(word), || "is not in small letters".to_owned()))?;
    }
    once(file, words_beside.common_families.names.iter().map(|name| name.word.as_str()))
}

#[cfg(test)]
#[path = "check_tests.rs"]
mod tests;
