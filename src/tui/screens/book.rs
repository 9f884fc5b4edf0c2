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

use crate::crops::{Crop, CropBook, Feeding, HarvestHabit, Months, Raised};
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
        format!("{}, / searches", text::count(crops.len() as u64, "crop", "crops"))
    } else {
        let verb = if crops.len() == 1 { "matches" } else { "match" };
        format!("{} {verb} `{}`", text::count(crops.len() as u64, "crop", "crops"), shown(&view.book_letters))
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
fn month_strip(months: Option<Months>, signs: &Signs) -> String {
    let holds = |month| months.is_some_and(|months| months.holds(month));
    (1..=12).map(|month| if holds(month) { signs.month } else { signs.gap }).collect::<Vec<_>>().join(" ")
}

/// How a crop is raised, in words.
pub fn raised_words(raised: Raised) -> &'static str {
    match raised {
        Raised::InPlace => "sown in place",
        Raised::Module => "raised in modules",
        Raised::Set => "from sets or cloves",
        Raised::Tuber => "from tubers",
        Raised::Crown => "from crowns or runners",
        Raised::Slip => "from slips",
        Raised::Cutting => "from cuttings or canes",
    }
}

fn habit_words(habit: HarvestHabit) -> &'static str {
    match habit {
        HarvestHabit::Once => "picked at once",
        HarvestHabit::Standing => "stands until wanted",
        HarvestHabit::PickedOver => "picked over again and again",
        HarvestHabit::CutAndComeAgain => "cut and comes again",
        HarvestHabit::Storage => "lifted once and stored",
    }
}

fn page_lines(scene: Scene<'_>, crop: &Crop, cells: usize) -> Vec<(String, Style)> {
    let Scene { session, theme, signs, .. } = scene;
    let book = session.plan().book();
    let mut page = Page { lines: Vec::new(), cells, theme };
    let has_own = session.plan().garden().own_crops.iter().any(|own| own.id == crop.id);
    page.head(&format!("{}{}", shown(&crop.name), if has_own { "  (this garden's own page)" } else { "" }));
    page.text(&format!("{} {} id {}", shown(&crop.latin), signs.dot, shown(&crop.id)));
    if let Some(family) = book.family(&crop.family) {
        let years = session.plan().garden().return_years_of(&family.id).unwrap_or(family.return_usual_years);
        let is_left_out = family.is_commonly_exempt() && session.plan().garden().return_years_of(&family.id).is_none();
        let back = if years == 0 || is_left_out {
            "commonly left out of rotation".to_owned()
        } else {
            format!("back after {}", text::count(u64::from(years), "year", "years"))
        };
        page.text(&format!("{} ({}), {back}", family.common, family.botanical));
    }
    if let Some(caution) = &crop.caution {
        for line in text::wrap(&format!("{} {}", signs.caution, shown(caution)), cells) {
            page.lines.push((line, theme.severity(crate::garden::Severity::Caution)));
        }
    }
    page.blank();
    let calendar = &crop.calendar;
    page.strong("month         J F M A M J J A S O N D");
    for (label, months) in [
        ("sow inside    ", calendar.sow_indoor),
        ("sow outside   ", calendar.sow_outdoor),
        ("plant out     ", calendar.plant_out),
        ("pick          ", Some(calendar.harvest)),
    ] {
        if months.is_some() {
            page.text(&format!("{label}{}", month_strip(months, signs)));
        }
    }
    let mut days = Vec::new();
    if let Some(n) = calendar.days_from_sow {
        days.push(format!("{} from sowing in place", text::count(u64::from(n), "day", "days")));
    }
    if let Some(n) = calendar.days_from_planting {
        days.push(format!("{} from planting", text::count(u64::from(n), "day", "days")));
    }
    page.text(&format!(
        "first pick {}; {} for {} weeks",
        days.join(", "),
        habit_words(calendar.habit),
        calendar.harvest_weeks
    ));
    page.text(&shown(&calendar.bolting_note));
    page.source(book, &calendar.source);
    let chart = sky::chart(session, &crop.id);
    if !chart.is_empty() {
        page.head("Week sown, week first picked (+: next year)");
        for line in chart {
            page.verbatim(line);
        }
        page.text("by the sun and the temperatures of this site");
    }
    let spacing = &crop.spacing;
    page.head("Spacing");
    if let Some(mm) = spacing.equidistant_mm {
        page.text(&format!("grid {mm} cm, {} per station", text::count(u64::from(spacing.clump), "plant", "plants")));
    }
    if let (Some(row), Some(in_row)) = (spacing.row_mm, spacing.in_row_mm) {
        let plants = text::count(u64::from(spacing.row_clump), "plant", "plants");
        page.text(&format!("rows {row} cm apart, {in_row} cm in the row, {plants} per station"));
    }
    if let Some(sow) = spacing.sow_g_per_m2 {
        page.text(&format!("scattered, {sow} g per m²"));
    }
    page.source(book, &spacing.source);
    let seed = &crop.seed;
    page.head("Raising");
    let ways: Vec<&str> = seed.raised.iter().map(|raised| raised_words(*raised)).collect();
    page.text(&ways.join(", or "));
    let mut facts = vec![format!("{} cm deep", seed.depth_mm), format!("{} % come up", seed.germination_pct)];
    if let Some(per_g) = seed.per_g {
        facts.push(format!("{per_g} seeds per gram"));
    }
    if let Some(weeks) = seed.weeks_in_module {
        facts.push(format!("{} in modules", text::count(u64::from(weeks), "week", "weeks")));
    }
    page.text(&facts.join(", "));
    page.source(book, &seed.source);
    let cold = &crop.temperature;
    page.head("Warmth and cold");
    page.text(&format!(
        "grows above {} °C, best at {} to {} °C; killed about {} °C",
        cold.base_c, cold.optimum_low_c, cold.optimum_high_c, cold.hardiness_c
    ));
    page.source(book, &cold.source);
    page.head("Size, food, yield, keeping");
    let feeding = match crop.feeding {
        Feeding::Light => "light",
        Feeding::Medium => "medium",
        Feeding::Heavy => "heavy",
    };
    page.text(&format!("{} cm tall, roots to {} cm, {feeding} feeder", crop.size.height_mm, crop.size.root_mm));
    page.source(book, &crop.size.source);
    page.source(book, &crop.feeding_source);
    let yields = &crop.yields;
    page.text(&format!(
        "{} kg per m² ({} to {})",
        yields.typical_kg_per_m2, yields.low_kg_per_m2, yields.high_kg_per_m2
    ));
    page.source(book, &yields.source);
    if let Some(weeks) = crop.keeping.weeks {
        page.text(&format!("keeps {weeks} weeks at {}", shown(&crop.keeping.conditions)));
        page.source(book, &crop.keeping.source);
    }
    let here: Vec<String> = session
        .plan()
        .garden()
        .plantings
        .iter()
        .filter(|planting| planting.crop == crop.id)
        .filter_map(|planting| {
            let standing = session.plan().standing(planting.id)?;
            Some(format!("{} {}", shown(&planting.bed), standing.stages.enters.format("%b %Y")))
        })
        .take(40)
        .collect();
    if !here.is_empty() {
        page.head("In this garden");
        page.text(&here.join(", "));
    }
    page.lines
}

struct Page {
    lines: Vec<(String, Style)>,
    cells: usize,
    theme: Theme,
}

impl Page {
    fn blank(&mut self) {
        self.lines.push((String::new(), self.theme.plain()));
    }

    fn head(&mut self, words: &str) {
        if !self.lines.is_empty() {
            self.blank();
        }
        self.strong(words);
    }

    fn strong(&mut self, words: &str) {
        self.lines.push((words.to_owned(), self.theme.heading()));
    }

    fn verbatim(&mut self, words: String) {
        self.lines.push((words, self.theme.plain()));
    }

    fn text(&mut self, words: &str) {
        if words.contains("  ") {
            self.lines.push((words.to_owned(), self.theme.plain()));
            return;
        }
        for line in text::wrap(words, self.cells) {
            self.lines.push((line, self.theme.plain()));
        }
    }

    fn source(&mut self, book: &CropBook, source: &str) {
        let words = format!("source: {}", shown(book.source_words(source)));
        for line in text::wrap(&words, self.cells.saturating_sub(2)) {
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
