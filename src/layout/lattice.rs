//! Regular patterns of stations, described by a few numbers.
//!
//! Coordinates here are `u` along the lines and `v` across them; `run` says which of them is the bed's length.

use std::ops::Range;

use crate::garden::Run;
use crate::units::{Point, Rect};

/// Tolerance for rounding errors when a computed place is compared with an edge, in mm.
const EDGE_SLACK_MM: f64 = 1e-6;

/// Lines of evenly spaced stations; every other line may be shifted.
///
/// ```text
///   v0             o   o   o   o      n_in_line
///   v0 + pitch       o   o   o        n_in_shifted, starting shift later
///   v0 + 2 pitch   o   o   o   o
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lattice {
    /// Which way the lines run.
    pub run: Run,
    /// Lines.
    pub n_lines: u64,
    /// Stations in the first line and every second one after it.
    pub n_in_line: u64,
    /// Stations in the lines between.
    pub n_in_shifted: u64,
    /// First station along the line, in mm.
    pub u0_mm: f64,
    /// First line, in mm.
    pub v0_mm: f64,
    /// Between stations of a line, in mm.
    pub step_mm: f64,
    /// Between lines, in mm.
    pub pitch_mm: f64,
    /// How far the lines between are shifted, in mm; 0 in square and rectangular patterns.
    pub shift_mm: f64,
}

fn place(run: Run, u_mm: f64, v_mm: f64) -> Point {
    match run {
        Run::Along => Point { x_mm: u_mm, y_mm: v_mm },
        Run::Across => Point { x_mm: v_mm, y_mm: u_mm },
    }
}

impl Lattice {
    /// A pattern without stations.
    pub(super) fn empty(run: Run) -> Self {
        Self {
            run,
            n_lines: 0,
            n_in_line: 0,
            n_in_shifted: 0,
            u0_mm: 0.0,
            v0_mm: 0.0,
            step_mm: 1.0,
            pitch_mm: 1.0,
            shift_mm: 0.0,
        }
    }

    /// Stations of all lines.
    pub fn n_stations(&self) -> u64 {
        self.n_lines.div_ceil(2) * self.n_in_line + self.n_lines / 2 * self.n_in_shifted
    }

    fn line(&self, line_idx: u64) -> (f64, u64) {
        if line_idx % 2 == 1 { (self.u0_mm + self.shift_mm, self.n_in_shifted) } else { (self.u0_mm, self.n_in_line) }
    }

    /// Station centres, line by line.
    pub fn stations(&self) -> impl Iterator<Item = Point> {
        let lattice = *self;
        (0..lattice.n_lines).flat_map(move |line_idx| {
            let (start_mm, n) = lattice.line(line_idx);
            let v_mm = lattice.v0_mm + line_idx as f64 * lattice.pitch_mm;
            (0..n).map(move |idx| place(lattice.run, start_mm + idx as f64 * lattice.step_mm, v_mm))
        })
    }

    /// The cells between line `line_idx` and the next: first centre along the line, place across, how many.
    ///
    /// Square and rectangular patterns: the centre of every four stations. Staggered patterns: the centre of every triangle with
    /// its base on this line and its tip on the next. The triangles that point the other way are left out: with both kinds there
    /// would be two joining stations for each station of the host, only 1/√3 of the spacing apart; with one kind there is one, a
    /// full spacing apart, as in a square pattern.
    fn cell_line(&self, line_idx: u64) -> (f64, f64, u64) {
        let (start_mm, n) = self.line(line_idx);
        let is_staggered = self.shift_mm > 0.0;
        let depth = if is_staggered { 1.0 / 3.0 } else { 0.5 };
        let v_mm = self.v0_mm + (line_idx as f64 + depth) * self.pitch_mm;
        (start_mm + self.step_mm / 2.0, v_mm, n.saturating_sub(1))
    }

    /// The lines whose cells lie in a window across the lines, in order.
    fn cell_lines(&self, v_range: (f64, f64)) -> Range<u64> {
        let n = self.n_lines.saturating_sub(1);
        let v_mm = |line_idx: u64| self.cell_line(line_idx).1;
        // As the division gives it, plus or minus one for rounding errors.
        let near = |v: f64| ((v - v_mm(0)) / self.pitch_mm).clamp(0.0, n as f64) as u64;
        let mut first = near(v_range.0);
        while first > 0 && v_mm(first - 1) >= v_range.0 {
            first -= 1;
        }
        while first < n && v_mm(first) < v_range.0 {
            first += 1;
        }
        let mut end = near(v_range.1).max(first);
        while end > first && v_mm(end - 1) > v_range.1 {
            end -= 1;
        }
        while end < n && v_mm(end) <= v_range.1 {
            end += 1;
        }
        first..end
    }

    /// The window along the lines and across them.
    fn ranges(&self, window: Window) -> ((f64, f64), (f64, f64)) {
        match self.run {
            Run::Along => (window.x_mm, window.y_mm),
            Run::Across => (window.y_mm, window.x_mm),
        }
    }

    /// The run of cells of one line inside a window along it: first place along, place across, how many.
    fn cell_run(&self, line_idx: u64, u_range: (f64, f64)) -> (f64, f64, u64) {
        let (u_mm, v_mm, n) = self.cell_line(line_idx);
        let first = ((u_range.0 - u_mm) / self.step_mm).ceil().max(0.0) as u64;
        let end = (((u_range.1 - u_mm) / self.step_mm).floor() + 1.0).max(0.0) as u64;
        (u_mm + first as f64 * self.step_mm, v_mm, end.min(n).saturating_sub(first))
    }

    /// How many cells lie in the window, and in how many lines. Every other line has the same.
    pub(super) fn n_cells(&self, window: Window) -> (u64, u64) {
        let (u_range, v_range) = self.ranges(window);
        let lines = self.cell_lines(v_range);
        let n_lines = lines.end - lines.start;
        let of_every_other = |line_idx: u64, n_lines: u64| {
            let (_, _, n) = self.cell_run(line_idx, u_range);
            (n * n_lines, if n > 0 { n_lines } else { 0 })
        };
        let first = of_every_other(lines.start, n_lines.div_ceil(2));
        let second = of_every_other(lines.start + 1, n_lines / 2);
        (first.0 + second.0, first.1 + second.1)
    }

    /// The cell centres in the window.
    pub(super) fn cells(&self, window: Window) -> impl Iterator<Item = Point> {
        let lattice = *self;
        let (u_range, v_range) = self.ranges(window);
        self.cell_lines(v_range).flat_map(move |line_idx| {
            let (u_mm, v_mm, n) = lattice.cell_run(line_idx, u_range);
            (0..n).map(move |idx| place(lattice.run, u_mm + idx as f64 * lattice.step_mm, v_mm))
        })
    }
}

/// Where cell centres may lie: closed ranges in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    x_mm: (f64, f64),
    y_mm: (f64, f64),
}

impl Window {
    /// The strip less a setback. Without a setback it is half open, so that a centre on the line between two strips belongs to
    /// only one of them.
    pub(super) fn of(strip: Rect, setback_mm: i32) -> Self {
        let setback = f64::from(setback_mm);
        let end_slack = if setback_mm == 0 { -EDGE_SLACK_MM } else { EDGE_SLACK_MM };
        let range = |from: f64, to: f64| (from + setback - EDGE_SLACK_MM, to - setback + end_slack);
        Self { x_mm: range(strip.x0.as_f64(), strip.x1.as_f64()), y_mm: range(strip.y0.as_f64(), strip.y1.as_f64()) }
    }
}

/// A number of plants spread evenly over lines of equal length: a drill, or the lattice that stands for a scatter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Which way the lines run.
    pub run: Run,
    /// Lines.
    pub n_lines: u64,
    /// Plants in all lines together; if they do not divide evenly, the first lines take one more each.
    pub n_plants: u64,
    /// Start of the lines, in mm.
    pub u0_mm: f64,
    /// Length of each line, in mm.
    pub line_mm: f64,
    /// First line, in mm.
    pub v0_mm: f64,
    /// Between lines, in mm.
    pub pitch_mm: f64,
}

impl Spread {
    /// Places of the plants, line by line.
    pub fn stations(&self) -> impl Iterator<Item = Point> {
        let spread = *self;
        let n_lines = spread.n_lines.max(1);
        let (each, n_longer) = (spread.n_plants / n_lines, spread.n_plants % n_lines);
        (0..spread.n_lines).flat_map(move |line_idx| {
            let n = each + u64::from(line_idx < n_longer);
            let v_mm = spread.v0_mm + line_idx as f64 * spread.pitch_mm;
            (0..n)
                .map(move |idx| place(spread.run, spread.u0_mm + (idx as f64 + 0.5) * spread.line_mm / n as f64, v_mm))
        })
    }
}
