#![allow(clippy::float_cmp, reason = "these values are exact")]

use proptest::prelude::*;

use super::*;
use crate::crops::{Raised, Seed};
use crate::garden::PlantingId;

fn bed(length_cm: i32, width_cm: i32) -> Rect {
    Rect::of_size(Mm::from_cm(length_cm), Mm::from_cm(width_cm))
}

fn grid(cm: i32) -> Layout {
    Layout::Grid { spacing_mm: Mm::from_cm(cm) }
}

fn offset(cm: i32) -> Layout {
    Layout::Offset { spacing_mm: Mm::from_cm(cm) }
}

fn between() -> Layout {
    Layout::Between { host: PlantingId(1) }
}

fn lay(layout: &Layout, strip: Rect) -> SetOut {
    set_out(layout, strip, None, 1, None).unwrap()
}

fn least_distance(stations: &[Point]) -> f64 {
    let mut least = f64::INFINITY;
    for (idx, one) in stations.iter().enumerate() {
        for other in &stations[idx + 1..] {
            least = least.min(one.distance_mm(*other));
        }
    }
    least
}

#[test]
fn a_bed_of_240_by_120_holds_eight_by_four_stations_at_30() {
    let leeks = set_out(&grid(30), bed(240, 120), None, 4, None).unwrap();
    assert_eq!((leeks.n_stations, leeks.n_plants, leeks.n_lines), (32, 128, 4));
    assert_eq!(leeks.stations[0], Point { x_mm: 150.0, y_mm: 150.0 });
    assert_eq!(leeks.stations[31], Point { x_mm: 2250.0, y_mm: 1050.0 });
    // By hand: 128 plants on 2.88 m².
    assert!((leeks.per_m2 - 44.444_444).abs() < 1e-5);
}

#[test]
fn odd_millimetres_lose_no_station() {
    // 75 mm is 3 × 25; half of 25 is not whole, the count is.
    let strip = Rect::of_size(Mm(75), Mm(25));
    let out = lay(&Layout::Grid { spacing_mm: Mm(25) }, strip);
    let xs: Vec<f64> = out.stations.iter().map(|at| at.x_mm).collect();
    assert_eq!(xs, [12.5, 37.5, 62.5]);
}

#[test]
fn what_is_left_over_is_shared_by_both_ends() {
    let out = lay(&grid(40), bed(100, 40));
    let xs: Vec<f64> = out.stations.iter().map(|at| at.x_mm).collect();
    assert_eq!(xs, [300.0, 700.0]);
}

#[test]
fn a_setback_of_nothing_puts_plants_on_the_edge() {
    let out = set_out(&grid(30), bed(120, 60), Some(Mm::ZERO), 1, None).unwrap();
    assert_eq!(out.n_stations, 5 * 3);
    assert_eq!(out.stations[0], Point { x_mm: 0.0, y_mm: 0.0 });
}

#[test]
fn a_bed_too_small_for_one_station_holds_none() {
    for layout in [grid(50), offset(50), Layout::Edge { spacing_mm: Mm::from_cm(50), along: Side::Whole }] {
        let out = lay(&layout, bed(40, 40));
        assert_eq!((out.n_stations, out.n_lines, out.stations.len()), (0, 0, 0), "{layout:?}");
    }
}

#[test]
fn staggered_lines_stand_closer_and_the_shifted_ones_may_hold_one_fewer() {
    // By hand, 100 × 120 cm at 20 cm, lines along the 100: 5 and 4 in turn; (1200 - 200) / 173.2 = 5.77, six lines:
    // 27. Lines along the 120: 6 and 5 in turn; (1000 - 200) / 173.2 = 4.6, five lines: 28.
    let out = lay(&offset(20), bed(100, 120));
    assert_eq!((out.n_stations, out.n_lines, out.run), (28, 5, Run::Across));
    // With a half spacing to spare every line is full: two lines along 110 cm hold 5 each.
    assert_eq!(lay(&offset(20), bed(110, 38)).n_stations, 10);
}

#[test]
fn a_bed_one_spacing_wide_holds_one_straight_line_when_staggered() {
    let out = lay(&offset(30), bed(240, 30));
    assert_eq!((out.n_stations, out.n_lines, out.run), (8, 1, Run::Along));
    let turned = lay(&offset(30), bed(30, 240));
    assert_eq!((turned.n_stations, turned.n_lines, turned.run), (8, 1, Run::Across));
}

#[test]
fn rows_keep_half_the_row_from_the_sides_and_half_the_step_at_the_ends() {
    let rows = Layout::Rows { row_mm: Mm::from_cm(40), in_row_mm: Mm::from_cm(10), run: Run::Along };
    let out = lay(&rows, bed(200, 120));
    assert_eq!((out.n_stations, out.n_lines), (60, 3));
    assert_eq!(out.stations[0], Point { x_mm: 50.0, y_mm: 200.0 });
    let across = Layout::Rows { row_mm: Mm::from_cm(40), in_row_mm: Mm::from_cm(10), run: Run::Across };
    let out = lay(&across, bed(200, 120));
    assert_eq!((out.n_stations, out.n_lines, out.run), (60, 5, Run::Across));
    assert_eq!(out.stations[0], Point { x_mm: 200.0, y_mm: 50.0 });
}

#[test]
fn an_edge_takes_one_line_a_side() {
    let garlic = |along| Layout::Edge { spacing_mm: Mm::from_cm(15), along };
    let both = lay(&garlic(Side::Whole), bed(300, 120));
    assert_eq!((both.n_stations, both.n_lines), (40, 2));
    assert_eq!(both.stations[0], Point { x_mm: 75.0, y_mm: 75.0 });
    assert_eq!(both.stations[39], Point { x_mm: 2925.0, y_mm: 1125.0 });
    let right = lay(&garlic(Side::Right), bed(300, 120));
    assert_eq!((right.n_stations, right.n_lines), (20, 1));
    assert!(right.stations.iter().all(|at| at.y_mm == 1125.0));
    // Two lines in 25 cm would stand 10 cm apart.
    assert_eq!(lay(&garlic(Side::Whole), bed(300, 25)).n_lines, 1);
}

#[test]
fn cells_of_a_grid_are_the_centres_of_its_squares() {
    let host = set_out(&grid(30), bed(240, 120), None, 4, None).unwrap();
    let onions = set_out(&between(), bed(240, 120), None, 8, Some(&host)).unwrap();
    assert_eq!((onions.n_stations, onions.n_plants, onions.n_lines), (7 * 3, 168, 3));
    assert_eq!(onions.stations[0], Point { x_mm: 300.0, y_mm: 300.0 });
    assert_eq!(onions.spacing_mm, Some(Mm(300)));
}

#[test]
fn cells_beyond_the_joining_strip_are_left_out_and_none_is_planted_twice() {
    let host = lay(&grid(30), bed(240, 120));
    let part = |from_cm, to_cm| {
        let strip = Rect { x0: Mm::from_cm(from_cm), x1: Mm::from_cm(to_cm), ..bed(240, 120) };
        set_out(&between(), strip, None, 1, Some(&host)).unwrap().n_stations
    };
    // Centres stand at 30, 60 … 210 cm, three in each line; 120 belongs to the second part.
    assert_eq!((part(0, 120), part(120, 240)), (9, 12));
    assert_eq!(part(0, 30), 0);
}

#[test]
fn staggered_hosts_give_one_cell_at_most_for_each_station() {
    let host = lay(&offset(30), bed(300, 120));
    let joined = set_out(&between(), bed(300, 120), None, 1, Some(&host)).unwrap();
    // By hand: lines along hold 10, 9, 10 and 9, which is 38; eleven lines across hold 4 and 3 in turn, which is 39.
    // Between those eleven lie ten runs of 3 and 2 cells in turn: 25.
    assert_eq!((host.n_stations, host.run, joined.n_stations), (39, Run::Across, 25));
    let nearest = host.stations.iter().map(|at| at.distance_mm(joined.stations[5])).fold(f64::INFINITY, f64::min);
    assert!((nearest - 300.0 / 3.0_f64.sqrt()).abs() < 1e-6);
    assert!(least_distance(&joined.stations) > 300.0 - 1e-6);
}

#[test]
fn between_needs_a_host_with_cells() {
    assert_eq!(set_out(&between(), bed(100, 100), None, 1, None), Err(LayoutError::NoCells));
    for layout in [
        Layout::Edge { spacing_mm: Mm::from_cm(15), along: Side::Whole },
        Layout::Broadcast { plants_per_m2: 100.0 },
        Layout::Drill { row_mm: Mm::from_cm(20), plants_per_m: 40.0, run: Run::Along },
    ] {
        let host = lay(&layout, bed(200, 120));
        assert_eq!(set_out(&between(), bed(100, 100), None, 1, Some(&host)), Err(LayoutError::NoCells));
    }
}

#[test]
fn a_drill_gives_metres_of_line_times_plants_a_metre() {
    let carrots = Layout::Drill { row_mm: Mm::from_cm(20), plants_per_m: 33.0, run: Run::Along };
    let out = lay(&carrots, bed(250, 120));
    // Six lines of 2.5 m, 15 m × 33 = 495.
    assert_eq!((out.n_stations, out.n_plants, out.n_lines), (495, 495, 6));
    assert_eq!(out.stations.len(), 495);
    // Three tenths of a metre at ten a metre are three plants, though 0.1 × 3 is not 0.3 in binary.
    let short = Layout::Drill { row_mm: Mm::from_cm(20), plants_per_m: 10.0, run: Run::Along };
    assert_eq!(lay(&short, bed(30, 20)).n_stations, 3);
}

#[test]
fn a_scatter_gives_area_times_density() {
    let out = lay(&Layout::Broadcast { plants_per_m2: 613.6 }, bed(250, 120));
    assert_eq!((out.n_stations, out.n_lines, out.stations.len()), (1840, 0, 1840));
}

#[test]
fn nonsense_is_an_error_with_the_range() {
    let says = |layout: &Layout, strip, setback, clump| set_out(layout, strip, setback, clump, None).unwrap_err();
    assert_eq!(says(&grid(0), bed(100, 100), None, 1).to_string(), "spacing is 0 cm; give 0.1 to 10000 cm");
    assert!(says(&grid(-30), bed(100, 100), None, 1).to_string().starts_with("spacing is -30 cm"));
    assert!(says(&grid(30), bed(100, 100), Some(Mm(-1)), 1).to_string().starts_with("setback is -0.1 cm"));
    assert!(says(&grid(30), bed(0, 100), None, 1).to_string().starts_with("strip length is 0 cm"));
    assert!(says(&grid(30), bed(100, 100), None, 0).to_string().starts_with("clump is 0"));
    for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0] {
        let drill = Layout::Drill { row_mm: Mm(200), plants_per_m: bad, run: Run::Along };
        assert!(matches!(says(&drill, bed(100, 100), None, 1), LayoutError::OutOfRange { .. }), "{bad}");
        let scatter = Layout::Broadcast { plants_per_m2: bad };
        assert!(matches!(says(&scatter, bed(100, 100), None, 1), LayoutError::OutOfRange { .. }), "{bad}");
    }
}

#[test]
fn a_count_goes_further_than_a_list_of_stations() {
    let acre = Rect::of_size(Mm(100_000), Mm(100_000));
    let counted = count(&grid(5), acre, None, 1, None).unwrap();
    assert_eq!(counted.n_stations, 4_000_000);
    assert!(matches!(set_out(&grid(5), acre, None, 1, None), Err(LayoutError::OutOfRange { .. })));
}

#[test]
fn an_edge_claims_a_band_and_everything_else_its_strip() {
    let strip = bed(300, 120);
    assert_eq!(claimed_ground(&grid(30), strip), [strip]);
    let edge = |along| Layout::Edge { spacing_mm: Mm::from_cm(15), along };
    assert_eq!(claimed_ground(&edge(Side::Left), strip), [bed(300, 15)]);
    let right = Rect { y0: Mm::from_cm(105), ..strip };
    assert_eq!(claimed_ground(&edge(Side::Whole), strip), [bed(300, 15), right]);
    assert_eq!(claimed_ground(&edge(Side::Whole), bed(300, 20)), [bed(300, 20)]);
}

fn seed(per_g: Option<f64>, germination_pct: f64) -> Seed {
    Seed { raised: vec![], depth_mm: Mm(10), per_g, germination_pct, weeks_in_module: Some(10), source: String::new() }
}

#[test]
fn thirty_two_clumps_of_four_leeks_need_36_modules_and_180_seeds() {
    // By hand: 32 × 1.1 = 35.2, so 36 modules; 36 × 4 / 0.8 = 180 seeds; at 360 in a gram half a gram.
    let need = sowing_need(32, 4, &seed(Some(360.0), 80.0), Raised::Module);
    assert_eq!((need.n_modules, need.n_seeds, need.n_trays), (36, 180, 1));
    assert!((need.seed_g.unwrap() - 0.5).abs() < 1e-12);
}

#[test]
fn direct_sowings_fill_no_modules_and_sets_get_spares_for_failures() {
    // By hand: 495 × 1.1 / 0.75 = 726.
    let need = sowing_need(495, 1, &seed(None, 75.0), Raised::InPlace);
    assert_eq!(need, SowingNeed { n_seeds: 726, seed_g: None, n_modules: 0, n_trays: 0 });
    // By hand: 40 / 0.95 = 42.1.
    assert_eq!(sowing_need(40, 1, &seed(Some(1.0), 95.0), Raised::Set).n_seeds, 43);
    assert_eq!(sowing_need(40, 1, &seed(Some(1.0), 95.0), Raised::Set).seed_g, None);
    assert_eq!(sowing_need(0, 4, &seed(None, 80.0), Raised::Module).n_seeds, 0);
}

#[test]
fn a_large_staggered_bed_tends_to_two_over_root_three_of_the_square_count() {
    let field = Rect::of_size(Mm(100_000), Mm(100_000));
    let n = |layout| count(&layout, field, None, 1, None).unwrap().n_stations as f64;
    let ratio = n(offset(2)) / n(grid(2));
    assert!((ratio - 2.0 / 3.0_f64.sqrt()).abs() < 0.001, "{ratio}");
}

fn any_lattice_layout() -> impl Strategy<Value = Layout> {
    let mm = || (20..900).prop_map(Mm);
    let run = || prop_oneof![Just(Run::Along), Just(Run::Across)];
    let side = prop_oneof![Just(Side::Whole), Just(Side::Left), Just(Side::Right)];
    prop_oneof![
        mm().prop_map(|spacing_mm| Layout::Grid { spacing_mm }),
        mm().prop_map(|spacing_mm| Layout::Offset { spacing_mm }),
        (mm(), mm(), run()).prop_map(|(row_mm, in_row_mm, run)| Layout::Rows { row_mm, in_row_mm, run }),
        (mm(), side).prop_map(|(spacing_mm, along)| Layout::Edge { spacing_mm, along }),
    ]
}

fn any_layout() -> impl Strategy<Value = Layout> {
    prop_oneof![
        4 => any_lattice_layout(),
        1 => (20..900, 1.0..100.0).prop_map(|(row, plants_per_m)| Layout::Drill {
            row_mm: Mm(row), plants_per_m, run: Run::Across
        }),
        1 => (0.1..500.0).prop_map(|plants_per_m2| Layout::Broadcast { plants_per_m2 }),
    ]
}

fn any_strip() -> impl Strategy<Value = Rect> {
    (0..500, 1..2500, 0..300, 1..1500).prop_map(|(x0, length, y0, width)| Rect {
        x0: Mm(x0),
        x1: Mm(x0 + length),
        y0: Mm(y0),
        y1: Mm(y0 + width),
    })
}

fn setback_of(layout: &Layout, setback: Option<Mm>) -> (f64, f64) {
    // Along x and along y.
    let half = |mm: Mm| mm.as_f64() / 2.0;
    match (setback, layout) {
        (Some(mm), _) => (mm.as_f64(), mm.as_f64()),
        (None, Layout::Rows { row_mm, in_row_mm, run: Run::Along }) => (half(*in_row_mm), half(*row_mm)),
        (None, Layout::Rows { row_mm, in_row_mm, run: Run::Across }) => (half(*row_mm), half(*in_row_mm)),
        (None, Layout::Grid { spacing_mm } | Layout::Offset { spacing_mm } | Layout::Edge { spacing_mm, .. }) => {
            (half(*spacing_mm), half(*spacing_mm))
        }
        (None, _) => (0.0, 0.0),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_two_stations_stand_nearer_than_the_spacing(
        layout in any_lattice_layout(), strip in any_strip(), setback in proptest::option::of((0..300).prop_map(Mm))
    ) {
        let out = set_out(&layout, strip, setback, 1, None).unwrap();
        let spacing = out.spacing_mm.unwrap().as_f64();
        if out.stations.len() < 1500 {
            prop_assert!(least_distance(&out.stations) >= spacing - 1e-6);
        }
        if let Ok(cells) = set_out(&between(), strip, None, 1, Some(&out)) {
            let spacing = cells.spacing_mm.unwrap().as_f64();
            if cells.stations.len() < 1500 {
                prop_assert!(least_distance(&cells.stations) >= spacing - 1e-6);
            }
        }
    }

    #[test]
    fn no_station_stands_outside_its_strip_or_within_the_setback(
        layout in any_layout(), strip in any_strip(), setback in proptest::option::of((0..300).prop_map(Mm))
    ) {
        let out = set_out(&layout, strip, setback, 1, None).unwrap();
        let (dx, dy) = setback_of(&layout, setback);
        for at in &out.stations {
            prop_assert!(at.x_mm >= strip.x0.as_f64() + dx - 1e-6 && at.x_mm <= strip.x1.as_f64() - dx + 1e-6);
            prop_assert!(at.y_mm >= strip.y0.as_f64() + dy - 1e-6 && at.y_mm <= strip.y1.as_f64() - dy + 1e-6);
        }
    }

    #[test]
    fn the_count_is_the_number_of_stations_set_out(
        layout in any_layout(), strip in any_strip(), part in any_strip(),
        setback in proptest::option::of((0..300).prop_map(Mm)), clump in 1_u32..9
    ) {
        let out = set_out(&layout, strip, setback, clump, None).unwrap();
        let counted = count(&layout, strip, setback, clump, None).unwrap();
        prop_assert_eq!(out.stations.len() as u64, counted.n_stations);
        prop_assert_eq!((out.n_stations, out.n_plants, out.n_lines), (counted.n_stations, counted.n_plants, counted.n_lines));
        let joined = set_out(&between(), part, setback, clump, Some(&out));
        let joined_count = count(&between(), part, setback, clump, Some(&counted));
        match (joined, joined_count) {
            (Ok(joined), Ok(joined_count)) => {
                prop_assert_eq!(joined.stations.len() as u64, joined_count.n_stations);
                prop_assert_eq!(joined.n_lines, joined_count.n_lines);
            }
            (joined, joined_count) => prop_assert_eq!(joined.is_err(), joined_count.is_err()),
        }
    }

    #[test]
    fn every_station_has_its_own_share_of_the_ground(
        spacing in (20..900).prop_map(Mm), strip in any_strip(), is_offset: bool
    ) {
        // Discs of half the spacing lie within the strip without overlap and cannot be denser than the
        // densest packing of the plane (Thue 1892, Fejes Tóth 1940): π/√12 of the area.
        let layout = if is_offset { Layout::Offset { spacing_mm: spacing } } else { Layout::Grid { spacing_mm: spacing } };
        let n = count(&layout, strip, None, 1, None).unwrap().n_stations as f64;
        let least_area = spacing.as_f64().powi(2) * 3.0_f64.sqrt() / 2.0;
        prop_assert!(n * least_area <= strip.area_mm2() as f64 + 1e-6);
    }

    #[test]
    fn a_turned_strip_holds_as_many(spacing in (20..900).prop_map(Mm), strip in any_strip(), is_offset: bool) {
        let layout = if is_offset { Layout::Offset { spacing_mm: spacing } } else { Layout::Grid { spacing_mm: spacing } };
        let turned = Rect::of_size(strip.width(), strip.length());
        prop_assert_eq!(
            count(&layout, strip, None, 1, None).unwrap().n_stations,
            count(&layout, turned, None, 1, None).unwrap().n_stations
        );
    }
}

#[test]
fn staggered_both_ways_alike_lines_run_along_the_bed() {
    assert_eq!(count(&offset(30), bed(120, 120), None, 1, None).unwrap().run, Run::Along);
}

#[test]
fn a_single_staggered_station_stands_in_the_middle() {
    // 27 cm are left across, room for a second line (25.98 cm) that would hold no station.
    let out = lay(&offset(30), bed(30, 57));
    assert_eq!((out.stations, out.n_lines), (vec![Point { x_mm: 150.0, y_mm: 285.0 }], 1));
}

#[test]
fn edges_exactly_a_spacing_apart_get_a_line_each() {
    let edges = Layout::Edge { spacing_mm: Mm::from_cm(30), along: Side::Whole };
    assert_eq!((lay(&edges, bed(60, 60)).n_lines, lay(&edges, bed(60, 59)).n_lines), (2, 1));
}

#[test]
fn between_staggered_stations_the_distance_is_that_of_the_host() {
    let between_at = |host: &Layout| {
        let host = count(host, bed(240, 120), None, 1, None).unwrap();
        count(&between(), bed(240, 120), None, 1, Some(&host)).unwrap().spacing_mm
    };
    assert_eq!(between_at(&offset(30)), Some(Mm::from_cm(30)));
    let rows = Layout::Rows { row_mm: Mm::from_cm(40), in_row_mm: Mm::from_cm(25), run: Run::Along };
    assert_eq!(between_at(&rows), Some(Mm::from_cm(25)));
}

#[test]
fn lines_between_that_hold_no_cell_are_not_counted() {
    // Three staggered lines of 2, 1 and 2 stations: one cell on the first, none on the second.
    let host = count(&offset(30), bed(60, 82), None, 1, None).unwrap();
    assert_eq!((host.n_stations, host.n_lines), (5, 3));
    let joined = count(&between(), bed(60, 82), None, 1, Some(&host)).unwrap();
    assert_eq!((joined.n_stations, joined.n_lines), (1, 1));
}

#[test]
fn a_drill_is_counted_in_plants_whatever_the_clump() {
    let drill = Layout::Drill { row_mm: Mm::from_cm(30), plants_per_m: 40.0, run: Run::Along };
    let n_plants = |clump| count(&drill, bed(200, 60), None, clump, None).unwrap().n_plants;
    // Two drills of 2 m.
    assert_eq!((n_plants(1), n_plants(4)), (160, 160));
}

#[test]
fn clumps_of_a_hundred_are_the_greatest() {
    assert_eq!(count(&grid(30), bed(30, 30), None, 100, None).unwrap().n_plants, 100);
    assert!(count(&grid(30), bed(30, 30), None, 101, None).is_err());
}

#[test]
fn a_broadcast_sowing_comes_back_to_the_books_weight_of_seed() {
    let book = crate::crops::CropBook::embedded().unwrap();
    let mut crop = book.crop("phacelia").unwrap().clone();
    crop.spacing.sow_g_per_m2 = Some(2.0);
    crop.seed = seed(Some(110.0), 80.0);
    // 220 seeds on a square metre, 176 come up, a tenth of them spares: 160 plants.
    let per_m2 = sowing_density_per_m2(&crop).unwrap();
    assert!((per_m2 - 160.0).abs() < 1e-9, "{per_m2}");
    assert_eq!(sowing_need(160, 1, &crop.seed, Raised::InPlace).seed_g, Some(2.0));
}

#[test]
fn the_clump_of_rows_is_for_rows_and_drills_alone() {
    let book = crate::crops::CropBook::embedded().unwrap();
    let mut crop = book.crop("leek").unwrap().clone();
    crop.spacing.equidistant_mm = Some(Mm(300));
    (crop.spacing.row_mm, crop.spacing.in_row_mm) = (Some(Mm(400)), Some(Mm(100)));
    (crop.spacing.clump, crop.spacing.row_clump) = (4, 3);
    // 1000 / 100 = 10 clumps of three in a metre of drill.
    let start = by_book(&crop);
    assert_eq!((start.clump, start.row_clump, start.plants_per_m), (4, 3, 30.0));
}
