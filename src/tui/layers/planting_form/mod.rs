//! The form of a planting, with what it would come to beside the fields.
//!
//! ```text
//! +- Place leek in B2 ---------------------------------------+
//! | > from cm     [ 0            | 32 stations x 4 = 128 ... |
//! |   to cm         240          | 36 modules (1 tray), ...  |
//! |   layout        grid         | sow 12 Mar W10 | ...      |
//! |   ...           values.rs    | fits beside ...           |
//! |                              | findings    outlook.rs    |
//! +----------------------------------------------------------+
//! ```

pub(in crate::tui) mod outlook;
#[cfg(test)]
mod tests;
mod values;

use chrono::NaiveDate;
use ratatui::Frame;
use ratatui::layout::Rect;

use super::After;
use crate::crops::Raised;
use crate::garden::{Edit, Planting, PlantingId};
use crate::season::{Plan, Preview};
use crate::tui::context::Context;
use crate::tui::keys::{Act, Front, Key};
use crate::tui::scene::Scene;
use crate::tui::session::Session;
use crate::tui::signs::Signs;
use crate::tui::theme::Theme;
use crate::tui::view::View;
use crate::tui::widgets::fields::{Fields, Kind, Touched};
use crate::tui::widgets::{paint, text};
use crate::units::text::shown;
use crate::words::{counted, crop_name};
use outlook::Outlook;
use values::Troubles;

/// Cells for labels.
const LABEL_CELLS: u16 = 13;
/// Cells of the column of fields beside the outlook.
const FIELD_CELLS: u16 = 36;
/// Cells inside the frame from which the outlook stands beside the fields.
const BESIDE: u16 = 70;

/// Lines free above the form from which it stands at the bottom instead of in the middle.
const PICTURE_LINES: u16 = 14;

/// The form.
#[derive(Debug, Clone)]
pub struct PlantingForm {
    /// The planting as it was before; `None` for a new one.
    before: Option<Planting>,
    /// Supplies what the fields do not show.
    base: Planting,
    /// For a new planting: the day from which its dates were proposed.
    proposed_from: Option<NaiveDate>,
    /// The days of sowing and planting last proposed; anything else in their fields is the grower's own.
    proposed: [String; 2],
    hosts: Vec<(String, PlantingId)>,
    fields: Fields,
    /// The planting that the fields describe, or what is wrong with them.
    draft: Result<Planting, Troubles>,
    /// What the last complete draft would come to.
    outlook: Outlook,
}

impl PlantingForm {
    /// A form for a crop in the bed and week looked at.
    pub fn place(session: &Session, view: &View, crop_id: &str) -> Option<Self> {
        Self::proposed(session, view, crop_id, view.week.monday())
    }

    /// A form for a crop that follows in the bed looked at, from the day it frees up.
    pub fn follow(session: &Session, view: &View, crop_id: &str) -> Option<Self> {
        let day = session.plan().free_up(view.bed_idx, view.week.monday().max(session.today)).free_from;
        Self::proposed(session, view, crop_id, day)
    }

    fn proposed(session: &Session, view: &View, crop_id: &str, day: NaiveDate) -> Option<Self> {
        let base = session.plan().proposed_planting(view.bed_idx, crop_id, day)?;
        Some(Self { proposed_from: Some(day), ..Self::of(session, base, None) })
    }

    /// A form for a crop between a planting's stations.
    pub fn interplant(session: &Session, view: &View, host: PlantingId, crop_id: &str) -> Option<Self> {
        let day = view.week.monday();
        let base = session.plan().proposed_interplanting(view.bed_idx, host, crop_id, day)?;
        Some(Self::of(session, base, None))
    }

    /// A form for an existing planting.
    pub fn change(session: &Session, id: PlantingId) -> Option<Self> {
        let base = session.plan().garden().planting(id)?.clone();
        Some(Self::of(session, base.clone(), Some(base)))
    }

    fn of(session: &Session, base: Planting, before: Option<Planting>) -> Self {
        let hosts = values::hosts(session.plan(), &base.bed, base.id);
        let mut fields = values::fields_of(session.plan(), &base, &hosts);
        fields.focus_on("from");
        let outlook = Outlook::of(session, &base);
        let proposed = ["sow", "plant"].map(|name| fields.value(name).to_owned());
        let draft = Ok(base.clone());
        let mut form = Self { before, draft, base, proposed_from: None, proposed, hosts, fields, outlook };
        form.work_out(session);
        form
    }

    /// The planting as the fields describe it, if they are valid.
    pub fn draft(&self) -> Option<&Planting> {
        self.draft.as_ref().ok()
    }

    /// What the plan says of it.
    pub fn preview(&self) -> &Preview {
        &self.outlook.preview
    }

    /// Moves and edits; Enter places, Esc goes back and changes nothing.
    pub fn key(&mut self, act: Option<Act>, key: Key, cx: &mut Context<'_>) -> After {
        match act {
            Some(Act::Back) => return After::Close,
            Some(Act::Take) => return self.place_it(cx),
            _ => {}
        }
        let was_layout = self.fields.value("layout").to_owned();
        let was_raised = values::raised(&self.fields);
        match self.fields.key(key) {
            Touched::Value(name) => self.changed(name, &was_layout, was_raised, cx.session),
            Touched::Full => cx.say_untaken(self.fields.said()),
            Touched::Moved | Touched::Pass => {}
        }
        After::Stay
    }

    /// Takes pasted text.
    pub fn paste(&mut self, pasted: &str, cx: &mut Context<'_>) {
        if let Touched::Value(_) = self.fields.paste(pasted) {
            self.work_out(cx.session);
        }
        cx.say_untaken(self.fields.said());
    }

    /// Updates the fields that depend on a changed one.
    fn changed(&mut self, name: &str, was_layout: &str, was_raised: Option<Raised>, session: &Session) {
        match name {
            "bed" => self.bed_changed(session),
            "layout" => {
                let crop = session.plan().book().crop(&self.base.crop);
                if let Some(start) = values::start_of(crop) {
                    let is_from_book = self.fields.value("clump") == values::book_clump(&start, was_layout).to_string();
                    if is_from_book {
                        let clump = values::book_clump(&start, self.fields.value("layout"));
                        self.fields.set("clump", &clump.to_string());
                    }
                }
                values::show_what_is_needed(&mut self.fields);
            }
            "raised" => self.raised_changed(was_raised, session),
            _ => {}
        }
        self.work_out(session);
    }

    /// A strip that filled the old bed fills the new one; one that is too long for it is cut.
    fn bed_changed(&mut self, session: &Session) {
        let garden = session.plan().garden();
        let length = |id: &str| garden.bed(id).map(|bed| bed.length_mm);
        let was = self.draft.as_ref().ok().and_then(|draft| length(&draft.bed).map(|length| (draft.to_mm, length)));
        if let (Some((to, was)), Some(is)) = (was, length(self.fields.value("bed")))
            && (to == was || to > is)
        {
            self.fields.set("to", &is.to_string());
        }
        self.hosts = values::hosts(session.plan(), self.fields.value("bed"), self.base.id);
        let hosts: Vec<String> = self.hosts.iter().map(|(words, _)| words.clone()).collect();
        let is_known = hosts.iter().any(|words| words == self.fields.value("host"));
        let first = hosts.first().cloned().unwrap_or_else(|| "none".to_owned());
        if let Some(field) = self.fields.fields.iter_mut().find(|field| field.name == "host") {
            field.kind = Kind::Choice(hosts);
        }
        if !is_known {
            self.fields.set("host", &first);
        }
    }

    /// If raised another way, it goes in on the day proposed for that way; a day the grower gave stays.
    fn raised_changed(&mut self, was: Option<Raised>, session: &Session) {
        let is = values::raised(&self.fields);
        let is_as_proposed =
            ["sow", "plant"].iter().zip(&self.proposed).all(|(name, day)| self.fields.value(name) == day);
        if let (Some(day), Some(raised), true) = (self.proposed_from, is, is_as_proposed)
            && let Some(bed_idx) = session.plan().bed_idx(self.fields.value("bed"))
            && let Some(dates) = session.plan().proposed_dates(bed_idx, &self.base.crop, raised, day)
        {
            self.proposed = [dates.sow, dates.plant].map(|day| day.map_or_else(String::new, |day| day.to_string()));
            for (name, day) in ["sow", "plant"].iter().zip(&self.proposed) {
                self.fields.set(name, day);
            }
            values::show_what_is_needed(&mut self.fields);
            return;
        }
        let (sow, plant) = (self.fields.value("sow").to_owned(), self.fields.value("plant").to_owned());
        match (was, is) {
            (Some(Raised::InPlace), Some(Raised::InPlace)) => {}
            (Some(Raised::InPlace), _) => {
                if plant.is_empty() {
                    self.fields.set("plant", &sow);
                }
                self.fields.set("sow", "");
            }
            (_, Some(Raised::InPlace)) => {
                if !plant.is_empty() {
                    self.fields.set("sow", &plant);
                }
                self.fields.set("plant", "");
            }
            _ => {}
        }
        values::show_what_is_needed(&mut self.fields);
    }

    /// Reads the fields and, if they are valid, works out what they come to.
    fn work_out(&mut self, session: &Session) {
        let plan = session.plan();
        let bed_length = plan.garden().bed(self.fields.value("bed")).map(|bed| bed.length_mm);
        self.draft = values::planting_of(&self.fields, &self.base, &self.hosts, bed_length);
        let Ok(draft) = &self.draft else { return };
        self.outlook = Outlook::of(session, draft);
        let stages = self.outlook.standing().map(|standing| standing.stages);
        let day = |day: Option<chrono::NaiveDate>| day.map_or_else(String::new, |day| day.to_string());
        for field in &mut self.fields.fields {
            field.when_empty = match field.name {
                "sow" => day(stages.and_then(|stages| stages.sow)),
                "plant" => day(stages.map(|stages| stages.enters)),
                "first_pick" => day(stages.map(|stages| stages.first_pick)),
                "last_pick" => day(stages.map(|stages| stages.last_pick)),
                "clear" => day(stages.map(|stages| stages.clear)),
                _ => continue,
            };
        }
    }

    fn place_it(&mut self, cx: &mut Context<'_>) -> After {
        let draft = match &self.draft {
            Ok(draft) => draft.clone(),
            Err(troubles) => {
                if let Some((name, trouble)) = troubles.first() {
                    self.fields.focus_on(name);
                    let label = self.label(name);
                    cx.view.complain(format!("{label}: {trouble}"));
                }
                return After::Stay;
            }
        };
        if self.before.as_ref() == Some(&draft) {
            cx.view.say("nothing was changed");
            return After::Close;
        }
        let (id, bed_id) = (draft.id, draft.bed.clone());
        let edit = match &self.before {
            Some(before) => edit_with_guests(cx.session.plan(), before, &draft),
            None => Edit::AddPlanting(Box::new(draft)),
        };
        if !cx.apply(edit) {
            return After::Stay;
        }
        cx.view.select(cx.session, id, &bed_id);
        if let Some(breach) = self.outlook.breach() {
            let done = if self.before.is_some() { "changed" } else { "placed" };
            cx.view.complain(format!("{done}, but breach: {breach} (u undoes)"));
        }
        After::Close
    }

    fn label(&self, name: &str) -> &'static str {
        self.fields.fields.iter().find(|field| field.name == name).map_or("", |field| field.label)
    }

    fn title(&self, session: &Session) -> String {
        let crop = crop_name(session.plan(), &self.base);
        let bed = shown(self.fields.value("bed"));
        if self.before.is_some() { format!("Change {crop} in {bed}") } else { format!("Place {crop} in {bed}") }
    }

    /// Draws fields and outlook.
    pub fn draw(&self, frame: &mut Frame, area: Rect, scene: Scene<'_>) {
        let Scene { session, view, theme, signs, .. } = scene;
        let n_shown = self.fields.fields.iter().filter(|field| field.is_shown).count();
        let n_shown = u16::try_from(n_shown).unwrap_or(u16::MAX);
        let is_beside = area.width.min(120) >= BESIDE + 2;
        let height = if is_beside { n_shown.saturating_add(2).max(22) } else { area.height };
        let title = self.title(session);
        // On a tall screen the form leaves the drawing of the bed visible.
        let height = height.min(area.height);
        let place = if area.height >= height.saturating_add(PICTURE_LINES) {
            Rect { y: area.bottom() - height, height, ..area }
        } else {
            area
        };
        let inside = paint::layer_box(frame.buffer_mut(), place, (120, height), &title, theme, signs);
        if inside.is_empty() {
            return;
        }
        let (fields, outlook) = if is_beside {
            let fields = Rect { width: FIELD_CELLS, ..inside };
            let x = fields.right() + 1;
            (fields, Rect { x, width: inside.right().saturating_sub(x), ..inside })
        } else {
            let height = (inside.height * 3 / 5).max(1);
            let fields = Rect { height, ..inside };
            (fields, Rect { y: fields.bottom(), height: inside.height - height, ..inside })
        };
        self.fields.draw(frame, fields, LABEL_CELLS, theme, signs);
        let buf = frame.buffer_mut();
        let width = usize::from(outlook.width.saturating_sub(2)).max(1);
        let mut lines = Vec::new();
        if let Err(troubles) = &self.draft {
            self.mark_troubles(buf, fields, troubles, theme, signs);
            for (name, trouble) in troubles {
                let words = format!("{} {}: {trouble}", signs.breach, self.label(name));
                lines.extend(text::wrap(&words, width).into_iter().map(|line| (line, theme.trouble())));
            }
            lines.push(("before that:".to_owned(), theme.faint()));
        }
        let year = view.week.iso_year();
        let n_before = lines.len();
        let (mut worked_out, begins) = self.outlook.lines(year, width, theme, signs);
        if self.draft.is_err() {
            for line in &mut worked_out {
                line.1 = theme.faint();
            }
        }
        lines.extend(worked_out);
        for ((line, style), y) in lines.iter().zip(outlook.top()..outlook.bottom()) {
            paint::put(buf, outlook, outlook.x + 1, y, &text::cut(line, width, signs.ellipsis), *style);
        }
        let n_left = lines.len().saturating_sub(usize::from(outlook.height));
        if n_left > 0 && outlook.height > 0 {
            let n_findings = begins.iter().filter(|begin| n_before + **begin >= usize::from(outlook.height)).count();
            let words = if n_findings == 0 {
                format!(" {} more ", counted(n_left as u64, "line", "lines"))
            } else {
                format!(" +{n_findings} more {} ", if n_findings == 1 { "finding" } else { "findings" })
            };
            paint::put(buf, place, outlook.x + 1, inside.bottom(), &words, theme.faint());
        }
    }

    /// Puts a sign at the end of each field that has something wrong.
    fn mark_troubles(
        &self,
        buf: &mut ratatui::buffer::Buffer,
        area: Rect,
        troubles: &Troubles,
        theme: Theme,
        signs: &Signs,
    ) {
        let names: Vec<&str> =
            self.fields.fields.iter().filter(|field| field.is_shown).map(|field| field.name).collect();
        let focused = names.iter().position(|name| *name == self.fields.focused()).unwrap_or(0);
        let top = paint::scroll_top(focused, names.len(), usize::from(area.height));
        for (name, y) in names.iter().skip(top).zip(area.top()..area.bottom()) {
            if troubles.iter().any(|(trouble, _)| trouble == name) {
                paint::put(buf, area, area.right().saturating_sub(2), y, signs.breach, theme.trouble());
            }
        }
    }

    /// The fronts open to a key.
    pub fn fronts(&self) -> Vec<Front> {
        let own = if self.before.is_some() { Front::Planting } else { Front::NewPlanting };
        [&[own], self.fields.fronts()].concat()
    }
}

/// The edit that changes a planting; if it moves to another bed, what stands between its stations moves along.
pub(in crate::tui) fn edit_with_guests(plan: &Plan, before: &Planting, after: &Planting) -> Edit {
    let change = Edit::ChangePlanting(Box::new(after.clone()));
    if before.bed == after.bed {
        return change;
    }
    let guests = plan.garden().plantings.iter().filter(|guest| guest.host() == Some(before.id));
    let moved: Vec<Edit> = guests
        .map(|guest| {
            let mut guest = guest.clone();
            guest.bed = after.bed.clone();
            guest.side = after.side;
            (guest.from_mm, guest.to_mm) = (after.from_mm, after.to_mm);
            Edit::ChangePlanting(Box::new(guest))
        })
        .collect();
    if moved.is_empty() {
        return change;
    }
    let title = format!("move {} to {} with what stands between", crop_name(plan, after), shown(&after.bed));
    Edit::Several { title, edits: std::iter::once(change).chain(moved).collect() }
}
