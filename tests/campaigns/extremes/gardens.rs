//! Garden files at the extremes of what a file may hold, as text: written from the README's format and limits alone.

use std::fmt::Write as _;

use chrono::{Days, NaiveDate};

/// Bytes a garden file may have.
const FILE_BYTES: usize = 64 * 1024 * 1024;

/// A kind of garden file.
pub struct Kind {
    pub name: &'static str,
    /// How many of whatever there is most of: in the short form, in the long one.
    pub n: (usize, usize),
    /// The file's text for such a number.
    pub text: fn(usize) -> String,
}

/// A character two cells wide, of three bytes.
const WIDE: &str = "畝";

/// Every crop whose name a file may use here, tall and low, of several families.
const CROPS: [&str; 12] = [
    "leek", "kale", "carrot-maincrop", "potato-maincrop", "lettuce-head", "pea-shelling", "beetroot", "courgette",
    "sweetcorn", "salad-onion", "cabbage-winter", "spinach",
];

const HAZARDS: [&str; 5] =
    ["clubroot", "allium_white_rot", "onion_stem_nematode", "potato_cyst_nematode", "parsnip_canker"];

/// A garden file that grows list by list.
struct File {
    text: String,
    list: &'static str,
}

impl File {
    fn new(name: &str) -> Self {
        let text = format!(
            "(format: 1, name: \"{name}\", site: (latitude_deg: 54.0, elevation_m: 215, last_frost: (month: 5, day: 22), \
             first_frost: (month: 10, day: 2), currency: \"GBP\")"
        );
        Self { text, list: "" }
    }

    /// Puts an entry on a line of its own into a list; the entries of each list come together.
    fn put(&mut self, list: &'static str, entry: &str) {
        if self.list != list {
            self.close();
            let _ = write!(self.text, ",\n{list}: [");
            self.list = list;
        }
        self.text.push('\n');
        self.text.push_str(entry);
        self.text.push(',');
    }

    fn close(&mut self) {
        if !self.list.is_empty() {
            self.text.push_str("\n]");
            self.list = "";
        }
    }

    fn done(mut self) -> String {
        self.close();
        self.text.push_str(",\n)\n");
        self.text
    }

    /// Whether so many bytes more have room in a file.
    fn has_room(&self, n_bytes: usize) -> bool {
        self.text.len() + n_bytes + 16 <= FILE_BYTES
    }

    fn bed(&mut self, idx: usize, (width_mm, length_mm): (i32, i32)) {
        self.put("beds", &format!("(id: \"B{idx}\", width_mm: {width_mm}, length_mm: {length_mm})"));
    }

    fn beds(&mut self, n: usize, size: (i32, i32)) {
        (0..n).for_each(|idx| self.bed(idx, size));
    }

    fn planting(&mut self, planting: &Planting<'_>) {
        let Planting { id, bed, crop, strip_mm, layout, raised, dates, more } = planting;
        let (from_mm, to_mm) = strip_mm;
        let entry = format!(
            "(id: {id}, bed: \"B{bed}\", crop: \"{crop}\", from_mm: {from_mm}, to_mm: {to_mm}, layout: {layout}, clump: 1, \
             raised: {raised}, planned: ({dates}){more})"
        );
        self.put("plantings", &entry);
    }
}

/// The bed most files have.
const SIZE: (i32, i32) = (1200, 4800);

struct Planting<'a> {
    id: usize,
    bed: usize,
    crop: &'a str,
    strip_mm: (i32, i32),
    layout: &'a str,
    raised: &'a str,
    /// The planned dates, as they stand between brackets.
    dates: &'a str,
    /// Further fields, each after a comma.
    more: &'a str,
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
            dates: "plant: \"2027-06-10\"",
            more: "",
        }
    }
}

/// A day, counted from the first of 1900.
fn day(n: usize) -> NaiveDate {
    NaiveDate::from_ymd_opt(1900, 1, 1).unwrap() + Days::new(n as u64)
}

fn between(from: NaiveDate, until: NaiveDate) -> String {
    format!("plant: \"{from}\", clear: \"{until}\"")
}

/// Day of planting in most files.
fn in_june() -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 6, 10).unwrap()
}

/// All on one strip at the same dates.
pub fn alike(n: usize) -> String {
    let mut file = File::new("alike");
    file.bed(0, SIZE);
    (1..=n).for_each(|id| file.planting(&Planting { id, ..Planting::default() }));
    file.done()
}

/// The same in a thousand beds, two hundred in each.
fn alike_in_beds(n: usize) -> String {
    let mut file = File::new("alike in beds");
    let n_beds = n.div_ceil(200);
    file.beds(n_beds, SIZE);
    (0..n).for_each(|at| file.planting(&Planting { id: at + 1, bed: at / 200, ..Planting::default() }));
    file.done()
}

/// The same crop set out by growth alone, twenty more every day: all stand by the end.
pub fn staggered(n: usize) -> String {
    let mut file = File::new("staggered");
    file.bed(0, SIZE);
    for at in 0..n {
        let dates = format!("plant: \"{}\"", in_june() + Days::new(at as u64 / 20));
        file.planting(&Planting { id: at + 1, dates: &dates, ..Planting::default() });
    }
    file.done()
}

/// The same until one day on which all are cleared.
pub fn staggered_to_one_day(n: usize) -> String {
    let mut file = File::new("staggered to one day");
    file.bed(0, SIZE);
    for at in 0..n {
        let dates = between(in_june() + Days::new(at as u64), in_june() + Days::new(n as u64 + 30));
        file.planting(&Planting { id: at + 1, dates: &dates, ..Planting::default() });
    }
    file.done()
}

/// Two hundred at a time on the same ground, one wave after the other, a thousand in a bed.
fn waves(n: usize) -> String {
    let mut file = File::new("waves");
    file.beds(n.div_ceil(1_000), SIZE);
    for at in 0..n {
        let wave = at % 1_000 / 200;
        let from = in_june() + Days::new(wave as u64 * 60);
        let (crop, dates) = (CROPS[at % CROPS.len()], between(from, from + Days::new(60)));
        file.planting(&Planting { id: at + 1, bed: at / 1_000, crop, dates: &dates, ..Planting::default() });
    }
    file.done()
}

/// One crop after the other, each for a day, a thousand in a bed.
fn a_day_each(n: usize) -> String {
    let mut file = File::new("a day each");
    file.beds(n.div_ceil(1_000), SIZE);
    for at in 0..n {
        let from = in_june() + Days::new(at as u64 % 1_000);
        let (crop, dates) = (CROPS[at % CROPS.len()], between(from, from + Days::new(1)));
        file.planting(&Planting { id: at + 1, bed: at / 1_000, crop, dates: &dates, ..Planting::default() });
    }
    file.done()
}

/// One host in each bed, and two hundred set out like that in it.
fn with_a_host(n: usize, layout: &str, crop: &str) -> String {
    let mut file = File::new("with a host");
    file.beds(n.div_ceil(200), SIZE);
    for at in 0..n {
        let (bed, place) = (at / 200, at % 200);
        let host_id = bed * 200 + 1;
        let layout = layout.replace("HOST", &host_id.to_string());
        let planting = Planting { id: at + 1, bed, ..Planting::default() };
        let dates = format!("plant: \"{}\"", in_june() + Days::new(place as u64 % 7));
        let strip_mm = (place as i32 % 50 * 10, 4800);
        file.planting(&if place == 0 {
            planting
        } else {
            Planting { crop, layout: &layout, dates: &dates, strip_mm, ..planting }
        });
    }
    file.done()
}

fn guests(n: usize) -> String {
    with_a_host(n, "Between(host: HOST)", "salad-onion")
}

fn edges(n: usize) -> String {
    with_a_host(n, "Edge(spacing_mm: 150, along: Whole)", "garlic")
}

fn dense_edges(n: usize) -> String {
    with_a_host(n, "Edge(spacing_mm: 1, along: Whole)", "courgette")
}

fn drills(n: usize) -> String {
    with_a_host(n, "Drill(row_mm: 1, plants_per_m: 10000)", "carrot-maincrop")
}

fn broadcasts(n: usize) -> String {
    with_a_host(n, "Broadcast(plants_per_m2: 1000000)", "phacelia")
}

/// Each between the stations of the one before.
fn chains(n: usize) -> String {
    let mut file = File::new("chains");
    file.beds(n.div_ceil(200), SIZE);
    for at in 0..n {
        let layout = if at % 200 == 0 { "Grid(spacing_mm: 300)".to_owned() } else { format!("Between(host: {at})") };
        file.planting(&Planting { id: at + 1, bed: at / 200, layout: &layout, ..Planting::default() });
    }
    file.done()
}

/// Past crops, hazards seen, gifts to the soil and plantings of one bed, as many of each.
fn one_history(n: usize) -> String {
    let mut file = File::new("one history");
    file.bed(0, SIZE);
    history_of(&mut file, 1, n);
    file.done()
}

/// The same over as many beds as there may be, a thousand entries of each list in a bed.
fn histories(n: usize) -> String {
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
fn unknown_past(n: usize) -> String {
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
fn unknown_crops(n: usize) -> String {
    let mut file = File::new("unknown crops");
    let n_beds = n.div_ceil(1_000);
    file.beds(n_beds, SIZE);
    for at in 0..n {
        let (crop, dates) = if at % 2 == 0 { (format!("x{at}"), Planting::default().dates) } else { ("leek".to_owned(), "") };
        let bed = at % n_beds;
        file.planting(&Planting { id: at + 1, bed, crop: &crop, dates, ..Planting::default() });
    }
    file.done()
}

/// As many beds as there may be, a hundred metres long, each with two crops at the least distance.
fn dense(n: usize, layout: &str, other: &str) -> String {
    let mut file = File::new("dense");
    let size = (100_000, 100_000);
    file.beds(n, size);
    for bed in 0..n {
        let strip_mm = (0, size.1);
        let planting = Planting { bed, strip_mm, ..Planting::default() };
        file.planting(&Planting { id: 2 * bed + 1, layout, ..planting });
        let other = other.replace("HOST", &(2 * bed + 1).to_string());
        let planting = Planting { bed, strip_mm, ..Planting::default() };
        file.planting(&Planting { id: 2 * bed + 2, crop: "lettuce-head", layout: &other, ..planting });
    }
    file.done()
}

fn dense_grid(n: usize) -> String {
    dense(n, "Grid(spacing_mm: 1)", "Edge(spacing_mm: 1, along: Whole)")
}

fn dense_offset(n: usize) -> String {
    dense(n, "Offset(spacing_mm: 1)", "Between(host: HOST)")
}

fn dense_rows(n: usize) -> String {
    dense(n, "Rows(row_mm: 1, in_row_mm: 1, run: Across)", "Between(host: HOST)")
}

fn dense_drill(n: usize) -> String {
    dense(n, "Drill(row_mm: 1, plants_per_m: 10000)", "Edge(spacing_mm: 1, along: Left)")
}

fn dense_broadcast(n: usize) -> String {
    dense(n, "Broadcast(plants_per_m2: 1000000)", "Edge(spacing_mm: 1, along: Right)")
}

/// Just as many stations as may be weighed one by one: 2 × 100 m of them along the edges of a scatter.
fn dense_edge(n: usize) -> String {
    dense(n, "Edge(spacing_mm: 1, along: Whole)", "Edge(spacing_mm: 1, along: Whole)")
}

/// Some two hundred thousand stations, and as many between them.
fn dense_guests(n: usize) -> String {
    dense(n, "Grid(spacing_mm: 225)", "Between(host: HOST)")
}

/// One planting of as many stations as a bed can have.
fn one_dense_planting(_: usize) -> String {
    let mut file = File::new("one planting");
    file.bed(0, (1_000_000, 1_000_000));
    file.planting(&Planting { layout: "Grid(spacing_mm: 1)", strip_mm: (0, 1_000_000), ..Planting::default() });
    file.done()
}

/// Tall crops and low ones, all beds in one place.
fn shades(n: usize) -> String {
    let mut file = File::new("shade");
    for idx in 0..n {
        let place = format!("east_mm: {}, south_mm: {}, bearing_deg: {}", 1_000 + idx % 7, 1_000 + idx % 5, idx % 360);
        file.put("beds", &format!("(id: \"B{idx}\", width_mm: 1200, length_mm: 4800, {place})"));
    }
    for at in 0..n * 10 {
        let crop = if at % 2 == 0 { "sweetcorn" } else { "lettuce-head" };
        let year = 2027 + at / n / 2;
        let dates = format!("plant: \"{year}-06-10\", clear: \"{year}-10-01\"");
        let strip_mm = if at % 2 == 0 { (0, 2400) } else { (2400, 4800) };
        file.planting(&Planting { id: at + 1, bed: at / 2 % n, crop, dates: &dates, strip_mm, ..Planting::default() });
    }
    file.done()
}

/// Plantings that were each picked on ten thousand days, as many as a file holds.
fn picks(n: usize) -> String {
    let mut file = File::new("picks");
    file.beds(200, SIZE);
    let mut picked = String::new();
    for n in 0..10_000 {
        let _ = write!(picked, "(\"{}\",9),", day(46_000 + n));
    }
    let more = format!(", real: (picked_g: [{picked}])");
    for id in 1..=n {
        if !file.has_room(more.len() + 300) {
            break;
        }
        file.planting(&Planting { id, bed: id % 200, more: &more, ..Planting::default() });
    }
    file.done()
}

/// A crop of a garden's own, with so many other names, all of so many wide characters.
fn own_crop(idx: usize, n_names: usize, n_wide: usize) -> String {
    let wide = WIDE.repeat(n_wide);
    let names: Vec<String> = (0..n_names).map(|n| format!("\"{wide}{idx} {n}\"")).collect();
    let names = names.join(",");
    format!(
        "(id: \"own{idx}\", name: \"{wide}{idx}\", short_name: \"o{idx}\", other_names: [{names}], latin: \"x\", \
         family: \"brassicaceae\", groups: [], known_as: Some(\"kale\"), life: Biennial, is_permanent: false, \
         spacing: (equidistant_mm: Some(450), clump: 1, row_mm: None, in_row_mm: None, row_clump: 1, sow_g_per_m2: None, \
         source: \"own\"), seed: (raised: [Module, Direct], depth_mm: 10, per_g: Some(250.0), germination_pct: 80.5, \
         weeks_in_module: Some(5), source: \"own\"), calendar: (sow_indoor: None, sow_outdoor: Some((from: 4, to: 6)), \
         plant_out: Some((from: 6, to: 7)), harvest: (from: 9, to: 4), days_from_sow: None, days_from_planting: Some(90), \
         harvest_weeks: 20.0, habit: PickedOver, bolting_note: \"\", source: \"own\"), stages: None, temperature: (base_c: 4.0, \
         optimum_c: 17.0, optimum_low_c: 15.0, optimum_high_c: 18.0, growth_min_c: None, growth_max_c: None, \
         hardiness_c: -12.0, source: \"own\"), size: (height_mm: 900, root_mm: 600, source: \"own\"), \
         yields: (low_kg_per_m2: 1.0, typical_kg_per_m2: 2.0, high_kg_per_m2: 3.0, source: \"own\"), \
         keeping: (weeks: Some(1.5), conditions: \"cool\", source: \"own\"), feeding: Heavy, feeding_source: \"own\", \
         caution: None)"
    )
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

fn own_crops(n: usize) -> String {
    own_crops_named(n, 100, 24)
}

/// Names wider than the book takes them: no planting's crop is known then.
fn own_crops_refused(n: usize) -> String {
    own_crops_named(n, 40, 190)
}

/// Every text as long and as wide as it may be.
fn wide_names(n: usize) -> String {
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
             layout: Grid(spacing_mm: 300), clump: 1, raised: Module, planned: (plant: \"2027-06-10\"), notes: \"{notes}\")"
        );
        file.put("plantings", &entry);
    }
    file.done()
}

/// As many accepted findings as there may be, all of one planting, its own the last.
fn accepted(n: usize) -> String {
    let mut file = File::new("accepted");
    file.bed(0, SIZE);
    (1..=200).for_each(|id| file.planting(&Planting { id, ..Planting::default() }));
    for at in 0..n {
        let against = 1_000 + at;
        file.put("accepted", &format!("(rule: \"overlap\", planting: 200, against: \"p{against}\", reason: \"x\")"));
    }
    file.done()
}

/// Reasons as long as they may be, each of a finding of its own.
fn accepted_at_length(n: usize) -> String {
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
        file.put("accepted", &format!("(rule: \"overlap\", planting: {id}, against: \"p{against}\", reason: \"{reason}\")"));
    }
    file.done()
}

/// What households want and what is paid for it, for crops of the garden's own besides: every list as long as it may be.
fn wants(n: usize) -> String {
    let mut file = File::new("wants");
    file.beds(200, SIZE);
    for at in 0..n.min(1_000) {
        file.put("own_crops", &own_crop(at, 1, 24));
    }
    for at in 0..n.min(2_000) {
        let wants: Vec<String> = (0..1_000).map(|k| format!("\"own{}\": 100", (at + k) % 1_000)).collect();
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

/// A list that fills the file, of which nothing is reckoned.
fn full_list(list: &'static str, entry: fn(usize) -> String) -> String {
    let mut file = File::new("full list");
    file.beds(200, SIZE);
    for at in 0..200_000 {
        let entry = entry(at);
        if !file.has_room(entry.len()) {
            break;
        }
        file.put(list, &entry);
    }
    file.done()
}

fn full_past(_: usize) -> String {
    let entry = |at: usize| format!("(bed: \"B{}\", year: 2020, what: \"{at}{}\")", at % 200, WIDE.repeat(90));
    full_list("past", entry)
}

fn full_hazards(_: usize) -> String {
    let entry = |at: usize| {
        let notes = WIDE.repeat(80);
        format!("(bed: \"B{}\", hazard: \"clubroot\", date: \"{}\", notes: \"{notes}\")", at % 200, day(at % 50_000))
    };
    full_list("hazards_seen", entry)
}

fn full_accepted(_: usize) -> String {
    let entry = |at: usize| format!("(rule: \"x\", planting: {}, reason: \"{}\")", at + 1, WIDE.repeat(85));
    full_list("accepted", entry)
}

fn full_expenses(_: usize) -> String {
    let entry =
        |at: usize| format!("(date: \"{}\", kind: \"x\", minor: 9, notes: \"{}\")", day(at % 9_000), WIDE.repeat(85));
    full_list("expenses", entry)
}

fn full_seed_tin(_: usize) -> String {
    full_list("seed_tin", |at| format!("(crop: \"x\", variety: \"{at}{}\", n_seeds: 9, packed_year: 2026)", WIDE.repeat(85)))
}

/// As many plantings as there may be, over all beds, each in its year, and notes that fill the file.
fn full_plantings(n: usize) -> String {
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

/// Crops that stand three centuries, two hundred in a bed, and others beside them year by year.
fn three_centuries(n: usize) -> String {
    let mut file = File::new("three centuries");
    let n_beds = n.div_ceil(400);
    file.beds(n_beds, SIZE);
    for at in 0..n {
        let bed = at / 400;
        let dates = if at % 2 == 0 {
            between(day(0), NaiveDate::from_ymd_opt(2200, 12, 31).unwrap())
        } else {
            between(day(at % 400 * 250), day(at % 400 * 250 + 200))
        };
        let crop = if at % 2 == 0 { "rhubarb" } else { CROPS[at / 2 % CROPS.len()] };
        let layout = if at % 4 == 1 { "Edge(spacing_mm: 100, along: Left)" } else { "Grid(spacing_mm: 600)" };
        let raised = if at % 2 == 0 { "Crown" } else { "Module" };
        let strip_mm = (at as i32 % 400, 4800);
        file.planting(&Planting { id: at + 1, bed, crop, dates: &dates, layout, raised, strip_mm, ..Planting::default() });
    }
    file.done()
}

/// Beds that are empty for three centuries, but for a crop at each end.
fn empty_centuries(n: usize) -> String {
    let mut file = File::new("empty centuries");
    file.beds(n, SIZE);
    for at in 0..2 * n {
        let dates = if at % 2 == 0 { "plant: \"1900-06-10\"" } else { "plant: \"2200-06-10\"" };
        file.planting(&Planting { id: at + 1, bed: at / 2, dates, ..Planting::default() });
    }
    file.done()
}

/// Families that are asked to stay away for a century, and crops of one of them every year in every bed.
fn long_returns(n: usize) -> String {
    let mut file = File::new("long returns");
    let n_beds = n.div_ceil(1_000);
    file.close();
    let families = ["amaryllidaceae", "brassicaceae", "apiaceae", "fabaceae", "solanaceae"];
    let returns: Vec<String> = families.iter().map(|family| format!("\"{family}\": 100")).collect();
    let _ = write!(file.text, ",\nreturn_years: {{{}}}", returns.join(","));
    file.beds(n_beds, SIZE);
    for at in 0..n {
        let place = at / n_beds;
        let from = day(place * 50);
        // Each on a piece of ground of its own, so that no later one stands for all.
        let strip_mm = (place as i32 % 400 * 10, place as i32 % 400 * 10 + 800);
        let dates = between(from, from + Days::new(49));
        let crop = ["leek", "garlic", "kale", "cabbage-winter"][place % 4];
        file.planting(&Planting { id: at + 1, bed: at % n_beds, crop, dates: &dates, strip_mm, ..Planting::default() });
    }
    file.done()
}

/// Strips that step along a bed: nowhere do many stand, and the bed falls into as many pieces as can be.
fn slivers(n: usize) -> String {
    let mut file = File::new("slivers");
    file.beds(n.div_ceil(200), (1200, 100_000));
    for at in 0..n {
        let from = at as i32 % 200 * 400;
        let side = ["", ", side: Left", ", side: Right"][at % 3];
        let strip_mm = (from, from + 600);
        file.planting(&Planting { id: at + 1, bed: at / 200, strip_mm, more: side, ..Planting::default() });
    }
    file.done()
}

/// Every kind of file inside the limits.
pub const KINDS: &[Kind] = &[
    Kind { name: "alike", n: (200, 200), text: alike },
    Kind { name: "alike-in-beds", n: (1_000, 200_000), text: alike_in_beds },
    Kind { name: "staggered", n: (400, 1_000), text: staggered },
    Kind { name: "staggered-to-one-day", n: (200, 200), text: staggered_to_one_day },
    Kind { name: "waves-in-a-bed", n: (600, 1_000), text: waves },
    Kind { name: "waves", n: (600, 200_000), text: waves },
    Kind { name: "a-day-each-in-a-bed", n: (600, 1_000), text: a_day_each },
    Kind { name: "a-day-each", n: (600, 200_000), text: a_day_each },
    Kind { name: "guests", n: (200, 200), text: guests },
    Kind { name: "guests-in-beds", n: (400, 200_000), text: guests },
    Kind { name: "edges", n: (200, 20_000), text: edges },
    Kind { name: "dense-edges", n: (200, 20_000), text: dense_edges },
    Kind { name: "drills", n: (200, 20_000), text: drills },
    Kind { name: "broadcasts", n: (200, 20_000), text: broadcasts },
    Kind { name: "chains", n: (200, 20_000), text: chains },
    Kind { name: "one-history", n: (300, 1_000), text: one_history },
    Kind { name: "histories", n: (300, 190_000), text: histories },
    Kind { name: "one-day-of-soil", n: (1_000, 1_000), text: one_day_of_soil },
    Kind { name: "unknown-past", n: (1_000, 200_000), text: unknown_past },
    Kind { name: "unknown-crops", n: (1_000, 200_000), text: unknown_crops },
    Kind { name: "dense-grid", n: (20, 2_000), text: dense_grid },
    Kind { name: "dense-offset", n: (20, 2_000), text: dense_offset },
    Kind { name: "dense-rows", n: (20, 2_000), text: dense_rows },
    Kind { name: "dense-drill", n: (20, 2_000), text: dense_drill },
    Kind { name: "dense-broadcast", n: (20, 2_000), text: dense_broadcast },
    Kind { name: "dense-edge", n: (1, 2_000), text: dense_edge },
    Kind { name: "dense-guests", n: (1, 2_000), text: dense_guests },
    Kind { name: "one-dense-planting", n: (1, 1), text: one_dense_planting },
    Kind { name: "shades", n: (50, 2_000), text: shades },
    Kind { name: "picks", n: (10, 2_000), text: picks },
    Kind { name: "own-crops", n: (20, 1_000), text: own_crops },
    Kind { name: "own-crops-refused", n: (20, 1_000), text: own_crops_refused },
    Kind { name: "wide-names", n: (50, 2_000), text: wide_names },
    Kind { name: "accepted", n: (5_000, 200_000), text: accepted },
    Kind { name: "accepted-at-length", n: (200, 20_000), text: accepted_at_length },
    Kind { name: "wants", n: (1_000, 200_000), text: wants },
    Kind { name: "full-past", n: (0, 1), text: full_past },
    Kind { name: "full-hazards", n: (0, 1), text: full_hazards },
    Kind { name: "full-accepted", n: (0, 1), text: full_accepted },
    Kind { name: "full-expenses", n: (0, 1), text: full_expenses },
    Kind { name: "full-seed-tin", n: (0, 1), text: full_seed_tin },
    Kind { name: "full-plantings", n: (2_000, 200_000), text: full_plantings },
    Kind { name: "three-centuries", n: (400, 40_000), text: three_centuries },
    Kind { name: "empty-centuries", n: (50, 2_000), text: empty_centuries },
    Kind { name: "long-returns", n: (500, 200_000), text: long_returns },
    Kind { name: "slivers", n: (200, 200_000), text: slivers },
];
