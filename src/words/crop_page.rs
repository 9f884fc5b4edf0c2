//! One crop's page: what the book says of it and where that comes from, in sections that each face lays out as it has room.

use super::plantings::{feeding_word, habit_words, life_word, raised_words};
use super::text::counted;
use crate::crops::{Calendar, Crop, CropBook, KnownPlant, Months, Raised, Seed, Spacing};
use crate::garden::Garden;
use crate::season::Plan;
use crate::units::Mm;

/// Most plantings of the crop that are told.
const N_PLANTINGS_TOLD: usize = 40;

/// A page.
#[derive(Debug, Clone, PartialEq)]
pub struct CropPage {
    /// The crop's name.
    pub name: String,
    /// Its Latin name.
    pub latin: String,
    /// Its id.
    pub id: String,
    /// Whether the garden has this page of its own.
    pub is_own: bool,
    /// What can hurt, and on whose word.
    pub caution: Option<String>,
    /// What is known of it; the first section has no title.
    pub sections: Vec<Section>,
}

/// What belongs together.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// Its heading; none if empty.
    pub title: &'static str,
    /// Whether its facts are read with their names.
    pub is_named: bool,
    /// In the order in which one reads them.
    pub facts: Vec<Fact>,
}

/// One fact.
#[derive(Debug, Clone, PartialEq)]
pub struct Fact {
    /// What it is about.
    pub name: &'static str,
    /// What is said.
    pub value: Value,
    /// Where it and the facts before it that have none come from.
    pub source: Option<Source>,
}

/// What a fact says.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// In words.
    Words(String),
    /// A window of the year.
    Months(Months),
}

/// Where figures come from.
#[derive(Debug, Clone, PartialEq)]
pub struct Source {
    /// Of which figures.
    pub of: &'static str,
    /// In words.
    pub words: String,
}

impl CropPage {
    /// What the book says of a crop it knows in full; years of rotation as the garden asks for them, if there is one.
    pub fn of_crop(book: &CropBook, crop: &Crop, garden: Option<&Garden>) -> Self {
        let caution = crop.caution.as_ref().map(|caution| {
            let source = book.source_words(&crop.caution_source);
            if source.is_empty() { caution.clone() } else { format!("{caution} {source}") }
        });
        let (cold, size, yields) = (&crop.temperature, &crop.size, &crop.yields);
        let (low, high) = (cold.optimum_low_c, cold.optimum_high_c);
        let cold_words =
            format!("grows above {} °C, best at {low} to {high} °C; killed about {} °C", cold.base_c, cold.hardiness_c);
        let size_words = format!("{} cm tall, roots to {} cm", size.height_mm, size.root_mm);
        let (poor, usual, good) = (yields.low_kg_per_m2, yields.typical_kg_per_m2, yields.high_kg_per_m2);
        let mut rest = vec![
            Fact::words("size", size_words).from("size", book, &size.source),
            Fact::words("feeding", format!("{} feeder", feeding_word(crop.feeding))).from(
                "feeding",
                book,
                &crop.feeding_source,
            ),
            Fact::words("yield", format!("{usual} kg per m² ({poor} to {good})")).from("yield", book, &yields.source),
        ];
        if let Some(weeks) = crop.keeping.weeks {
            let words = format!("keeps {weeks} weeks at {}", crop.keeping.conditions);
            rest.push(Fact::words("keeping", words).from("keeping", book, &crop.keeping.source));
        }
        let sections = vec![
            Section::of("", identity(book, crop, garden)),
            Section::of("Months", ending_in("calendar", book, &crop.calendar.source, year(&crop.calendar))),
            Section::of("Spacing", ending_in("spacing", book, &crop.spacing.source, ground(&crop.spacing))),
            Section::of("Raising", ending_in("seed", book, &crop.seed.source, raising(&crop.seed))),
            Section::of(
                "Warmth and cold",
                vec![Fact::words("temperature", cold_words).from("temperature", book, &cold.source)],
            ),
            Section::of("Size, food, yield, keeping", rest),
            Section { is_named: true, ..Section::of("In rotation", kind(crop)) },
        ];
        Self {
            name: crop.name.clone(),
            latin: crop.latin.clone(),
            id: crop.id.clone(),
            is_own: garden.is_some_and(|garden| garden.own_crops.iter().any(|own| own.id == crop.id)),
            caution,
            sections,
        }
    }

    /// What the book says of a plant it knows by name and family only.
    pub fn of_plant(book: &CropBook, plant: &KnownPlant) -> Self {
        let mut facts = vec![Fact::words("family", family_words(book, &plant.family))];
        if !plant.trap_note.is_empty() {
            facts.push(Fact::words("mind", plant.trap_note.clone()));
        }
        let known = "known by name and family only, so that a history may name it".to_owned();
        facts.push(Fact::words("known", known).from("plant", book, &plant.source));
        Self {
            name: plant.name.clone(),
            latin: plant.latin.clone(),
            id: plant.id.clone(),
            is_own: false,
            caution: None,
            sections: vec![Section::of("", facts)],
        }
    }

    /// Adds where and when the crop stands in a plan, if it does.
    pub fn add_plantings(&mut self, plan: &Plan) {
        let plantings = plan.garden().plantings.iter().filter(|planting| planting.crop == self.id);
        let told: Vec<String> = plantings
            .filter_map(|planting| {
                let enters = plan.standing(planting.id)?.stages.enters;
                Some(format!("{} {}", planting.bed, enters.format("%b %Y")))
            })
            .take(N_PLANTINGS_TOLD)
            .collect();
        if !told.is_empty() {
            let facts = vec![Fact::words("plantings", told.join(", "))];
            self.sections.push(Section::of("In this garden", facts));
        }
    }

    /// Every source of the page, in the order of what it is the source of.
    pub fn sources(&self) -> impl Iterator<Item = &Source> {
        self.sections.iter().flat_map(|section| &section.facts).filter_map(|fact| fact.source.as_ref())
    }
}

impl Section {
    fn of(title: &'static str, facts: Vec<Fact>) -> Self {
        Self { title, is_named: false, facts }
    }
}

impl Fact {
    fn words(name: &'static str, words: String) -> Self {
        Self { name, value: Value::Words(words), source: None }
    }

    fn from(self, of: &'static str, book: &CropBook, source: &str) -> Self {
        let words = book.source_words(source).to_owned();
        Self { source: (!words.is_empty()).then_some(Source { of, words }), ..self }
    }
}

/// Facts of one source, which is told with the last of them.
fn ending_in(of: &'static str, book: &CropBook, source: &str, mut facts: Vec<Fact>) -> Vec<Fact> {
    if let Some(last) = facts.pop() {
        facts.push(last.from(of, book, source));
    }
    facts
}

fn family_words(book: &CropBook, id: &str) -> String {
    book.family(id).map_or_else(|| id.to_owned(), |family| format!("{} ({})", family.common, family.botanical))
}

fn identity(book: &CropBook, crop: &Crop, garden: Option<&Garden>) -> Vec<Fact> {
    let mut family = family_words(book, &crop.family);
    if let Some(known) = book.family(&crop.family) {
        let asked = garden.and_then(|garden| garden.return_years_of(&known.id));
        let years = asked.unwrap_or(known.return_usual_years);
        let is_left_out = years == 0 || (known.is_commonly_exempt() && asked.is_none());
        family += &if is_left_out {
            ", commonly left out of rotation".to_owned()
        } else {
            format!(", back after {}", counted(u64::from(years), "year", "years"))
        };
    }
    vec![Fact::words("family", family)]
}

fn kind(crop: &Crop) -> Vec<Fact> {
    let stays = if crop.is_permanent { ", keeps its bed for years" } else { "" };
    let mut facts = vec![
        Fact::words("life", format!("{}{stays}", life_word(crop.life))),
        Fact::words("family id", crop.family.clone()),
    ];
    if !crop.groups.is_empty() {
        facts.push(Fact::words("groups", crop.groups.join(", ")));
    }
    facts
}

fn year(calendar: &Calendar) -> Vec<Fact> {
    let windows = [
        ("sow inside", calendar.sow_indoor),
        ("sow outside", calendar.sow_outdoor),
        ("plant out", calendar.plant_out),
        ("pick", Some(calendar.harvest)),
    ];
    let mut facts: Vec<Fact> = windows
        .into_iter()
        .filter_map(|(name, months)| Some(Fact { name, value: Value::Months(months?), source: None }))
        .collect();
    let mut days = Vec::new();
    if let Some(n) = calendar.days_from_sow {
        days.push(format!("{} from sowing in place", counted(u64::from(n), "day", "days")));
    }
    if let Some(n) = calendar.days_from_planting {
        days.push(format!("{} from planting", counted(u64::from(n), "day", "days")));
    }
    let (habit, weeks) = (habit_words(calendar.habit), calendar.harvest_weeks);
    facts.push(Fact::words("first pick", format!("first pick {}; {habit} for {weeks} weeks", days.join(", "))));
    if !calendar.bolting_note.is_empty() {
        facts.push(Fact::words("bolting", calendar.bolting_note.clone()));
    }
    facts
}

fn ground(spacing: &Spacing) -> Vec<Fact> {
    let plants = |clump: u32| counted(u64::from(clump), "plant", "plants");
    let mut facts = Vec::new();
    if let Some(mm) = spacing.equidistant_mm {
        facts.push(Fact::words("each way", format!("grid {mm} cm, {} per station", plants(spacing.clump))));
    }
    if let (Some(row), Some(in_row)) = (spacing.row_mm, spacing.in_row_mm) {
        let plants = plants(spacing.row_clump);
        let words = format!("rows {row} cm apart, {in_row} cm in the row, {plants} per station");
        facts.push(Fact::words("rows", words));
    }
    if let Some(grams) = spacing.sow_g_per_m2 {
        facts.push(Fact::words("broadcast", format!("scattered, {grams} g per m²")));
    }
    facts
}

/// How a crop can be raised: wider words than those of one planting, for garlic is a set here as well.
const fn way_words(raised: Raised) -> &'static str {
    match raised {
        Raised::Set => "from sets or cloves",
        Raised::Crown => "from crowns or runners",
        Raised::Cutting => "from cuttings or canes",
        _ => raised_words(raised),
    }
}

fn raising(seed: &Seed) -> Vec<Fact> {
    let ways: Vec<&str> = seed.raised.iter().map(|raised| way_words(*raised)).collect();
    let depth =
        if seed.depth_mm > Mm::ZERO { format!("{} cm deep", seed.depth_mm) } else { "at the surface".to_owned() };
    let mut facts = vec![depth, format!("{} % come up", seed.germination_pct)];
    if let Some(per_g) = seed.per_g {
        facts.push(format!("{per_g} seeds per gram"));
    }
    if let Some(weeks) = seed.weeks_in_module {
        facts.push(format!("{} in modules", counted(u64::from(weeks), "week", "weeks")));
    }
    vec![Fact::words("raised", ways.join(", or ")), Fact::words("seed", facts.join(", "))]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words<'a>(page: &'a CropPage, name: &str) -> &'a str {
        let fact = page.sections.iter().flat_map(|section| &section.facts).find(|fact| fact.name == name);
        match fact.map(|fact| &fact.value) {
            Some(Value::Words(words)) => words,
            other => panic!("{name}: {other:?}"),
        }
    }

    #[test]
    fn a_page_tells_the_figures_of_the_book_and_of_each_where_it_comes_from() {
        let book = CropBook::embedded().unwrap();
        let leek = book.crop("leek").unwrap();
        let page = CropPage::of_crop(&book, leek, None);
        assert_eq!((page.name.as_str(), page.id.as_str(), page.is_own), ("Leek", "leek", false));
        assert_eq!(words(&page, "each way"), "grid 25 cm, 4 plants per station");
        assert_eq!(words(&page, "seed"), "1.3 cm deep, 80 % come up, 370 seeds per gram, 10 weeks in modules");
        assert_eq!(words(&page, "raised"), "in modules, or sown in place");
        assert!(words(&page, "family").ends_with("(Amaryllidaceae), back after 4 years"));
        assert_eq!((words(&page, "life"), words(&page, "family id")), ("biennial", "amaryllidaceae"));
        let of: Vec<&str> = page.sources().map(|source| source.of).collect();
        assert_eq!(of, ["calendar", "spacing", "seed", "temperature", "size", "feeding", "yield", "keeping"]);
        assert!(page.sources().all(|source| !source.words.is_empty()));
    }

    #[test]
    fn the_garden_s_own_years_stand_before_the_book_s_and_its_own_page_is_marked() {
        let book = CropBook::embedded().unwrap();
        let mut garden = Garden::empty("Plot");
        garden.own_crops.push(book.crop("leek").unwrap().clone());
        let asked = |years: u32, garden: &mut Garden| {
            garden.return_years.clear();
            let row = crate::garden::FamilyReturn { family: "amaryllidaceae".to_owned(), years };
            garden.return_years.push(row);
            let page = CropPage::of_crop(&book, book.crop("leek").unwrap(), Some(garden));
            assert!(page.is_own);
            words(&page, "family").rsplit_once(", ").unwrap().1.to_owned()
        };
        assert_eq!(asked(6, &mut garden), "back after 6 years");
        assert_eq!(asked(0, &mut garden), "commonly left out of rotation");
    }

    #[test]
    fn a_caution_ends_in_its_source_and_one_without_stands_alone() {
        let book = CropBook::embedded().unwrap();
        let mut rhubarb = book.crop("rhubarb").unwrap().clone();
        let told = |crop: &Crop| CropPage::of_crop(&book, crop, None).caution.unwrap();
        assert!(told(&rhubarb).ends_with(" Common knowledge, from memory: seek qualified advice when in doubt."));
        rhubarb.caution_source = String::new();
        assert_eq!(Some(told(&rhubarb)), rhubarb.caution);
    }

    #[test]
    fn a_plant_known_by_name_and_family_says_so() {
        let book = CropBook::embedded().unwrap();
        let page = CropPage::of_plant(&book, &book.plants()[0]);
        assert!(words(&page, "known").starts_with("known by name and family only"));
        assert_eq!(page.sources().count(), 1);
    }
}
