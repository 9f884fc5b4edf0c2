//! From a layout and a strip to a pattern of stations, in whole millimetres.

use super::LayoutError;
use super::lattice::{Lattice, Spread, Window};
use crate::garden::{Layout, Run, Side};
use crate::units::{Mm, Point, Rect};

/// Greatest extent of a strip: 1 km, as lengths are read.
const STRIP_MAX: Mm = Mm(1_000_000);
/// Greatest distance between stations or from an edge: 100 m.
const DISTANCE_MAX: Mm = Mm(100_000);
/// Most plants raised at one station.
const CLUMP_MAX: u32 = 100;
/// Plants in a metre of drill.
const PER_M_RANGE: (f64, f64) = (0.01, 10_000.0);
/// Plants in a square metre broadcast.
const PER_M2_RANGE: (f64, f64) = (0.01, 1_000_000.0);
/// Tolerance for rounding errors before a count of plants is cut to whole plants.
const COUNT_SLACK: f64 = 1e-9;

/// What a layout comes to, without a list of its stations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Counted {
    /// Stations; for drills and broadcast sowings the plants.
    pub n_stations: u64,
    /// Stations × clump.
    pub n_plants: u64,
    /// Lines of stations (0 for broadcast).
    pub n_lines: u64,
    /// Plants per m² of the strip.
    pub per_m2: f64,
    /// Which way the lines run (the better of both for grid and offset).
    pub run: Run,
    /// Distance between neighbouring stations, where the layout has one.
    pub spacing_mm: Option<Mm>,
    /// Where the stations are.
    pub pattern: Pattern,
}

/// Where the stations of a layout are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pattern {
    /// Grid, offset and rows: a lattice whose cells another planting may use.
    Lattice(Lattice),
    /// One or two lines along the edges.
    Lines(Lattice),
    /// Cell centres of a host's lattice within a window.
    Cells(Lattice, Window),
    /// Drills and broadcast sowings.
    Spread(Spread),
}

impl Counted {
    /// The lattice whose cell centres a `between` layout takes.
    pub fn cells(&self) -> Option<Lattice> {
        match self.pattern {
            Pattern::Lattice(lattice) => Some(lattice),
            _ => None,
        }
    }

    pub(super) fn stations(&self) -> Vec<Point> {
        let mut stations = Vec::with_capacity(self.n_stations as usize);
        match self.pattern {
            Pattern::Lattice(lattice) | Pattern::Lines(lattice) => stations.extend(lattice.stations()),
            Pattern::Cells(lattice, window) => stations.extend(lattice.cells(window)),
            Pattern::Spread(spread) => stations.extend(spread.stations()),
        }
        stations
    }
}

/// Counts what [`super::set_out`] would set out, without storing a position.
///
/// Cost: constant. `host` is the count of the planting a `between`
/// layout names. There is no upper limit to the count.
///
/// # Errors
/// Distances, densities or counts out of range; a `between` without cells.
pub fn count(
    layout: &Layout,
    strip: Rect,
    setback: Option<Mm>,
    clump: u32,
    host: Option<&Counted>,
) -> Result<Counted, LayoutError> {
    arrange(layout, strip, setback, clump, host.and_then(Counted::cells))
}

pub(super) fn arrange(
    layout: &Layout,
    strip: Rect,
    setback: Option<Mm>,
    clump: u32,
    host: Option<Lattice>,
) -> Result<Counted, LayoutError> {
    check_mm("strip length", strip.length(), Mm(1), STRIP_MAX)?;
    check_mm("strip width", strip.width(), Mm(1), STRIP_MAX)?;
    if let Some(setback) = setback {
        check_mm("setback", setback, Mm::ZERO, DISTANCE_MAX)?;
    }
    if clump == 0 || clump > CLUMP_MAX {
        return Err(out_of_range("clump", clump.to_string(), "1".to_owned(), CLUMP_MAX.to_string()));
    }

    let (pattern, spacing_mm) = match *layout {
        Layout::Grid { spacing_mm } => {
            check_distance("spacing", spacing_mm)?;
            let lattice = rectangular(strip, Run::Along, spacing_mm, spacing_mm, setback);
            (Pattern::Lattice(lattice), Some(spacing_mm))
        }
        Layout::Offset { spacing_mm } => {
            check_distance("spacing", spacing_mm)?;
            let along = staggered(strip, Run::Along, spacing_mm, setback);
            let across = staggered(strip, Run::Across, spacing_mm, setback);
            let better = if across.n_stations() > along.n_stations() { across } else { along };
            (Pattern::Lattice(better), Some(spacing_mm))
        }
        Layout::Rows { row_mm, in_row_mm, run } => {
            check_distance("row distance", row_mm)?;
            check_distance("in-row distance", in_row_mm)?;
            let lattice = rectangular(strip, run, row_mm, in_row_mm, setback);
            (Pattern::Lattice(lattice), Some(row_mm.min(in_row_mm)))
        }
        Layout::Edge { spacing_mm, along } => {
            check_distance("spacing", spacing_mm)?;
            (Pattern::Lines(edge_lines(strip, along, spacing_mm, setback)), Some(spacing_mm))
        }
        Layout::Between { .. } => {
            let host = host.ok_or(LayoutError::NoCells)?;
            let window = Window::of(strip, setback.unwrap_or_default().0);
            // Centres of staggered cells lie one host spacing apart, which is the step; those of rectangular cells lie the
            // shorter side apart.
            let nearest = if host.shift_mm > 0.0 { host.step_mm } else { host.step_mm.min(host.pitch_mm) };
            (Pattern::Cells(host, window), Some(Mm(nearest as i32)))
        }
        Layout::Drill { row_mm, plants_per_m, run } => {
            check_distance("row distance", row_mm)?;
            check_number("plants per metre", plants_per_m, PER_M_RANGE)?;
            (Pattern::Spread(drill(strip, run, row_mm, plants_per_m, setback)), None)
        }
        Layout::Broadcast { plants_per_m2 } => {
            check_number("plants per m²", plants_per_m2, PER_M2_RANGE)?;
            (Pattern::Spread(broadcast(strip, plants_per_m2, setback)), None)
        }
    };

    let (n_stations, n_lines, run) = match pattern {
        Pattern::Lattice(lattice) | Pattern::Lines(lattice) => (lattice.n_stations(), lattice.n_lines, lattice.run),
        Pattern::Cells(host, window) => {
            let (n_cells, n_lines) = host.n_cells(window);
            (n_cells, n_lines, host.run)
        }
        Pattern::Spread(spread) => {
            let is_scatter = matches!(layout, Layout::Broadcast { .. });
            (spread.n_plants, if is_scatter { 0 } else { spread.n_lines }, spread.run)
        }
    };
    // A drill or a scatter is counted in plants; clumps have no meaning there.
    let plants_each = if matches!(pattern, Pattern::Spread(_)) { 1 } else { u64::from(clump) };
    let n_plants = n_stations * plants_each;
    let n_lines = if n_stations == 0 { 0 } else { n_lines };
    let per_m2 = n_plants as f64 / strip.area_m2();
    Ok(Counted { n_stations, n_plants, n_lines, per_m2, run, spacing_mm, pattern })
}

/// The strip seen along its lines: start and extent along, start and extent across, in mm.
fn seen_along(strip: Rect, run: Run) -> (f64, i64, f64, i64) {
    let (x0, length) = (strip.x0.as_f64(), i64::from(strip.length().0));
    let (y0, width) = (strip.y0.as_f64(), i64::from(strip.width().0));
    match run {
        Run::Along => (x0, length, y0, width),
        Run::Across => (y0, width, x0, length),
    }
}

/// Twice the setback: a whole number even if half a spacing is not.
fn both_setbacks(setback: Option<Mm>, distance: Mm) -> i64 {
    setback.map_or(i64::from(distance.0), |setback| 2 * i64::from(setback.0))
}

/// How many stations an extent holds, and how far from its start the first one is.
fn along_extent(extent: i64, both_setbacks: i64, step: i64) -> (i64, f64) {
    let room = extent - both_setbacks;
    if room < 0 {
        return (0, 0.0);
    }
    let n = room / step + 1;
    (n, (extent - (n - 1) * step) as f64 / 2.0)
}

fn rectangular(strip: Rect, run: Run, row: Mm, in_row: Mm, setback: Option<Mm>) -> Lattice {
    let (u_start, u_extent, v_start, v_extent) = seen_along(strip, run);
    let (n_in_line, u_first) = along_extent(u_extent, both_setbacks(setback, in_row), i64::from(in_row.0));
    let (n_lines, v_first) = along_extent(v_extent, both_setbacks(setback, row), i64::from(row.0));
    if n_in_line == 0 || n_lines == 0 {
        return Lattice::empty(run);
    }
    Lattice {
        run,
        n_lines: n_lines as u64,
        n_in_line: n_in_line as u64,
        n_in_shifted: n_in_line as u64,
        u0_mm: u_start + u_first,
        v0_mm: v_start + v_first,
        step_mm: in_row.as_f64(),
        pitch_mm: row.as_f64(),
        shift_mm: 0.0,
    }
}

fn staggered(strip: Rect, run: Run, spacing: Mm, setback: Option<Mm>) -> Lattice {
    let (u_start, u_extent, v_start, v_extent) = seen_along(strip, run);
    let (step, both) = (i64::from(spacing.0), both_setbacks(setback, spacing));
    let (u_room, v_room) = (u_extent - both, v_extent - both);
    if u_room < 0 || v_room < 0 {
        return Lattice::empty(run);
    }
    let n_in_line = u_room / step + 1;
    let spare = u_room - (n_in_line - 1) * step;
    let holds_as_many = 2 * spare >= step;
    let n_in_shifted = if holds_as_many { n_in_line } else { n_in_line - 1 };
    // One station in every line and none in the lines between: a straight line the other way holds at least as many.
    let n_lines = if n_in_shifted == 0 { 1 } else { n_pitches(v_room, step) + 1 };
    let shift_mm = spacing.as_f64() / 2.0;
    let pitch_mm = spacing.as_f64() * 3.0_f64.sqrt() / 2.0;
    let shifted_end = if holds_as_many && n_lines > 1 { shift_mm } else { 0.0 };
    Lattice {
        run,
        n_lines: n_lines as u64,
        n_in_line: n_in_line as u64,
        n_in_shifted: n_in_shifted as u64,
        u0_mm: u_start + (u_extent as f64 - (n_in_line - 1) as f64 * spacing.as_f64() - shifted_end) / 2.0,
        v0_mm: v_start + (v_extent as f64 - (n_lines - 1) as f64 * pitch_mm) / 2.0,
        step_mm: spacing.as_f64(),
        pitch_mm,
        shift_mm,
    }
}

/// The greatest k with k · spacing · √3/2 ≤ room, decided in whole numbers: 3 k² spacing² ≤ 4 room².
fn n_pitches(room: i64, spacing: i64) -> i64 {
    let holds = |k: i64| {
        let (k, room, spacing) = (i128::from(k), i128::from(room), i128::from(spacing));
        3 * k * k * spacing * spacing <= 4 * room * room
    };
    let mut k = (room as f64 / (spacing as f64 * 3.0_f64.sqrt() / 2.0)) as i64;
    while k > 0 && !holds(k) {
        k -= 1;
    }
    while holds(k + 1) {
        k += 1;
    }
    k
}

/// One line along each chosen edge. The second line is left out if the two would be nearer to each other than the spacing.
fn edge_lines(strip: Rect, along: Side, spacing: Mm, setback: Option<Mm>) -> Lattice {
    let (u_start, u_extent, v_start, v_extent) = seen_along(strip, Run::Along);
    let (step, both) = (i64::from(spacing.0), both_setbacks(setback, spacing));
    let (n_in_line, u_first) = along_extent(u_extent, both, step);
    let apart = v_extent - both;
    if n_in_line == 0 || apart < 0 {
        return Lattice::empty(Run::Along);
    }
    let n_lines = if along == Side::Whole && apart >= step { 2 } else { 1 };
    let from_edge = both as f64 / 2.0;
    let v0_mm = if along == Side::Right { v_start + v_extent as f64 - from_edge } else { v_start + from_edge };
    Lattice {
        run: Run::Along,
        n_lines,
        n_in_line: n_in_line as u64,
        n_in_shifted: n_in_line as u64,
        u0_mm: u_start + u_first,
        v0_mm,
        step_mm: spacing.as_f64(),
        pitch_mm: apart as f64,
        shift_mm: 0.0,
    }
}

/// Lines of seed. They run the whole length unless a setback is given, for a drill is drawn from end to end.
fn drill(strip: Rect, run: Run, row: Mm, plants_per_m: f64, setback: Option<Mm>) -> Spread {
    let (u_start, u_extent, v_start, v_extent) = seen_along(strip, run);
    let end_mm = f64::from(setback.unwrap_or_default().0);
    let (n_lines, v_first) = along_extent(v_extent, both_setbacks(setback, row), i64::from(row.0));
    let line_mm = (u_extent as f64 - 2.0 * end_mm).max(0.0);
    let n_plants = whole(n_lines as f64 * line_mm / 1000.0 * plants_per_m);
    Spread {
        run,
        n_lines: n_lines as u64,
        n_plants,
        u0_mm: u_start + end_mm,
        line_mm,
        v0_mm: v_start + v_first,
        pitch_mm: row.as_f64(),
    }
}

/// A scatter over the strip, less a setback if one is given; drawn as an even lattice of that many plants.
fn broadcast(strip: Rect, plants_per_m2: f64, setback: Option<Mm>) -> Spread {
    let edge_mm = f64::from(setback.unwrap_or_default().0);
    let length_mm = (strip.length().as_f64() - 2.0 * edge_mm).max(0.0);
    let width_mm = (strip.width().as_f64() - 2.0 * edge_mm).max(0.0);
    let n_plants = whole(length_mm * width_mm / 1e6 * plants_per_m2);
    let n_lines = if n_plants == 0 {
        0
    } else {
        ((n_plants as f64 * width_mm / length_mm).sqrt().round() as u64).clamp(1, n_plants)
    };
    let pitch_mm = width_mm / n_lines.max(1) as f64;
    Spread {
        run: Run::Along,
        n_lines,
        n_plants,
        u0_mm: strip.x0.as_f64() + edge_mm,
        line_mm: length_mm,
        v0_mm: strip.y0.as_f64() + edge_mm + pitch_mm / 2.0,
        pitch_mm,
    }
}

fn whole(n: f64) -> u64 {
    (n * (1.0 + COUNT_SLACK)).floor() as u64
}

fn out_of_range(what: &'static str, value: String, least: String, greatest: String) -> LayoutError {
    LayoutError::OutOfRange { what, value, least, greatest }
}

fn check_mm(what: &'static str, length: Mm, least: Mm, greatest: Mm) -> Result<(), LayoutError> {
    if length < least || length > greatest {
        return Err(out_of_range(what, format!("{length} cm"), least.to_string(), format!("{greatest} cm")));
    }
    Ok(())
}

fn check_distance(what: &'static str, distance: Mm) -> Result<(), LayoutError> {
    check_mm(what, distance, Mm(1), DISTANCE_MAX)
}

fn check_number(what: &'static str, number: f64, (least, greatest): (f64, f64)) -> Result<(), LayoutError> {
    // Written so that NaN is refused too.
    if (least..=greatest).contains(&number) {
        Ok(())
    } else {
        Err(out_of_range(what, number.to_string(), least.to_string(), greatest.to_string()))
    }
}
