//! Plant counts against published examples and the best circle packings known.
//!
//! `data/spacing_checks.csv` holds the published rows, each with its source and whether it was read there or is from memory.
//! `expected_value` is what the source prints, `recomputed_value` the exact arithmetic, `rounding` how the one comes from
//! the other. Counts per area are those of an endless field, counts per row are length ÷ distance.

use bedfellow::garden::{Layout, PlantingId, Run, Side};
use bedfellow::layout::{count, field_density_per_m2, set_out};
use bedfellow::units::{Mm, Rect};
use serde::Deserialize;

#[derive(Debug, Deserialize)]
#[allow(clippy::struct_field_names, reason = "the columns of the file")]
struct Row {
    check_id: String,
    kind: String,
    in_row_cm: Option<f64>,
    between_row_cm: Option<f64>,
    plants_per_station: Option<u32>,
    area_m2: Option<f64>,
    row_length_m: Option<f64>,
    bed_width_m: Option<f64>,
    rect_long: Option<f64>,
    rect_short: Option<f64>,
    circle_radius: Option<f64>,
    expected_value: f64,
    expected_unit: String,
    rounding: String,
    recomputed_value: Option<f64>,
}

fn rows() -> Vec<Row> {
    let text = include_str!("data/spacing_checks.csv");
    csv::Reader::from_reader(text.as_bytes()).deserialize().map(Result::unwrap).collect()
}

fn rows_of<'a>(rows: &'a [Row], kinds: &'a [&str]) -> impl Iterator<Item = &'a Row> {
    rows.iter().filter(move |row| kinds.contains(&row.kind.as_str()))
}

/// Kinds that this file checks.
const CHECKED: [&str; 14] = [
    "plants_per_acre",
    "plants_per_area",
    "plants_in_area",
    "plants_per_hectare",
    "equidistant_density",
    "multi_seeded",
    "density_check",
    "bed_metres",
    "plants_per_row",
    "row_to_block",
    "triangular_factor",
    "triangular_pitch",
    "circle_packing",
    "density_optimum",
];

/// Kinds that say nothing of stations: changes of unit, effects on yield, field roads.
const NOT_OF_LAYOUT: [&str; 3] = ["unit_conversion", "density_effect", "field_length"];

#[test]
fn every_kind_of_row_is_checked_or_known_not_to_speak_of_layout() {
    let rows = rows();
    assert_eq!(rows.len(), 125);
    for row in &rows {
        let kind = row.kind.as_str();
        assert!(CHECKED.contains(&kind) || NOT_OF_LAYOUT.contains(&kind), "{} {kind}", row.check_id);
    }
}

/// Whether a printed figure follows from the exact one by the rounding its row states.
fn agrees(row: &Row, exact: f64) -> bool {
    let printed = row.expected_value;
    let slack = exact.abs() * 1e-9;
    match row.rounding.as_str() {
        r if r.contains("about 10% lost to lanes") || r == "about" => (printed / exact - 0.9).abs() < 0.005,
        r if r.contains("loose") => (printed / exact - 1.0).abs() < 0.02,
        r if r.contains("truncated to 1 decimal") => ((exact * 10.0 + slack).floor() / 10.0 - printed).abs() < 1e-9,
        // Kept as printed: a truncated figure with a decimal.
        "truncated" if printed.fract() != 0.0 => exact - printed < 0.1 && printed <= exact,
        r if r.contains("truncated") => ((exact + slack).floor() - printed).abs() < 1e-9,
        r if r.contains("rounded up") => ((exact - slack).ceil() - printed).abs() < 1e-9,
        r if r.contains("upper value kept") => ((exact - slack).ceil() - printed).abs() < 1e-9,
        r if r.contains("2 decimals") => (exact - printed).abs() <= 0.005 + slack,
        r if r.contains("1 decimal") => (exact - printed).abs() <= 0.05 + slack,
        r if r.contains("rounded") => (exact - printed).abs() <= 0.5 + slack,
        "exact" => (exact - printed).abs() <= slack,
        other => panic!("{}: rounding `{other}` is not known here", row.check_id),
    }
}

#[test]
fn published_populations_per_area_are_met() {
    let rows = rows();
    let kinds = [
        "plants_per_acre",
        "plants_per_area",
        "plants_in_area",
        "plants_per_hectare",
        "equidistant_density",
        "multi_seeded",
        "density_check",
        "density_optimum",
    ];
    let mut n = 0;
    for row in rows_of(&rows, &kinds) {
        let (Some(in_row_cm), Some(row_cm)) = (row.in_row_cm, row.between_row_cm) else { continue };
        // Gross area of a trial less its guard plants: the area is not printed.
        let Some(area_m2) = row.area_m2 else { continue };
        let per_m2 = field_density_per_m2(row_cm * 10.0, in_row_cm * 10.0, row.plants_per_station.unwrap());
        // The square foot and the acre are rounded in the file; the exact ones are meant.
        let area_m2 = [0.092_903_04, 9.290_304, 0.836_127_36, 4_046.856_422_4]
            .into_iter()
            .find(|exact| (exact / area_m2 - 1.0).abs() < 1e-3)
            .unwrap_or(area_m2);
        let exact = per_m2 * area_m2;
        if let Some(recomputed) = row.recomputed_value {
            assert!((exact / recomputed - 1.0).abs() < 1e-4, "{}: {exact}, not {recomputed}", row.check_id);
        }
        assert!(agrees(row, exact), "{}: {exact} against printed {}", row.check_id, row.expected_value);
        n += 1;
    }
    // All but sp083, which gives a density only, and sp089, which does not print the area.
    assert_eq!(n, 60);
}

/// Tenths of a millimetre, so that inches come out whole; counts do not depend on the unit.
fn tenths(metres: f64) -> Mm {
    Mm((metres * 10_000.0).round() as i32)
}

#[test]
fn published_counts_per_row_are_met() {
    let rows = rows();
    let mut n = 0;
    for row in rows_of(&rows, &["plants_per_row"]) {
        let spacing_mm = tenths(row.in_row_cm.unwrap() / 100.0);
        let length = row.row_length_m.or(row.bed_width_m).unwrap();
        let layout = Layout::Edge { spacing_mm, along: Side::Left };
        let ground = Rect::of_size(tenths(length), spacing_mm);
        let stations = count(&layout, ground, None, 1, None).unwrap().n_stations as f64;
        // A range printed "6-7" keeps its upper end, which needs a plant at both ends of the row.
        let both_ends = count(&layout, ground, Some(Mm::ZERO), 1, None).unwrap().n_stations as f64;
        let expected = if row.rounding.contains("upper value kept") { both_ends } else { stations };
        assert!((expected - row.expected_value).abs() < 1e-9, "{}: {expected}", row.check_id);
        n += 1;
    }
    assert_eq!(n, 14);
}

#[test]
fn a_row_as_long_as_a_block_is_large_holds_as_many() {
    let rows = rows();
    let row = rows_of(&rows, &["row_to_block"]).next().unwrap();
    let spacing_mm = tenths(row.in_row_cm.unwrap() / 100.0);
    let grid = Layout::Grid { spacing_mm };
    let n = |ground| count(&grid, ground, None, 1, None).unwrap().n_stations;
    // A 24 ft row at 3 in and a 3 ft by 2 ft bed at 3 in.
    assert_eq!(n(Rect::of_size(tenths(7.3152), spacing_mm)), 96);
    assert_eq!(n(Rect::of_size(tenths(0.9144), tenths(0.6096))), 96);
    assert!((row.expected_value - 96.0).abs() < 1e-9);
}

#[test]
fn published_metres_of_bed_and_line_are_met() {
    let rows = rows();
    let mut n = 0;
    for row in rows_of(&rows, &["bed_metres"]) {
        // One plant in a metre of line counts the metres.
        let metres_per_ha = field_density_per_m2(row.bed_width_m.unwrap() * 1000.0, 1000.0, 1) * 10_000.0;
        let exact = match row.expected_unit.as_str() {
            "beds per ha" => metres_per_ha / 100.0,
            "bed metres per ha" => metres_per_ha,
            "row metres per ha" => metres_per_ha * 4.0,
            other => panic!("{other}"),
        };
        assert!(agrees(row, exact), "{}: {exact}", row.check_id);
        n += 1;
    }
    assert_eq!(n, 4);
}

#[test]
fn a_staggered_field_holds_the_published_factor_more() {
    let field = Rect::of_size(Mm(100_000), Mm(100_000));
    let n = |layout| count(&layout, field, None, 1, None).unwrap().n_stations as f64;
    let factor = n(Layout::Offset { spacing_mm: Mm(20) }) / n(Layout::Grid { spacing_mm: Mm(20) });
    let rows = rows();
    let mut printed: Vec<f64> = rows_of(&rows, &["triangular_factor"]).map(|row| row.expected_value).collect();
    printed.sort_by(f64::total_cmp);
    // The smaller figure is for raised beds and allows for their edges; a bed of 12 ft by 4 ft at 6 in shows it.
    assert_eq!(printed, [1.13, 1.15]);
    assert!((factor - 1.15).abs() < 0.005, "{factor}");
    let bed = Rect::of_size(tenths(3.6576), tenths(1.2192));
    let in_bed = |layout| count(&layout, bed, None, 1, None).unwrap().n_stations as f64;
    let ratio =
        in_bed(Layout::Offset { spacing_mm: tenths(0.1524) }) / in_bed(Layout::Grid { spacing_mm: tenths(0.1524) });
    assert!(ratio < factor, "{ratio}");
}

#[test]
fn staggered_lines_lie_the_published_pitch_apart() {
    let rows = rows();
    let pitch = |spacing_mm: i32| {
        let bed = Rect::of_size(Mm(10 * spacing_mm), Mm(10 * spacing_mm));
        let out = set_out(&Layout::Offset { spacing_mm: Mm(spacing_mm) }, bed, None, 1, None).unwrap();
        let lattice = out.cells.unwrap();
        assert_eq!(out.run, lattice.run);
        lattice.pitch_mm
    };
    let mut n = 0;
    for row in rows_of(&rows, &["triangular_pitch"]) {
        if let Some(in_row_cm) = row.in_row_cm {
            // Printed row places 17.5 cm apart are rounded to the half centimetre.
            assert!((pitch((in_row_cm * 10.0) as i32) / 10.0 - row.expected_value).abs() <= 0.25, "{}", row.check_id);
        } else {
            assert!((pitch(1000) / 1000.0 - row.expected_value).abs() <= 0.0005, "{}", row.check_id);
        }
        n += 1;
    }
    assert_eq!(n, 2);
}

/// Most stations that grid or offset place in a rectangle, half a spacing from its sides.
fn most_placed(length: f64, width: f64, spacing: f64, round_spacing: fn(f64) -> f64) -> u64 {
    // A unit this fine loses nothing that matters, and the greatest lengths stay within bounds.
    let unit = 90_000.0 / spacing;
    let ground = Rect::of_size(Mm((length * unit).floor() as i32), Mm((width * unit).floor() as i32));
    let spacing_mm = Mm(round_spacing(spacing * unit) as i32);
    [Layout::Grid { spacing_mm }, Layout::Offset { spacing_mm }]
        .into_iter()
        .map(|layout| count(&layout, ground, None, 1, None).unwrap().n_stations)
        .max()
        .unwrap()
}

#[test]
fn no_layout_beats_the_best_known_circle_packings() {
    let rows = rows();
    let (mut n, mut n_met) = (0, 0);
    for row in rows_of(&rows, &["circle_packing"]) {
        let (long, short, radius) = (row.rect_long.unwrap(), row.rect_short.unwrap(), row.circle_radius.unwrap());
        let best = row.expected_value as u64;
        if row.expected_unit == "circles" && row.rounding.starts_with("side truncated") {
            // The smallest square for so many circles: a hair larger holds them at most, a hair smaller fewer.
            let placed = most_placed(long + 0.001, short + 0.001, 2.0 * radius, f64::ceil);
            assert!(placed <= best, "{}: {placed} of {best}", row.check_id);
            n_met += u32::from(placed == best);
            let fewer = most_placed(long - 0.001, short - 0.001, 2.0 * radius, f64::ceil);
            assert!(fewer < best, "{}: {fewer} of {best}", row.check_id);
        } else if row.rounding == "exact" {
            // Most unit-area circles in a square of that area.
            let placed = most_placed(long, short, 2.0 * radius, f64::ceil);
            assert!(placed <= best, "{}: {placed} of {best}", row.check_id);
        } else {
            // The greatest radius for so many circles in a rectangle: larger circles must be fewer.
            let fewer = most_placed(long, short, 2.0 * radius * 1.000_05, f64::ceil);
            assert!(fewer < best, "{}: {fewer} of {best}", row.check_id);
            let placed = most_placed(long, short, 2.0 * radius, f64::ceil);
            assert!(placed <= best, "{}: {placed} of {best}", row.check_id);
        }
        n += 1;
    }
    assert_eq!(n, 36);
    // Four, nine and sixteen circles are packed best in a square grid, two and others less regularly.
    assert!(n_met >= 3, "{n_met}");
}

#[test]
fn leeks_in_clumps_of_four_at_32_stations_make_128_plants() {
    // Common practice, no published source: a bed of 2.4 m by 1.2 m at 30 cm, a clump of salad onions at each centre between.
    let bed = Rect::of_size(Mm::from_cm(240), Mm::from_cm(120));
    let leeks = set_out(&Layout::Grid { spacing_mm: Mm::from_cm(30) }, bed, None, 4, None).unwrap();
    assert_eq!((leeks.n_stations, leeks.n_plants), (32, 128));
    let onions = set_out(&Layout::Between { host: PlantingId(1) }, bed, None, 8, Some(&leeks)).unwrap();
    assert_eq!(onions.n_stations, 21);
}

#[test]
fn published_square_and_row_densities_are_met_in_whole_beds() {
    // A square metre and a hectare set out for real, not as a density: rows sp061 to sp063 and sp104, 100 and 400 plants.
    let metre = Rect::of_size(Mm(1000), Mm(1000));
    let n = |layout, clump| count(&layout, metre, None, clump, None).unwrap().n_plants;
    let rows = |row_mm, in_row_mm| Layout::Rows { row_mm: Mm(row_mm), in_row_mm: Mm(in_row_mm), run: Run::Along };
    assert_eq!(n(rows(1000, 10), 1), 100);
    assert_eq!(n(rows(500, 20), 1), 100);
    assert_eq!(n(Layout::Grid { spacing_mm: Mm(100) }, 1), 100);
    assert_eq!(n(Layout::Grid { spacing_mm: Mm(100) }, 4), 400);
    // Row sp067, printed as approximately 22 500 in a hectare at 75 by 60 cm: 133 rows of 166.
    let hectare = Rect::of_size(Mm(100_000), Mm(100_000));
    let placed = count(&rows(750, 600), hectare, None, 1, None).unwrap().n_plants;
    assert_eq!(placed, 133 * 166);
    assert!((placed as f64 / 22_500.0 - 1.0).abs() < 0.02);
}
