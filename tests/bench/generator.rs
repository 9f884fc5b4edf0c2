//! Gardens of any size for the benches: the same size and seed give the same garden, planting for planting.
//!
//! A bed carries four plantings a year: a spring crop, a main crop, a quick crop between its stations, and something
//! that stands over the winter. The crops are drawn from the whole book, so rotation finds plenty to say: more
//! than a grower's garden would give it.

use bedfellow::crops::{Crop, CropBook, Raised};
use bedfellow::garden::{
    Bed, BedKind, Cover, Garden, Layout, PlannedDates, Planting, PlantingId, Run, Side, SoilTexture,
};
use bedfellow::units::Mm;
use chrono::{Days, NaiveDate};

/// First planting year of a generated garden.
pub const FIRST_YEAR: i32 = 2027;

const BED_WIDTH: Mm = Mm(1200);
const BED_LENGTH: Mm = Mm(4800);

/// A garden of `n_beds` beds planted for `n_years` years.
pub fn garden(book: &CropBook, n_beds: i32, n_years: i32, seed: u64) -> Garden {
    let mut dice = Dice(seed);
    let sown: Vec<&Crop> = book.crops().iter().filter(|crop| !crop.is_permanent).collect();
    let hosts: Vec<&Crop> = sown.iter().copied().filter(|crop| is_host(crop)).collect();
    let mut made = Garden::empty("Generated");
    made.beds = (0..n_beds).map(bed).collect();
    for year_idx in 0..n_years {
        for bed_idx in 0..n_beds {
            let mut maker = Maker { garden: &mut made, bed_idx: bed_idx as usize, year: FIRST_YEAR + year_idx };
            let late_days = dice.below(10);
            maker.place(dice.one_of(&sown), None, ((3, 10), late_days), 70);
            let host = maker.place(dice.one_of(&hosts), None, ((6, 1), late_days), 110);
            maker.place(dice.one_of(&sown), Some(host), ((6, 1), late_days), 45);
            maker.place(dice.one_of(&sown), None, ((10, 5), late_days), 140);
        }
    }
    made
}

fn bed(bed_idx: i32) -> Bed {
    let (row, column) = (bed_idx / 20, bed_idx % 20);
    Bed {
        id: format!("G{}", bed_idx + 1),
        name: String::new(),
        width_mm: BED_WIDTH,
        length_mm: BED_LENGTH,
        east_mm: Mm(column * 1650),
        south_mm: Mm(row * 5400),
        bearing_deg: 0,
        kind: BedKind::Bed,
        cover: Cover::Open,
        soil: SoilTexture::Loam,
        renewed_yearly: false,
        notes: String::new(),
    }
}

/// Whether a crop leaves room for another at its cell centres in a bed of this width.
fn is_host(crop: &Crop) -> bool {
    crop.spacing.equidistant_mm.is_some_and(|spacing| (Mm(250)..=Mm(500)).contains(&spacing))
}

struct Maker<'a> {
    garden: &'a mut Garden,
    bed_idx: usize,
    year: i32,
}

impl Maker<'_> {
    /// Plants the whole bed for `n_days` from so many days after a day of the year.
    fn place(
        &mut self,
        crop: &Crop,
        host: Option<PlantingId>,
        ((month, day), late_days): ((u32, u32), u64),
        n_days: u64,
    ) -> PlantingId {
        let raised = crop.seed.raised.first().copied().unwrap_or(Raised::InPlace);
        let first = NaiveDate::from_ymd_opt(self.year, month, day).expect("a day of the year");
        let enters = first + Days::new(late_days);
        let (sow, plant) = if raised == Raised::InPlace { (Some(enters), None) } else { (None, Some(enters)) };
        let id = PlantingId(self.garden.plantings.len() as u32 + 1);
        self.garden.plantings.push(Planting {
            id,
            bed: self.garden.beds[self.bed_idx].id.clone(),
            crop: crop.id.clone(),
            variety: String::new(),
            from_mm: Mm::ZERO,
            to_mm: BED_LENGTH,
            side: Side::Whole,
            layout: host.map_or_else(|| usual_layout(crop), |host| Layout::Between { host }),
            setback_mm: None,
            clump: crop.spacing.clump.max(1),
            raised,
            planned: PlannedDates {
                sow,
                plant,
                first_pick: Some(enters + Days::new(n_days / 2)),
                last_pick: Some(enters + Days::new(n_days - 1)),
                clear: Some(enters + Days::new(n_days)),
            },
            notes: String::new(),
        });
        id
    }
}

/// The layout the book gives first: square stations, else rows, else scattered.
fn usual_layout(crop: &Crop) -> Layout {
    let spacing = &crop.spacing;
    match (spacing.equidistant_mm, spacing.row_mm, spacing.in_row_mm) {
        (Some(spacing_mm), _, _) => Layout::Grid { spacing_mm },
        (None, Some(row_mm), Some(in_row_mm)) => Layout::Rows { row_mm, in_row_mm, run: Run::Along },
        _ => Layout::Broadcast { plants_per_m2: 200.0 },
    }
}

/// `SplitMix64` (Steele, Lea and Flood 2014, "Fast splittable pseudorandom number generators"), constants from memory.
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A number in `0..n`; the slight unevenness does not matter here.
    fn below(&mut self, n: u64) -> u64 {
        self.next() % n
    }

    fn one_of<'a, T: ?Sized>(&mut self, from: &[&'a T]) -> &'a T {
        from[self.below(from.len() as u64) as usize]
    }
}
