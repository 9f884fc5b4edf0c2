//! A garden file that is written list by list from the README's format and limits alone.

use std::fmt::Write as _;

use chrono::{Days, NaiveDate};

/// Bytes a garden file may have.
pub const FILE_BYTES: usize = 32 * 1024 * 1024;

/// A character two cells wide, of three bytes.
pub const WIDE: &str = "畝";

/// Every crop whose name a file may use here, tall and low, of several families.
pub const CROPS: [&str; 12] = [
    "leek",
    "kale",
    "carrot-maincrop",
    "potato-maincrop",
    "lettuce-head",
    "pea-shelling",
    "beetroot",
    "courgette",
    "sweetcorn",
    "salad-onion",
    "cabbage-winter",
    "spinach",
];

pub const HAZARDS: [&str; 5] =
    ["clubroot", "allium_white_rot", "onion_stem_nematode", "potato_cyst_nematode", "parsnip_canker"];

/// The bed most files have.
pub const SIZE: (i32, i32) = (1200, 4800);

/// A garden file that grows list by list.
pub struct File {
    text: String,
    list: &'static str,
}

impl File {
    pub fn new(name: &str) -> Self {
        Self::at_site(name, "")
    }

    /// The same with more fields of the site, each after a comma.
    pub fn at_site(name: &str, more: &str) -> Self {
        let text = format!(
            "(format: 2, name: \"{name}\", site: (latitude_deg: 54.0, elevation_m: 215, last_frost: (month: 5, day: 22), \
             first_frost: (month: 10, day: 2), currency: \"GBP\"{more})"
        );
        Self { text, list: "" }
    }

    /// Puts an entry on a line of its own into a list; the entries of each list come together.
    pub fn put(&mut self, list: &'static str, entry: &str) {
        if self.list != list {
            self.close();
            let _ = write!(self.text, ",\n{list}: [");
            self.list = list;
        }
        self.text.push('\n');
        self.text.push_str(entry);
        self.text.push(',');
    }

    /// Puts a field that is no list.
    pub fn field(&mut self, name: &str, value: &str) {
        self.close();
        let _ = write!(self.text, ",\n{name}: {value}");
    }

    fn close(&mut self) {
        if !self.list.is_empty() {
            self.text.push_str("\n]");
            self.list = "";
        }
    }

    pub fn done(mut self) -> String {
        self.close();
        self.text.push_str(",\n)\n");
        self.text
    }

    /// Whether so many bytes more have room in a file.
    pub fn has_room(&self, n_bytes: usize) -> bool {
        self.text.len() + n_bytes + 16 <= FILE_BYTES
    }

    pub fn bed(&mut self, idx: usize, (width_mm, length_mm): (i32, i32)) {
        self.put("beds", &format!("(id: \"B{idx}\", width_mm: {width_mm}, length_mm: {length_mm})"));
    }

    pub fn beds(&mut self, n: usize, size: (i32, i32)) {
        (0..n).for_each(|idx| self.bed(idx, size));
    }

    pub fn planting(&mut self, planting: &Planting<'_>) {
        let Planting { id, bed, crop, strip_mm, layout, raised, dates, more } = planting;
        let (from_mm, to_mm) = strip_mm;
        let entry = format!(
            "(id: {id}, bed: \"B{bed}\", crop: \"{crop}\", from_mm: {from_mm}, to_mm: {to_mm}, layout: {layout}, clump: 1, \
             raised: {raised}, planned: ({dates}){more})"
        );
        self.put("plantings", &entry);
    }
}

pub struct Planting<'a> {
    pub id: usize,
    pub bed: usize,
    pub crop: &'a str,
    pub strip_mm: (i32, i32),
    pub layout: &'a str,
    pub raised: &'a str,
    /// The planned dates, as they stand between brackets.
    pub dates: &'a str,
    /// Further fields, each after a comma.
    pub more: &'a str,
}

impl Default for Planting<'_> {
    fn default() -> Self {
        Self {
            id: 1,
            bed: 0,
            crop: "leek",
            strip_mm: (0, 4800),
            layout: "Grid(spacing_mm: 300)",
            raised: "Module",
            dates: "plant: \"2027-04-01\"",
            more: "",
        }
    }
}

/// A day, counted from the first of 1900.
pub fn day(n: usize) -> NaiveDate {
    NaiveDate::from_ymd_opt(1900, 1, 1).unwrap() + Days::new(n as u64)
}

pub fn between(from: NaiveDate, until: NaiveDate) -> String {
    format!("plant: \"{from}\", clear: \"{until}\"")
}

/// Day of planting in most files.
pub fn in_april() -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 4, 1).unwrap()
}

/// A crop of a garden's own, with so many other names, all of so many wide characters.
pub fn own_crop(idx: usize, n_names: usize, n_wide: usize) -> String {
    let wide = WIDE.repeat(n_wide);
    let names: Vec<String> = (0..n_names).map(|n| format!("\"{wide}{idx} {n}\"")).collect();
    let names = names.join(",");
    // No two grow alike.
    let base_c = 4.0 + idx as f64 / 1_000.0;
    format!(
        "(id: \"own{idx}\", name: \"{wide}{idx}\", short_name: \"o{idx}\", other_names: [{names}], latin: \"x\", \
         family: \"brassicaceae\", groups: [], known_as: Some(\"kale\"), life: Biennial, is_permanent: false, \
         spacing: (equidistant_mm: Some(450), clump: 1, row_mm: None, in_row_mm: None, row_clump: 1, sow_g_per_m2: None, \
         source: \"own\"), seed: (raised: [Module, InPlace], depth_mm: 10, per_g: Some(250.0), germination_pct: 80.5, \
         weeks_in_module: Some(5), source: \"own\"), calendar: (sow_indoor: None, sow_outdoor: Some((from: 4, to: 6)), \
         plant_out: Some((from: 6, to: 7)), harvest: (from: 9, to: 4), days_from_sow: None, days_from_planting: Some(90), \
         harvest_weeks: 20.0, habit: PickedOver, bolting_note: \"\", source: \"own\"), stages: None, temperature: (base_c: {base_c}, \
         optimum_c: 17.0, optimum_low_c: 15.0, optimum_high_c: 18.0, growth_min_c: None, growth_max_c: None, \
         hardiness_c: -{base_c}, source: \"own\"), size: (height_mm: 900, root_mm: 600, source: \"own\"), \
         yields: (low_kg_per_m2: 1.0, typical_kg_per_m2: 2.0, high_kg_per_m2: 3.0, source: \"own\"), \
         keeping: (weeks: Some(1.5), conditions: \"cool\", source: \"own\"), feeding: Heavy, feeding_source: \"own\", \
         caution: None)"
    )
}
