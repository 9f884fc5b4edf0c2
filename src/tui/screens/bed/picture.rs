//! The bed to scale: stations and present radii (where these are too small for outlines, the ground they cover as shades),
//! strips along the upper edge, centimetres along the lower and the left.
//!
//! ```text
//!     ++--- a b 0-240 cm ---++--- c 240-480 cm --++   strips
//!   0 |  .oo.   .oo.   .oo.   . . . . . . . . . . |   discs, letters at the stations
//!  60 | o  a o o  a o o  a o  . . c . . . . c . . |
//!     |  'oo'   'oo'   'oo'   . . . . . . . . . . |
//! 120 +---------+---------+---------+-------------+
//!     0        100       200       300        480 cm
//! ```

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};

use super::raster::Raster;
use crate::garden::{Bed, Side};
use crate::tui::signs::Signs;
use crate::tui::theme::Theme;
use crate::tui::widgets::cover::{CoverGrid, DOTS_ACROSS, DOTS_DOWN, Scale, shade};
use crate::tui::widgets::{paint, text};
use crate::tui::wording;
use crate::units::{Mm, Point};

/// Cells left of the bed: labels of its width, and its edge.
const LEFT_CELLS: u16 = 6;
/// Cells of the right edge.
const RIGHT_CELLS: u16 = 1;
/// Lines of both edges and of the labels of its length.
pub const EDGE_LINES: u16 = 3;
/// Least cells from one label of the length to the next.
const LABEL_CELLS: f64 = 7.0;
/// Distances between labels of the length, in cm.
const LABEL_STEPS_CM: [i32; 13] = [5, 10, 20, 50, 100, 200, 500, 1_000, 2_000, 5_000, 10_000, 20_000, 50_000];
/// Grown plants of a radius of fewer dots are shaded by the ground they cover: their outlines would run together.
const OUTLINE_LEAST: f64 = 5.0;
/// The same of their present size: a letter would hide the outline.
const OUTLINE_NOW_LEAST: f64 = 3.0;
/// Stations at least this many dots apart each have room for a letter.
const ROOM_FOR_LETTER: f64 = 5.5;
/// Cells from one letter to the next where stations stand closer.
const LETTER_GAP: u16 = 8;
/// Stations looked at for how close they stand.
const STATIONS_LOOKED_AT: usize = 64;

/// One planting to draw.
pub struct Layer {
    /// Letter that stands for it here and in the list.
    pub letter: char,
    /// Its place in the list, for its style.
    pub place: usize,
    /// Station centres.
    pub stations: Vec<Point>,
    /// Radius of its plants this week, in mm.
    pub radius_mm: f64,
    /// Radius of its plants when they are grown, in mm.
    pub mature_radius_mm: f64,
    /// Its strip.
    pub strip: (Mm, Mm, Side),
    /// Drawn so that it stands out.
    pub is_selected: bool,
}

/// The scale of a bed with its edges in an area of that many cells.
pub fn scale_of(bed: &Bed, width: u16, height: u16) -> Scale {
    Scale::within(bed, width.saturating_sub(LEFT_CELLS + RIGHT_CELLS), height.saturating_sub(EDGE_LINES))
}

/// Cells the whole picture takes, edges included.
pub fn size(scale: Scale) -> (u16, u16) {
    (scale.columns + LEFT_CELLS + RIGHT_CELLS, scale.rows + EDGE_LINES)
}

/// Column of a place along the bed.
fn column(scale: Scale, along: Mm) -> u16 {
    let column = along.as_f64().max(0.0) * scale.dots_per_mm / f64::from(DOTS_ACROSS);
    (column.round() as u16).min(scale.columns)
}

/// Draws the picture at the upper left of an area.
pub fn draw(buf: &mut Buffer, area: Rect, bed: &Bed, layers: &[Layer], theme: Theme, signs: &Signs) {
    let scale = scale_of(bed, area.width, area.height);
    let inside = Rect { x: area.x + LEFT_CELLS, y: area.y + 1, width: scale.columns, height: scale.rows };
    draw_edges(buf, area, inside, bed, theme, signs);
    draw_strips(buf, area, inside, scale, layers, theme, signs);
    draw_length(buf, area, inside, scale, bed, theme, signs);

    let mut raster = Raster::new(scale.columns, scale.rows);
    let mut cover = CoverGrid::new(bed, scale);
    for (layer, owner) in layers.iter().zip(0u16..) {
        let dots = |mm: f64| mm * scale.dots_per_mm;
        if dots(layer.mature_radius_mm) < OUTLINE_LEAST || dots(layer.radius_mm) < OUTLINE_NOW_LEAST {
            cover.discs(&layer.stations, layer.radius_mm, owner);
        } else {
            let centres = layer.stations.iter().map(|point| scale.dots(*point));
            raster.discs(centres, dots(layer.radius_mm), owner);
        }
    }
    let style_of = |owner: u16| {
        let Some(layer) = layers.get(usize::from(owner)) else { return theme.plain() };
        let style = theme.planting(layer.place);
        if layer.is_selected { style.add_modifier(Modifier::BOLD) } else { style }
    };
    let inside = inside.intersection(area).intersection(*buf.area());
    for row in 0..inside.height {
        for column in 0..inside.width {
            let Some(cell) = buf.cell_mut((inside.x + column, inside.y + row)) else { continue };
            if let Some((sign, owner)) = raster.cell(column, row, signs.is_ascii) {
                cell.set_char(sign).set_style(style_of(owner));
            } else if let Some((share, owner)) = cover.cell(column, row) {
                cell.set_symbol(shade(share, signs)).set_style(style_of(owner));
            }
        }
    }
    draw_letters(buf, inside, scale, layers, theme);
}

/// Letters at the stations: at each where they stand wide enough, else now and then along a line.
fn draw_letters(buf: &mut Buffer, inside: Rect, scale: Scale, layers: &[Layer], theme: Theme) {
    // Columns of each row that have a letter already, so that none is written over.
    let mut taken = vec![false; usize::from(inside.width) * usize::from(inside.height)];
    let in_front_first = layers.iter().filter(|layer| layer.is_selected);
    for layer in in_front_first.chain(layers.iter().filter(|layer| !layer.is_selected)) {
        let closest = layer.stations.windows(2).take(STATIONS_LOOKED_AT).filter_map(|pair| match pair {
            [one, other] => Some(one.distance_mm(*other)),
            _ => None,
        });
        let closest_dots = closest.fold(f64::INFINITY, f64::min) * scale.dots_per_mm;
        let gap = if closest_dots >= ROOM_FOR_LETTER { 1 } else { LETTER_GAP };
        let mut last: Vec<Option<u16>> = vec![None; usize::from(inside.height)];
        let style = theme.planting(layer.place).add_modifier(Modifier::BOLD);
        let style = if layer.is_selected { style.patch(theme.selected()) } else { style };
        for point in &layer.stations {
            let (x, y) = scale.dots(*point);
            let column = (x / f64::from(DOTS_ACROSS)).floor();
            let row = (y / f64::from(DOTS_DOWN)).floor();
            if column < 0.0 || row < 0.0 || column >= f64::from(inside.width) || row >= f64::from(inside.height) {
                continue;
            }
            let (column, row) = (column as u16, row as u16);
            let Some(before) = last.get_mut(usize::from(row)) else { continue };
            if before.is_some_and(|before| column.abs_diff(before) < gap) {
                continue;
            }
            let idx = usize::from(row) * usize::from(inside.width) + usize::from(column);
            if taken.get(idx).copied().unwrap_or(true) {
                continue;
            }
            taken[idx] = true;
            *before = Some(column);
            if let Some(cell) = buf.cell_mut((inside.x + column, inside.y + row)) {
                cell.set_char(layer.letter).set_style(style);
            }
        }
    }
}

fn draw_edges(buf: &mut Buffer, area: Rect, inside: Rect, bed: &Bed, theme: Theme, signs: &Signs) {
    let style = theme.faint();
    let outer = Rect { x: inside.x - 1, y: area.y, width: inside.width + 2, height: inside.height + 2 };
    let outer = outer.intersection(area);
    paint::frame(buf, outer, "", style, style, signs);
    let mut label = |line: u16, mm: Mm| {
        let words = format!("{:>1$}", mm.to_string(), usize::from(LEFT_CELLS - 2));
        paint::put(buf, area, area.x, line, &words, style);
    };
    label(inside.y, Mm::ZERO);
    if inside.height >= 5 {
        label(inside.y + inside.height / 2, bed.width_mm.half());
    }
    if inside.height >= 2 {
        label(inside.y + inside.height - 1, bed.width_mm);
    }
}

/// A stretch of the upper edge and the plantings that take it.
struct Strip {
    from: Mm,
    to: Mm,
    side: Side,
    letters: Vec<char>,
    style: Style,
}

/// Strips along the upper edge, the selected planting's first; one that would cover another is left to the list.
fn draw_strips(
    buf: &mut Buffer,
    area: Rect,
    inside: Rect,
    scale: Scale,
    layers: &[Layer],
    theme: Theme,
    signs: &Signs,
) {
    let mut strips: Vec<Strip> = Vec::new();
    for layer in layers.iter().filter(|layer| layer.is_selected).chain(layers.iter().filter(|l| !l.is_selected)) {
        let (from, to, side) = layer.strip;
        match strips.iter_mut().find(|strip| (strip.from, strip.to) == (from, to)) {
            Some(strip) => {
                strip.letters.push(layer.letter);
                if strip.side != side {
                    strip.side = Side::Whole;
                }
            }
            None => {
                let style = theme.planting(layer.place);
                let style = if layer.is_selected { style.add_modifier(Modifier::BOLD) } else { style };
                strips.push(Strip { from, to, side, letters: vec![layer.letter], style });
            }
        }
    }
    let end = if signs.is_ascii { "+" } else { "┬" };
    let mut covered: Vec<(u16, u16)> = Vec::new();
    for Strip { from, to, side, mut letters, style } in strips {
        let (x0, x1) = (column(scale, from), column(scale, to));
        if x1 < x0 + 2 || covered.iter().any(|(other0, other1)| x0 < *other1 && *other0 < x1) {
            continue;
        }
        covered.push((x0, x1));
        let cells = usize::from(x1 - x0) - 2;
        letters.sort_unstable();
        let letters = letters.iter().map(char::to_string).collect::<Vec<_>>().join(" ");
        let in_full = format!(" {letters} {} cm ", wording::strip(from, to, side, signs));
        let label = [in_full, format!(" {letters} "), letters].into_iter().find(|label| text::width(label) <= cells);
        let label = label.unwrap_or_default();
        let room = cells - text::width(&label);
        let left = signs.rule.repeat(room / 2);
        let right = signs.rule.repeat(room - room / 2);
        paint::put(buf, area, inside.x + x0, area.y, &format!("{end}{left}{label}{right}{end}"), style);
    }
}

/// Ticks on the lower edge and their labels.
fn draw_length(buf: &mut Buffer, area: Rect, inside: Rect, scale: Scale, bed: &Bed, theme: Theme, signs: &Signs) {
    let style = theme.faint();
    let (edge, line) = (inside.bottom(), inside.bottom() + 1);
    let tick = if signs.is_ascii { "+" } else { "┴" };
    let cells_per_cm = scale.dots_per_mm * 10.0 / f64::from(DOTS_ACROSS);
    let is_wide_enough = |step: &&i32| f64::from(**step) * cells_per_cm >= LABEL_CELLS;
    let step_cm = LABEL_STEPS_CM.iter().find(is_wide_enough).copied().unwrap_or(100_000);
    // A ruler of metres where the bed has metres.
    let step_cm = if bed.length_mm >= Mm::from_cm(200) { step_cm.max(100) } else { step_cm };
    let end = format!("{} cm", bed.length_mm);
    let end_x = (inside.x + scale.columns).saturating_sub(1).max(inside.x);
    let end_cells = u16::try_from(text::width(&end)).unwrap_or(0);
    let last_x = end_x.saturating_sub(end_cells.saturating_sub(4)).min(area.right().saturating_sub(end_cells));
    let last_x = last_x.max(inside.x);
    let mut at_cm = 0;
    while Mm::from_cm(at_cm) < bed.length_mm {
        let x = inside.x + column(scale, Mm::from_cm(at_cm));
        if at_cm > 0 {
            paint::put(buf, area, x.min(end_x), edge, tick, style);
        }
        let words = at_cm.to_string();
        let cells = u16::try_from(words.len()).unwrap_or(0);
        if x + cells < last_x {
            paint::put(buf, area, x, line, &words, style);
        }
        at_cm += step_cm;
    }
    paint::put(buf, area, last_x, line, &end, style);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::garden::{BedKind, Cover, SoilTexture};

    fn bed(width_cm: i32, length_cm: i32) -> Bed {
        Bed {
            id: "B1".to_owned(),
            name: String::new(),
            width_mm: Mm::from_cm(width_cm),
            length_mm: Mm::from_cm(length_cm),
            east_mm: Mm::ZERO,
            south_mm: Mm::ZERO,
            bearing_deg: 0,
            kind: BedKind::Bed,
            cover: Cover::Open,
            soil: SoilTexture::Loam,
            renewed_yearly: false,
            notes: String::new(),
        }
    }

    #[test]
    fn a_bed_is_drawn_to_scale_as_large_as_there_is_room() {
        // 480 × 120 cm in 80 cells less 7: 146 dots, 0.0304 dots to the mm, 36.5 dots across are 10 rows.
        let scale = scale_of(&bed(120, 480), 80, 30);
        assert_eq!((scale.columns, scale.rows), (73, 10));
        // Limited by height: 8 rows are 32 dots, 0.0267 dots to the mm, 128 dots along are 64 columns.
        let scale = scale_of(&bed(120, 480), 80, 8 + EDGE_LINES);
        assert_eq!((scale.columns, scale.rows), (64, 8));
    }

    #[test]
    fn a_kilometre_and_a_pot_have_room_in_any_area() {
        for (width, height) in [(0, 0), (1, 1), (5, 3), (80, 24), (200, 60)] {
            for bed in [bed(120, 100_000), bed(30, 30), bed(100_000, 1)] {
                let scale = scale_of(&bed, width, height);
                assert!(scale.columns >= 1 && scale.rows >= 1);
                let mut buf = Buffer::empty(Rect::new(0, 0, width, height));
                let area = *buf.area();
                let layer = Layer {
                    letter: 'a',
                    place: 0,
                    stations: vec![Point { x_mm: 100.0, y_mm: 100.0 }, Point { x_mm: 1e9, y_mm: -5.0 }],
                    radius_mm: 150.0,
                    mature_radius_mm: 150.0,
                    strip: (Mm::ZERO, bed.length_mm, Side::Whole),
                    is_selected: true,
                };
                draw(&mut buf, area, &bed, &[layer], Theme::of(true), &crate::tui::signs::FULL);
            }
        }
    }
}
