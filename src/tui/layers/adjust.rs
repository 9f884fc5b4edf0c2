//! Moving a planting by arrow keys: along its bed, to other beds, through the weeks. The Bed screen draws it where it would
//! stand; nothing changes before Enter.

use chrono::{Duration, NaiveDate};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::widgets::{Clear, Widget as _};

use super::After;
use super::planting_form::edit_with_guests;
use super::planting_form::outlook::Outlook;
use crate::garden::{Planting, PlantingId, Side};
use crate::season::Preview;
use crate::tui::context::Context;
use crate::tui::keys::{Act, Front, Key};
use crate::tui::scene::Scene;
use crate::tui::session::Session;
use crate::tui::view::View;
use crate::tui::widgets::{paint, text};
use crate::tui::wording;
use crate::units::Mm;
use crate::units::text::shown;

/// Step of the arrows and of + and -.
const STEP: Mm = Mm::from_cm(10);
/// Lines of the box at the bottom, including its frame.
const LINES: u16 = 8;

/// The layer.
#[derive(Debug, Clone)]
pub struct Adjust {
    before: Planting,
    draft: Planting,
    outlook: Outlook,
}

impl Adjust {
    /// Moves a planting that is there.
    pub fn of(session: &Session, id: PlantingId) -> Option<Self> {
        let before = session.plan().garden().planting(id)?.clone();
        let outlook = Outlook::of(session, &before);
        Some(Self { draft: before.clone(), before, outlook })
    }

    /// The planting as it would be.
    pub fn draft(&self) -> &Planting {
        &self.draft
    }

    /// What the plan says of the planting as it would be.
    pub fn preview(&self) -> &Preview {
        &self.outlook.preview
    }

    /// Moves it; Enter makes one edit of it, Esc leaves everything as it was.
    pub fn key(&mut self, act: Option<Act>, _key: Key, cx: &mut Context<'_>) -> After {
        let was = self.draft.clone();
        match act {
            Some(Act::Back) => {
                if let Some(idx) = cx.session.plan().bed_idx(&self.before.bed) {
                    cx.view.bed_idx = idx;
                }
                return After::Close;
            }
            Some(Act::Take) => return self.make(cx),
            Some(Act::Left) => self.slide(-STEP, cx.session),
            Some(Act::Right) => self.slide(STEP, cx.session),
            Some(Act::Up) => self.change_bed(false, cx),
            Some(Act::Down) => self.change_bed(true, cx),
            Some(Act::More) => self.stretch(STEP, cx.session),
            Some(Act::Less) => self.stretch(-STEP, cx.session),
            Some(Act::Side) => {
                self.draft.side = match self.draft.side {
                    Side::Whole => Side::Left,
                    Side::Left => Side::Right,
                    Side::Right => Side::Whole,
                };
            }
            Some(Act::WeekBack) => self.shift(-1, cx.session, cx.view),
            Some(Act::WeekOn) => self.shift(1, cx.session, cx.view),
            Some(Act::FourWeeksBack) => self.shift(-4, cx.session, cx.view),
            Some(Act::FourWeeksOn) => self.shift(4, cx.session, cx.view),
            _ => return After::Stay,
        }
        if self.draft != was {
            self.outlook = Outlook::of(cx.session, &self.draft);
        }
        After::Stay
    }

    fn bed_length(&self, session: &Session) -> Mm {
        session.plan().garden().bed(&self.draft.bed).map_or(self.draft.to_mm, |bed| bed.length_mm)
    }

    fn slide(&mut self, by: Mm, session: &Session) {
        let by = if by < Mm::ZERO {
            by.max(-self.draft.from_mm)
        } else {
            by.min(self.bed_length(session) - self.draft.to_mm)
        };
        self.draft.from_mm += by;
        self.draft.to_mm += by;
    }

    /// Moves the end of the strip, or its start once the end has reached the end of the bed.
    fn stretch(&mut self, by: Mm, session: &Session) {
        let length = self.bed_length(session);
        if by > Mm::ZERO && self.draft.to_mm >= length {
            self.draft.from_mm = (self.draft.from_mm - by).max(Mm::ZERO);
        } else {
            self.draft.to_mm = (self.draft.to_mm + by).clamp(self.draft.from_mm + Mm(1), length);
        }
        if self.draft.to_mm - self.draft.from_mm < STEP {
            self.draft.to_mm = (self.draft.from_mm + STEP).min(length);
        }
    }

    fn change_bed(&mut self, forward: bool, cx: &mut Context<'_>) {
        let plan = cx.session.plan();
        let beds = &plan.garden().beds;
        let Some(at) = plan.bed_idx(&self.draft.bed) else { return };
        let next = if forward { (at + 1).min(beds.len().saturating_sub(1)) } else { at.saturating_sub(1) };
        let Some(bed) = beds.get(next) else { return };
        if next == at {
            return;
        }
        // A strip cut short by a small bed gets its own length back in a longer one.
        let wanted = self.draft.to_mm - self.draft.from_mm;
        let wanted =
            if wanted < self.before.to_mm - self.before.from_mm && self.draft.to_mm == self.bed_length(cx.session) {
                self.before.to_mm - self.before.from_mm
            } else {
                wanted
            };
        let length = wanted.min(bed.length_mm);
        self.draft.from_mm = self.draft.from_mm.min(bed.length_mm - length).max(Mm::ZERO);
        self.draft.to_mm = self.draft.from_mm + length;
        self.draft.bed = bed.id.clone();
        cx.view.bed_idx = next;
    }

    fn shift(&mut self, n_weeks: i64, session: &Session, view: &mut View) {
        let planned = &mut self.draft.planned;
        let days =
            [&mut planned.sow, &mut planned.plant, &mut planned.first_pick, &mut planned.last_pick, &mut planned.clear];
        let moved = |day: NaiveDate| {
            day.checked_add_signed(Duration::weeks(n_weeks)).filter(|day| {
                let year = chrono::Datelike::year(day);
                (1900..=2200).contains(&year)
            })
        };
        if days.iter().all(|day| day.is_none()) {
            view.complain("it has no planned date to move; e changes it in its form");
            return;
        }
        if days.iter().filter_map(|day| **day).any(|day| moved(day).is_none()) {
            return;
        }
        for day in days {
            *day = day.and_then(moved);
        }
        let real = session.plan().real(self.draft.id);
        if real.plant.is_some() || real.sow.is_some() {
            view.complain("it is sown or planted already: what really happened counts before planned dates");
        }
    }

    fn make(&mut self, cx: &mut Context<'_>) -> After {
        if self.draft == self.before {
            cx.view.say("nothing was moved");
            return After::Close;
        }
        let (id, bed_id) = (self.draft.id, self.draft.bed.clone());
        let edit = edit_with_guests(cx.session.plan(), &self.before, &self.draft);
        if !cx.apply(edit) {
            return After::Stay;
        }
        cx.view.select(cx.session, id, &bed_id);
        if let Some(breach) = self.outlook.breach() {
            cx.view.complain(format!("moved, but breach: {breach} (u undoes)"));
        }
        After::Close
    }

    /// Draws the box at the bottom.
    pub fn draw(&self, frame: &mut Frame, area: Rect, scene: Scene<'_>) {
        let Scene { session, view, theme, signs, .. } = scene;
        let height = LINES.min(area.height);
        let outer = Rect { y: area.bottom() - height, height, ..area };
        let buf = frame.buffer_mut();
        Clear.render(outer, buf);
        let title = format!("Move {}", wording::crop_and_variety(session.plan(), &self.draft));
        let inside = paint::frame(buf, outer, &title, theme.frame(true), theme.heading(), signs);
        let width = usize::from(inside.width.saturating_sub(2)).max(1);
        let place = format!(
            "{} {} {} cm {} {}",
            shown(&self.draft.bed),
            signs.dot,
            wording::strip(self.draft.from_mm, self.draft.to_mm, self.draft.side, signs),
            signs.dot,
            wording::layout(session.plan(), &self.draft.layout, signs)
        );
        paint::put(buf, inside, inside.x + 1, inside.y, &text::cut(&place, width, signs.ellipsis), theme.heading());
        let lines = self.outlook.brief(view.week.iso_year(), width, theme, signs);
        for ((line, style), y) in lines.iter().zip((inside.top() + 1)..inside.bottom()) {
            paint::put(buf, inside, inside.x + 1, y, line, *style);
        }
        let n_left = lines.len().saturating_sub(usize::from(inside.height.saturating_sub(1)));
        if n_left > 0 && inside.height > 0 {
            paint::put(buf, outer, inside.x + 1, inside.bottom(), &format!(" +{n_left} more "), theme.faint());
        }
    }

    /// The fronts open to a key.
    pub fn fronts(&self) -> Vec<Front> {
        vec![Front::Adjust]
    }
}
