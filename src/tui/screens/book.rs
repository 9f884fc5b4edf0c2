//! What is known of crops: a list narrowed by a few letters, one crop's page with its sources.
//!
//! ```text
//! +----------------+-------------------------------------------+
//! | Asparagus      | Leek   Allium ampeloprasum                |
//! | Aubergine      | onion family, back after 4 years          |
//! |>Leek           | months   J F M A M J J A S O N D          |
//! | …              | spacing, seed, days, cold, yield, sources |
//! +----------------+-------------------------------------------+
//! ```

use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::style::Style;

use crate::crops::{Crop, Months};
use crate::garden::Severity;
use crate::tui::context::Context;
use crate::tui::keys::Command;
use crate::tui::layers::Layer;
use crate::tui::layers::planting_form::PlantingForm;
use crate::tui::scene::Scene;
use crate::tui::screens::Ran;
use crate::tui::session::Session;
use crate::tui::signs::Signs;
use crate::tui::theme::Theme;
use crate::tui::view::View;
use crate::tui::widgets::{paint, sky, text};
use crate::units::text::shown;
use crate::words::{CropPage, Value, counted};

/// Lines a page step scrolls.
const PAGE_STEP: usize = 10;

/// The crops listed, by their places in the book.
fn listed(session: &Session, view: &View) -> Vec<usize> {
    session.plan().book().search(&view.book_letters)
}

fn regions(area: Rect) -> (Rect, Rect) {
    let list_cells = (area.width / 3).clamp(16, 38).min(area.width);
    let list = Rect { width: list_cells, ..area };
    (list, Rect { x: list.right() + 1, width: area.width.saturating_sub(list_cells + 1), ..area })
}

/// Draws the screen.
pub fn draw(frame: &mut Frame, area: Rect, scene: Scene<'_>) {
    let Scene { session, view, theme, signs, .. } = scene;
    let buf = frame.buffer_mut();
    let (list, page) = regions(area);
    let crops = listed(session, view);
    let book = session.plan().book();
    let head = if view.book_letters.is_empty() {
        format!("{}, / searches", counted(crops.len() as u64, "crop", "crops"))
    } else {
        let verb = if crops.len() == 1 { "matches" } else { "match" };
        format!("{} {verb} `{}`", counted(crops.len() as u64, "crop", "crops"), shown(&view.book_letters))
    };
    paint::put_filled(buf, paint::line_of(list, list.y), &format!(" {head}"), theme.faint(), signs);
    let lines = Rect { y: list.y + 1, height: list.height.saturating_sub(1), ..list };
    let selected = view.book_row.min(crops.len().saturating_sub(1));
    let top = paint::scroll_top(selected, crops.len(), usize::from(lines.height));
    for ((row, idx), y) in crops.iter().enumerate().skip(top).zip(lines.top()..lines.bottom()) {
        let Some(crop) = book.crops().get(*idx) else { continue };
        let (pointer, style) = if row == selected { (signs.pointer, theme.selected()) } else { (" ", theme.plain()) };
        paint::put_filled(buf, paint::line_of(lines, y), &format!("{pointer}{}", shown(&crop.name)), style, signs);
    }
    for y in area.top()..area.bottom() {
        paint::put(buf, area, list.right(), y, signs.upright, theme.faint());
    }
    let Some(crop) = crops.get(selected).and_then(|idx| book.crops().get(*idx)) else {
        paint::put(
            buf,
            page,
            page.x + 1,
            page.y + 1,
            "no crop matches these letters; / and Enter shows all",
            theme.faint(),
        );
        return;
    };
    let cells = usize::from(page.width.saturating_sub(2));
    let lines = page_lines(scene, crop, cells);
    let height = usize::from(page.height);
    let top = view.page_row.min(lines.len().saturating_sub(height));
    for ((words, style), y) in lines.iter().skip(top).zip(page.top()..page.bottom()) {
        paint::put(buf, page, page.x + 1, y, words, *style);
    }
    if lines.len() > top + height {
        let more = format!(" {} more, PgDn ", lines.len() - top - height);
        let x = page.right().saturating_sub(u16::try_from(more.len()).unwrap_or(0));
        paint::put(buf, page, x, page.bottom().saturating_sub(1), &more, theme.bar());
    }
}

/// A year in twelve cells, marked where the months include it.
fn month_strip(months: Months, signs: &Signs) -> String {
    (1..=12).map(|month| if months.holds(month) { signs.month } else { signs.gap }).collect::<Vec<_>>().join(" ")
}

/// The months of the strips, as heading.
const STRIP_HEAD: &str = "month         J F M A M J J A S O N D";
/// Cells before a strip.
const STRIP_NAME_CELLS: usize = 14;

fn page_lines(scene: Scene<'_>, crop: &Crop, cells: usize) -> Vec<(String, Style)> {
    let Scene { session, theme, signs, .. } = scene;
    let plan = session.plan();
    let mut told = CropPage::of_crop(plan.book(), crop, Some(plan.garden()));
    told.add_plantings(plan);
    let mut page = Page { lines: Vec::new(), cells, theme };
    page.head(&format!("{}{}", shown(&told.name), if told.is_own { "  (this garden's own page)" } else { "" }));
    page.text(&format!("{} {} id {}", told.latin, signs.dot, told.id));
    if let Some(caution) = &told.caution {
        for line in text::wrap(&format!("{} {caution}", signs.caution), cells) {
            page.lines.push((line, theme.severity(Severity::Caution)));
        }
    }
    for section in &told.sections {
        let has_strips = section.facts.iter().any(|fact| matches!(fact.value, Value::Months(_)));
        if has_strips {
            page.head(STRIP_HEAD);
        } else if !section.title.is_empty() {
            page.head(section.title);
        }
        for fact in &section.facts {
            match &fact.value {
                Value::Months(months) => {
                    let strip = month_strip(*months, signs);
                    page.verbatim(format!("{:<STRIP_NAME_CELLS$}{strip}", fact.name));
                }
                Value::Words(words) if section.is_named => page.text(&format!("{}: {words}", fact.name)),
                Value::Words(words) => page.text(words),
            }
            if let Some(source) = &fact.source {
                page.source(&source.words);
            }
        }
        let chart = if has_strips { sky::chart(session, &crop.id) } else { Vec::new() };
        if !chart.is_empty() {
            page.head("Week sown, week first picked (+: next year)");
            for line in chart {
                page.verbatim(line);
            }
            page.text("by the sun and the temperatures of this site");
        }
    }
    page.lines
}

struct Page {
    lines: Vec<(String, Style)>,
    cells: usize,
    theme: Theme,
}

impl Page {
    fn head(&mut self, words: &str) {
        if !self.lines.is_empty() {
            self.lines.push((String::new(), self.theme.plain()));
        }
        self.lines.push((words.to_owned(), self.theme.heading()));
    }

    fn verbatim(&mut self, words: String) {
        self.lines.push((words, self.theme.plain()));
    }

    fn text(&mut self, words: &str) {
        for line in text::wrap(words, self.cells) {
            self.lines.push((line, self.theme.plain()));
        }
    }

    fn source(&mut self, words: &str) {
        for line in text::wrap(&format!("source: {words}"), self.cells.saturating_sub(2)) {
            self.lines.push((format!("  {line}"), self.theme.faint()));
        }
    }
}

/// Runs a command that means something of its own here.
pub fn run(command: Command, cx: &mut Context<'_>) -> Ran {
    let crops = listed(cx.session, cx.view);
    let last = crops.len().saturating_sub(1);
    let view = &mut *cx.view;
    let row = view.book_row.min(last);
    let target = match command {
        Command::MoveUp => row.saturating_sub(1),
        Command::MoveDown => (row + 1).min(last),
        Command::First => 0,
        Command::Last => last,
        Command::FourWeeksOn => {
            view.page_row += PAGE_STEP;
            return Ran::Here;
        }
        Command::FourWeeksBack => {
            view.page_row = view.page_row.saturating_sub(PAGE_STEP);
            return Ran::Here;
        }
        Command::MoveRight => {
            view.page_row += 1;
            return Ran::Here;
        }
        Command::MoveLeft => {
            view.page_row = view.page_row.saturating_sub(1);
            return Ran::Here;
        }
        Command::Back if !view.book_letters.is_empty() => {
            view.book_letters.clear();
            view.book_row = 0;
            view.page_row = 0;
            return Ran::Here;
        }
        Command::Open => {
            let id =
                crops.get(row).and_then(|idx| cx.session.plan().book().crops().get(*idx)).map(|crop| crop.id.clone());
            match id.and_then(|id| PlantingForm::place(cx.session, view, &id)) {
                Some(form) => return Ran::opens(Layer::PlantingForm(Box::new(form))),
                None => view.complain("this crop cannot be set out in the bed looked at"),
            }
            return Ran::Here;
        }
        _ => return Ran::NotHere,
    };
    view.book_row = target;
    view.page_row = 0;
    Ran::Here
}
