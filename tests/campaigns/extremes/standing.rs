//! Gardens full of plantings that stand together, follow each other, shade each other or hold more stations than anybody counts.

use chrono::{Days, NaiveDate};

use super::file::{CROPS, File, Planting, SIZE, between, day, in_april};

/// All on one strip at the same dates.
pub fn alike(n: usize) -> String {
    let mut file = File::new("alike");
    file.bed(0, SIZE);
    (1..=n).for_each(|id| file.planting(&Planting { id, ..Planting::default() }));
    file.done()
}

/// The same in a thousand beds, two hundred in each.
pub fn alike_in_beds(n: usize) -> String {
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
        let dates = format!("plant: \"{}\"", in_april() + Days::new(at as u64 / 20));
        file.planting(&Planting { id: at + 1, dates: &dates, ..Planting::default() });
    }
    file.done()
}

/// The same until one day on which all are cleared.
pub fn staggered_to_one_day(n: usize) -> String {
    let mut file = File::new("staggered to one day");
    file.bed(0, SIZE);
    for at in 0..n {
        let dates = between(in_april() + Days::new(at as u64), in_april() + Days::new(n as u64 + 30));
        file.planting(&Planting { id: at + 1, dates: &dates, ..Planting::default() });
    }
    file.done()
}

/// Two hundred at a time on the same ground, one wave after the other, a thousand in a bed.
pub fn waves(n: usize) -> String {
    let mut file = File::new("waves");
    file.beds(n.div_ceil(1_000), SIZE);
    for at in 0..n {
        let wave = at % 1_000 / 200;
        let from = in_april() + Days::new(wave as u64 * 60);
        let (crop, dates) = (CROPS[at % CROPS.len()], between(from, from + Days::new(60)));
        file.planting(&Planting { id: at + 1, bed: at / 1_000, crop, dates: &dates, ..Planting::default() });
    }
    file.done()
}

/// One crop after the other, each for a day, a thousand in a bed.
pub fn a_day_each(n: usize) -> String {
    let mut file = File::new("a day each");
    file.beds(n.div_ceil(1_000), SIZE);
    for at in 0..n {
        let from = in_april() + Days::new(at as u64 % 1_000);
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
        let dates = format!("plant: \"{}\"", in_april() + Days::new(place as u64 % 7));
        let strip_mm = (place as i32 % 50 * 10, 4800);
        file.planting(&if place == 0 {
            planting
        } else {
            Planting { crop, layout: &layout, dates: &dates, strip_mm, ..planting }
        });
    }
    file.done()
}

pub fn guests(n: usize) -> String {
    with_a_host(n, "Between(host: HOST)", "salad-onion")
}

pub fn edges(n: usize) -> String {
    with_a_host(n, "Edge(spacing_mm: 150, along: Whole)", "garlic")
}

pub fn dense_edges(n: usize) -> String {
    with_a_host(n, "Edge(spacing_mm: 1, along: Whole)", "courgette")
}

pub fn drills(n: usize) -> String {
    with_a_host(n, "Drill(row_mm: 1, plants_per_m: 10000)", "carrot-maincrop")
}

pub fn broadcasts(n: usize) -> String {
    with_a_host(n, "Broadcast(plants_per_m2: 1000000)", "phacelia")
}

/// Each between the stations of the one before.
pub fn chains(n: usize) -> String {
    let mut file = File::new("chains");
    file.beds(n.div_ceil(200), SIZE);
    for at in 0..n {
        let layout = if at % 200 == 0 { "Grid(spacing_mm: 300)".to_owned() } else { format!("Between(host: {at})") };
        file.planting(&Planting { id: at + 1, bed: at / 200, layout: &layout, ..Planting::default() });
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

pub fn dense_grid(n: usize) -> String {
    dense(n, "Grid(spacing_mm: 1)", "Edge(spacing_mm: 1, along: Whole)")
}

pub fn dense_offset(n: usize) -> String {
    dense(n, "Offset(spacing_mm: 1)", "Between(host: HOST)")
}

pub fn dense_rows(n: usize) -> String {
    dense(n, "Rows(row_mm: 1, in_row_mm: 1, run: Across)", "Between(host: HOST)")
}

pub fn dense_drill(n: usize) -> String {
    dense(n, "Drill(row_mm: 1, plants_per_m: 10000)", "Edge(spacing_mm: 1, along: Left)")
}

pub fn dense_broadcast(n: usize) -> String {
    dense(n, "Broadcast(plants_per_m2: 1000000)", "Edge(spacing_mm: 1, along: Right)")
}

/// Just as many stations as may be weighed one by one: 2 × 100 m of them along the edges of a scatter.
pub fn dense_edge(n: usize) -> String {
    dense(n, "Edge(spacing_mm: 1, along: Whole)", "Edge(spacing_mm: 1, along: Whole)")
}

/// Some two hundred thousand stations, and as many between them.
pub fn dense_guests(n: usize) -> String {
    dense(n, "Grid(spacing_mm: 225)", "Between(host: HOST)")
}

/// One planting of as many stations as a bed can have.
pub fn one_dense_planting(_: usize) -> String {
    let mut file = File::new("one planting");
    file.bed(0, (1_000_000, 1_000_000));
    file.planting(&Planting { layout: "Grid(spacing_mm: 1)", strip_mm: (0, 1_000_000), ..Planting::default() });
    file.done()
}

/// Tall crops and low ones, all beds in one place.
pub fn shades(n: usize) -> String {
    let mut file = File::new("shade");
    for idx in 0..n {
        let place = format!("east_mm: {}, south_mm: {}, bearing_deg: {}", 1_000 + idx % 7, 1_000 + idx % 5, idx % 360);
        file.put("beds", &format!("(id: \"B{idx}\", width_mm: 1200, length_mm: 4800, {place})"));
    }
    for at in 0..n * 10 {
        let crop = if at % 2 == 0 { "sweetcorn" } else { "lettuce-head" };
        let year = 2027 + at / n / 2;
        let dates = format!("plant: \"{year}-04-01\", clear: \"{year}-10-01\"");
        let strip_mm = if at % 2 == 0 { (0, 2400) } else { (2400, 4800) };
        file.planting(&Planting { id: at + 1, bed: at / 2 % n, crop, dates: &dates, strip_mm, ..Planting::default() });
    }
    file.done()
}

/// Crops that stand three centuries, one fewer than may stand at once, and others beside them one after the other.
pub fn three_centuries(n: usize) -> String {
    let mut file = File::new("three centuries");
    file.beds(n.div_ceil(400), SIZE);
    for at in 0..n {
        let (bed, place) = (at / 400, at % 400);
        let strip_mm = (place as i32, 4800);
        let planting = Planting { id: at + 1, bed, strip_mm, ..Planting::default() };
        if place < 199 {
            let dates = between(day(0), NaiveDate::from_ymd_opt(2200, 12, 31).unwrap());
            let layout = "Grid(spacing_mm: 600)";
            file.planting(&Planting { crop: "rhubarb", dates: &dates, layout, raised: "Crown", ..planting });
        } else {
            let from = day((place - 199) * 500);
            let dates = between(from, from + Days::new(400));
            let layout = if place % 2 == 0 { "Edge(spacing_mm: 100, along: Left)" } else { planting.layout };
            file.planting(&Planting { crop: CROPS[place % CROPS.len()], dates: &dates, layout, ..planting });
        }
    }
    file.done()
}

/// Beds that are empty for three centuries, but for a crop at each end.
pub fn empty_centuries(n: usize) -> String {
    let mut file = File::new("empty centuries");
    file.beds(n, SIZE);
    for at in 0..2 * n {
        let dates = if at % 2 == 0 { "plant: \"1900-04-01\"" } else { "plant: \"2200-04-01\"" };
        file.planting(&Planting { id: at + 1, bed: at / 2, dates, ..Planting::default() });
    }
    file.done()
}

/// Families that are asked to stay away for a century, and crops of one of them every year in every bed.
pub fn long_returns(n: usize) -> String {
    let mut file = File::new("long returns");
    let n_beds = n.div_ceil(1_000);
    let families = ["amaryllidaceae", "brassicaceae", "apiaceae", "fabaceae", "solanaceae"];
    let returns: Vec<String> = families.iter().map(|family| format!("\"{family}\": 100")).collect();
    file.field("return_years", &format!("{{{}}}", returns.join(",")));
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
pub fn slivers(n: usize) -> String {
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
