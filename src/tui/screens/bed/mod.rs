//! One bed to scale in the week looked at, the list of its plantings, and the selected one in detail.
//!
//! ```text
//! +--------------------------------------------------------------+
//! | header: id, name, size, kind, cover, week                    |
//! +----------------------------------+---------------------------+
//! | picture.rs                       | detail, where the bed is  |
//! | the bed to scale                 | squat enough to leave room|
//! +----------------------------------+---------------------------+
//! | list: letter, crop, strip,       | detail at the right from  |
//! | layout, counts, dates, sign      | 120 columns, else below   |
//! +----------------------------------+---------------------------+
//! ```

pub(in crate::tui) mod detail;
mod picture;
mod raster;
pub(in crate::tui) mod rows;
#[cfg(test)]
mod tests;

use ratatui::Frame;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use crate::garden::{Bed, Cover, PlantingId};
use crate::tui::context::Context;
use crate::tui::keys::Command;
use crate::tui::layers::Layer;
use crate::tui::layers::bed_form::{cover_word, kind_word};
use crate::tui::layers::planting_form::PlantingForm;
use crate::tui::scene::Scene;
use crate::tui::screens::Ran;
use crate::tui::session::Session;
use crate::tui::signs::Signs;
use crate::tui::view::Shown;
use crate::tui::widgets::{paint, sky, text};
use crate::tui::wording;
use crate::units::text::shown;
use rows::{Row, State};

/// Columns from which the detail stands at the right of the list.
const WIDE: u16 = 120;
/// Least cells of the detail beside a squat bed.
const DETAIL_CELLS: u16 = 46;
/// Least lines of the picture without its edges, if the screen has room for them.
const PICTURE_LINES: u16 = 8;
/// Least lines of the list, its heading included.
const LIST_LINES: u16 = 6;
/// Least cells for past years beside the heading of the list.
const PAST_CELLS: u16 = 24;
/// Least lines of the detail.
const DETAIL_LINES: u16 = 4;

/// The regions of the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Regions {
    header: Rect,
    picture: Rect,
    list: Rect,
    detail: Rect,
}

fn regions(area: Rect, bed: &Bed, n_plantings: usize) -> Regions {
    let header = Rect { height: area.height.min(1), ..area };
    let rest = Rect { y: header.bottom(), height: area.height - header.height, ..area };
    let n_plantings = u16::try_from(n_plantings).unwrap_or(u16::MAX).max(1);
    let list_wanted = n_plantings.saturating_add(1);
    let least = PICTURE_LINES + picture::EDGE_LINES;
    let below = LIST_LINES + DETAIL_LINES;
    let picture_most = if rest.height >= least + below {
        (rest.height - below).min((rest.height * 11 / 20).max(least))
    } else {
        // Too small for everything: the picture comes first.
        (rest.height * 3 / 5).max(picture::EDGE_LINES + 1).min(rest.height)
    };
    let (cells, lines) = picture::size(picture::scale_of(bed, area.width, picture_most));
    let picture = Rect { width: cells.min(area.width), height: lines.min(picture_most), ..rest };
    let lower = Rect { y: picture.bottom(), height: rest.height - picture.height, ..rest };
    let beside = area.width.saturating_sub(cells + 2);
    if beside >= DETAIL_CELLS && picture.height >= DETAIL_LINES + 2 {
        let detail = Rect { x: area.right() - beside, width: beside, ..picture };
        return Regions { header, picture, list: lower, detail };
    }
    if area.width >= WIDE {
        let list = Rect { width: (area.width * 11 / 20).max(80), ..lower };
        let detail = Rect { x: list.right() + 2, width: area.width - list.width - 2, ..lower };
        return Regions { header, picture, list, detail };
    }
    let list_height = if lower.height >= below {
        list_wanted.min(lower.height - DETAIL_LINES)
    } else {
        lower.height.saturating_sub(DETAIL_LINES).max((lower.height / 2).min(3))
    };
    let list = Rect { height: list_height, ..lower };
    let detail = Rect { y: list.bottom(), height: lower.height - list.height, ..lower };
    Regions { header, picture, list, detail }
}

/// Draws the screen.
pub fn draw(frame: &mut Frame, area: Rect, scene: Scene<'_>) {
    let Scene { session, view, theme, signs, .. } = scene;
    let buf = frame.buffer_mut();
    let Some(bed) = session.plan().garden().beds.get(view.bed_idx) else {
        let words = "No bed yet. N lays out the first one.";
        paint::put(buf, area, area.x + 2, area.y.saturating_add(1), words, theme.plain());
        return;
    };
    let rows = rows::of_bed(session, view);
    let layers = rows::to_draw(&rows, scene);
    let regions = regions(area, bed, rows.len());
    draw_header(buf, regions.header, bed, scene);
    picture::draw(buf, regions.picture, bed, &layers, theme, signs);
    if layers.is_empty() {
        let picture = regions.picture;
        let words = if rows.is_empty() { "empty" } else { "nothing stands here in this week" };
        let words = text::cut(words, usize::from(picture.width.saturating_sub(8)), signs.ellipsis);
        let cells = u16::try_from(text::width(&words)).unwrap_or(0);
        let x = picture.x + 5 + picture.width.saturating_sub(5).saturating_sub(cells) / 2;
        let middle = picture.y + picture.height.saturating_sub(picture::EDGE_LINES) / 2 + 1;
        paint::put(buf, picture, x, middle, &words, theme.faint());
    }
    draw_list(buf, regions.list, &rows, scene);
    detail::draw(buf, regions.detail, &rows, scene);
}

fn draw_header(buf: &mut Buffer, area: Rect, bed: &Bed, scene: Scene<'_>) {
    let Scene { session, view, theme, signs, .. } = scene;
    let mut x = area.x + 1;
    x += paint::put(buf, area, x, area.y, &shown(&bed.id), theme.heading()) + 1;
    if !bed.name.is_empty() {
        let name = text::cut(&shown(&bed.name), usize::from(area.width / 3), signs.ellipsis);
        x += paint::put(buf, area, x, area.y, &name, theme.heading()) + 1;
    }
    let size = text::size_m(bed.width_mm, bed.length_mm, signs.times);
    let dot = signs.dot;
    let only = if view.shown == Shown::Selected {
        format!(" {dot} only the selected planting (v all)")
    } else {
        String::new()
    };
    let of_kind = |cover: &str| format!("{dot} {size} {dot} {}{cover}{only}", kind_word(bed.kind));
    let sky_beside = |words: &str| {
        let room = usize::from(area.right().saturating_sub(x + 3)).saturating_sub(text::width(words));
        sky::words_within(session, view.week, bed.cover, room, signs)
    };
    // Where room is short, the words about the air name the cover, and the heading need not.
    let short = of_kind("");
    let (words, sky) = match sky_beside(&short).filter(|_| bed.cover != Cover::Open && area.width < WIDE) {
        Some(sky) => (short, Some(sky)),
        None => {
            let long = of_kind(&format!(", {}", cover_word(bed.cover)));
            let sky = sky_beside(&long);
            (long, sky)
        }
    };
    x += paint::put(buf, area, x, area.y, &words, theme.plain());
    if let Some(sky) = sky {
        paint::put(buf, area, x + 1, area.y, &format!("{dot} {sky}"), theme.faint());
    }
}

/// Columns of the list, in cells: crop, strip, layout, counts, dates.
fn columns(width: u16, rows: &[Cells]) -> [u16; 5] {
    let widest = |column: usize, most: u16| {
        let cells = rows.iter().map(|row| text::width(&row.0[column])).max().unwrap_or(0);
        u16::try_from(cells).unwrap_or(u16::MAX).min(most)
    };
    // Pointer and letter take five cells, the sign two, and the gap after each column one.
    let mut room = width.saturating_sub(5 + 2 + 5);
    let dates = widest(4, 31).min(room);
    room -= dates;
    let crop_least = widest(0, 14).min(room);
    room -= crop_least;
    let counts = widest(3, 14).min(room);
    room -= counts;
    let strip = widest(1, 16).min(room);
    room -= strip;
    let layout = widest(2, 28).min(room);
    room -= layout;
    let crop = crop_least + room.min(widest(0, 40).saturating_sub(crop_least));
    [crop, strip, layout, counts, dates]
}

/// The columns of one row in words.
struct Cells([String; 5]);

fn cells_of(row: &Row<'_>, session: &Session, year: i32, is_narrow: bool, signs: &Signs) -> Cells {
    let planting = row.planting;
    let plan = session.plan();
    let short = plan.book().crop(&planting.crop).filter(|_| is_narrow).map(|crop| crop.short_name.clone());
    Cells([
        short.unwrap_or_else(|| wording::crop_and_variety(plan, planting)),
        wording::strip(planting.from_mm, planting.to_mm, planting.side, signs),
        wording::layout_in_list(plan, &planting.layout, is_narrow, signs),
        row.standing.map_or_else(String::new, |standing| wording::counts_short(standing, planting.clump, signs)),
        row.standing
            .map_or_else(|| "no dates".to_owned(), |standing| wording::in_and_out(&standing.stages, year, signs)),
    ])
}

fn draw_list(buf: &mut Buffer, area: Rect, rows: &[Row<'_>], scene: Scene<'_>) {
    let Scene { session, view, theme, signs, .. } = scene;
    if area.height == 0 {
        return;
    }
    let (asked, free) = session.free_up(view.bed_idx, view.week);
    let year = view.week.iso_year();
    let heading = format!("Plantings {} {}", signs.dot, wording::frees_up(&free, asked, year, signs));
    paint::put_filled(
        buf,
        paint::cells_of(area, area.x + 1, area.y, area.width.saturating_sub(1)),
        &heading,
        theme.heading(),
        signs,
    );
    // On a wide screen the detail shows past years.
    let past = session.plan().garden().beds.get(view.bed_idx).map(|bed| wording::past_years(session.plan(), &bed.id));
    let start = area.x + 2 + u16::try_from(text::width(&heading)).unwrap_or(0);
    let room = area.right().saturating_sub(start + 1);
    if let Some(past) = past.filter(|past| !past.is_empty() && area.width < WIDE && room >= PAST_CELLS) {
        let words = text::cut(&format!("{} past {past}", signs.dot), usize::from(room), signs.ellipsis);
        paint::put(buf, area, start, area.y, &words, theme.faint());
    }
    let body = Rect { y: area.y + 1, height: area.height - 1, ..area };
    if rows.is_empty() {
        let words = "Nothing is planted here. a places a crop, n lists what could go in.";
        for (line, y) in text::wrap(words, usize::from(body.width.saturating_sub(4))).iter().zip(body.top()..) {
            paint::put(buf, body, body.x + 2, y, line, theme.plain());
        }
        return;
    }
    let selected = rows.iter().position(|row| Some(row.planting.id) == view.planting);
    let top = paint::scroll_top(selected.unwrap_or(0), rows.len(), usize::from(body.height));
    let shown_rows: Vec<&Row<'_>> = rows.iter().skip(top).take(usize::from(body.height)).collect();
    let cells: Vec<Cells> =
        shown_rows.iter().map(|row| cells_of(row, session, year, body.width < WIDE, signs)).collect();
    let columns = columns(body.width, &cells);
    for ((row, cells), y) in shown_rows.iter().zip(&cells).zip(body.top()..body.bottom()) {
        let is_selected = Some(row.planting.id) == view.planting;
        let style = match (is_selected, row.state) {
            (true, _) if scene.is_behind => theme.selected_behind(),
            (true, _) => theme.selected(),
            (false, State::Stands) => theme.plain(),
            (false, _) => theme.faint(),
        };
        paint::put_filled(buf, paint::line_of(body, y), "", style, signs);
        let pointer = if is_selected { signs.pointer } else { " " };
        paint::put(buf, body, body.x, y, pointer, style);
        let letter = match row.state {
            State::Stands => format!(" {} ", row.letter),
            _ => format!("({})", row.letter),
        };
        let letter_style = if row.state == State::Stands {
            style.patch(theme.planting(row.place)).patch(theme.heading())
        } else {
            style
        };
        paint::put(buf, body, body.x + 1, y, &letter, letter_style);
        let mut x = body.x + 5;
        for (n, (words, cells)) in cells.0.iter().zip(columns).enumerate() {
            if cells == 0 {
                continue;
            }
            let words = if n == 3 { right_aligned(words, cells) } else { words.clone() };
            paint::put_filled(buf, paint::cells_of(body, x, y, cells), &words, style, signs);
            x += cells + 1;
        }
        if let Some(severity) = row.worst {
            paint::put(buf, body, x, y, signs.severity(severity), style.patch(theme.severity(severity)));
        }
    }
}

fn right_aligned(words: &str, cells: u16) -> String {
    let blanks = usize::from(cells).saturating_sub(text::width(words));
    format!("{}{words}", " ".repeat(blanks))
}

/// Runs a command that means something of its own here.
pub fn run(command: Command, cx: &mut Context<'_>) -> Ran {
    let n_beds = cx.session.plan().garden().beds.len();
    if n_beds == 0 {
        return Ran::NotHere;
    }
    let at = cx.view.bed_idx.min(n_beds - 1);
    match command {
        Command::MoveLeft => go_to_bed(cx, at.saturating_sub(1)),
        Command::MoveRight => go_to_bed(cx, (at + 1).min(n_beds - 1)),
        Command::First => go_to_bed(cx, 0),
        Command::Last => go_to_bed(cx, n_beds - 1),
        Command::MoveUp => walk(cx, false),
        Command::MoveDown => walk(cx, true),
        Command::Open => {
            cx.view.select_standing(cx.session);
            match cx.view.planting.and_then(|id| PlantingForm::change(cx.session, id)) {
                Some(form) => return Ran::opens(Layer::PlantingForm(Box::new(form))),
                None => cx.view.say("nothing is planted in this bed; a places a crop"),
            }
        }
        _ => return Ran::NotHere,
    }
    Ran::Here
}

fn go_to_bed(cx: &mut Context<'_>, bed_idx: usize) {
    if bed_idx != cx.view.bed_idx {
        cx.view.bed_idx = bed_idx;
        cx.view.planting = None;
    }
    cx.view.select_standing(cx.session);
}

/// Selects the planting before or after the selected one in the list.
fn walk(cx: &mut Context<'_>, forward: bool) {
    let ids: Vec<PlantingId> = rows::ids(cx.session, cx.view.bed_idx);
    let at = cx.view.planting.and_then(|id| ids.iter().position(|other| *other == id));
    let next = match at {
        None => 0,
        Some(at) if forward => (at + 1).min(ids.len().saturating_sub(1)),
        Some(at) => at.saturating_sub(1),
    };
    if let Some(id) = ids.get(next) {
        cx.view.planting = Some(*id);
    }
}
