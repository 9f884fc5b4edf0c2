//! A bed to scale in a few cells, each shaded by the share of its ground that is covered in the week looked at.
//!
//! Plants set wide apart are discs of their present size; closer ones cover their ground evenly.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Modifier;

use super::stands_in;
use crate::garden::Layout;
use crate::season::Standing;
use crate::tui::scene::Scene;
use crate::tui::screens::bed::rows::{covered_now, letter};
use crate::tui::session::Session;
use crate::tui::widgets::cover::{CoverGrid, DOTS_ACROSS, DOTS_DOWN, Scale, shade};
use crate::units::Rect as Ground;

/// Dots between stations from which each plant is drawn as a disc.
const DISCS_APART: f64 = 4.0;

/// Draws a bed at a scale.
pub fn draw(buf: &mut Buffer, area: Rect, scene: Scene<'_>, bed_idx: usize, scale: Scale) {
    let Scene { session, view, theme, signs, .. } = scene;
    let Some(bed) = session.plan().garden().beds.get(bed_idx) else { return };
    let season = session.plan().standing_in(bed_idx);
    let here: Vec<(usize, &Standing)> = season.iter().enumerate().filter(|(_, st)| stands_in(st, view)).collect();
    let mut grid = CoverGrid::new(bed, scale);
    for &(place, standing) in &here {
        let now = covered_now(session, view, standing);
        let owner = u16::try_from(place).unwrap_or(u16::MAX);
        if now.mean_spacing_mm * scale.dots_per_mm >= DISCS_APART {
            grid.discs(&session.plan().stations(standing.id), now.radius_mm, owner);
        } else {
            grid.even(&standing.ground, now.share, owner);
        }
    }
    for row in 0..area.height.min(scale.rows) {
        for column in 0..area.width.min(scale.columns) {
            let Some(cell) = buf.cell_mut((area.x + column, area.y + row)) else { continue };
            match grid.cell(column, row) {
                Some((share, owner)) => cell.set_symbol(shade(share, signs)).set_style(theme.planting(owner.into())),
                None => cell.set_symbol(signs.bare).set_style(theme.faint()),
            };
        }
    }
    let mut taken: Vec<(u16, u16)> = Vec::new();
    for (place, standing) in here {
        let Some(at) = letter_at(session, standing, scale, &taken) else { continue };
        taken.push(at);
        if let Some(cell) =
            buf.cell_mut((area.x + at.0, area.y + at.1)).filter(|_| at.0 < area.width && at.1 < area.height)
        {
            cell.set_char(letter(place)).set_style(theme.planting(place).add_modifier(Modifier::BOLD));
        }
    }
}

/// A cell for a planting's letter: near the middle of its ground, and not taken by another letter.
fn letter_at(session: &Session, standing: &Standing, scale: Scale, taken: &[(u16, u16)]) -> Option<(u16, u16)> {
    let ground: Ground = *standing.ground.first()?;
    let cells = |mm: f64, dots: i32| mm * scale.dots_per_mm / f64::from(dots);
    let middle_x = cells(ground.x0.as_f64() + ground.x1.as_f64(), DOTS_ACROSS) / 2.0;
    let middle_y = cells(ground.y0.as_f64() + ground.y1.as_f64(), DOTS_DOWN) / 2.0;
    let is_between = session
        .plan()
        .garden()
        .planting(standing.id)
        .is_some_and(|planting| matches!(planting.layout, Layout::Between { .. }));
    // The letter of what stands between others goes beside theirs.
    let first = middle_x.floor() as i32 + if is_between { 2 } else { 0 };
    let row = (middle_y.floor().max(0.0) as u16).min(scale.rows.saturating_sub(1));
    let offsets = [0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6, -6];
    let columns = offsets.iter().filter_map(|offset| u16::try_from(first + offset).ok());
    columns.filter(|column| *column < scale.columns).map(|column| (column, row)).find(|at| !taken.contains(at))
}
