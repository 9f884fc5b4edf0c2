//! Past crops of a bed: what stood here in years of which only crop or family is known.

use ratatui::Frame;
use ratatui::layout::Rect;

use super::picker::{Item, matching};
use super::{After, Desk};
use crate::garden::{Edit, PastCrop, Side};
use crate::tui::keys::Key;
use crate::tui::screens::bed::words::past_name;
use crate::tui::session::Session;
use crate::tui::signs::Signs;
use crate::tui::theme::Theme;
use crate::tui::update::apply;
use crate::tui::view::View;
use crate::tui::widgets::fields::{Fields, Kind, Touched};
use crate::tui::widgets::{paint, text};
use crate::units::Mm;
use crate::units::text::shown;

const SIDES: [(&str, Side); 3] = [("whole width", Side::Whole), ("left half", Side::Left), ("right half", Side::Right)];

/// The form.
#[derive(Debug, Clone)]
pub struct PastForm {
    bed: String,
    fields: Fields,
    /// What can be named: crops, other known plants, families.
    items: Vec<Item>,
    /// The pointed-at suggestion, while letters of a name stand in the field.
    suggestion: usize,
    row: usize,
    trouble: Option<String>,
}

impl PastForm {
    /// A form for past crops of a bed.
    pub fn of(session: &Session, bed_idx: usize) -> Option<Self> {
        let bed = session.plan.garden().beds.get(bed_idx)?;
        let mut fields = Fields::default();
        let last_year = chrono::Datelike::year(&session.today) - 1;
        fields.add("year", "year", Kind::Count, &last_year.to_string(), "");
        fields.add("what", "crop or family", Kind::Text, "", "leek, or onion family");
        fields.add("from", "from, cm", Kind::Cm { step_mm: 100 }, "", "the whole length");
        fields.add("to", "to, cm", Kind::Cm { step_mm: 100 }, "", "the whole length");
        let sides = SIDES.iter().map(|(word, _)| (*word).to_owned()).collect();
        fields.add("side", "side", Kind::Choice(sides), SIDES[0].0, "");
        fields.focus_on("what");
        Some(Self { bed: bed.id.clone(), fields, items: items_of(session), suggestion: 0, row: 0, trouble: None })
    }

    /// Past crops of this bed, with their places in the garden's list, latest year first.
    fn listed<'a>(&self, session: &'a Session) -> Vec<(usize, &'a PastCrop)> {
        let all = session.plan.garden().past.iter().enumerate();
        let mut here: Vec<_> = all.filter(|(_, past)| past.bed == self.bed).collect();
        here.sort_by_key(|(at, past)| (std::cmp::Reverse(past.year), *at));
        here
    }

    /// What matches the letters in the field of the crop, while that is being filled in.
    fn suggestions(&self) -> Vec<&Item> {
        let letters = self.fields.value("what");
        let is_typed = self.fields.focused() == "what" && !letters.trim().is_empty();
        if is_typed { matching(&self.items, letters) } else { Vec::new() }
    }

    /// Walks and edits; Enter adds, Ctrl-d takes the pointed-at one out.
    pub fn key(&mut self, key: Key, desk: &mut Desk<'_>) -> After {
        let n_suggestions = self.suggestions().len();
        match key {
            Key::Down if n_suggestions > 0 => self.suggestion = (self.suggestion + 1).min(n_suggestions - 1),
            Key::Up if n_suggestions > 0 => self.suggestion = self.suggestion.saturating_sub(1),
            Key::Tab if n_suggestions > 0 => {
                self.take_suggestion();
                self.fields.key(key);
            }
            Key::Esc if n_suggestions > 0 => self.fields.set("what", ""),
            Key::Esc => return After::Close,
            Key::PageDown => self.row += 1,
            Key::PageUp => self.row = self.row.saturating_sub(1),
            Key::Ctrl('d') => {
                let at = self.listed(desk.session).get(self.row).map(|(at, _)| *at);
                if let Some(at) = at {
                    apply(desk, Edit::RemovePast { at });
                }
            }
            Key::Enter => {
                self.take_suggestion();
                self.add(desk);
            }
            _ => {
                if let Touched::Value(name) = self.fields.key(key) {
                    self.trouble = None;
                    if name == "what" {
                        self.suggestion = 0;
                    }
                }
            }
        }
        self.row = self.row.min(self.listed(desk.session).len().saturating_sub(1));
        After::Stay
    }

    /// Puts the pointed-at name into the field.
    fn take_suggestion(&mut self) {
        let name = self.suggestions().get(self.suggestion).map(|item| item.label.clone());
        if let Some(name) = name {
            self.fields.set("what", &name);
            self.suggestion = 0;
        }
    }

    fn add(&mut self, desk: &mut Desk<'_>) {
        match self.past(desk.session) {
            Ok(past) => {
                let at = desk.session.plan.garden().past.len();
                if apply(desk, Edit::AddPast { at, past }) {
                    self.fields.set("what", "");
                    self.trouble = None;
                } else {
                    self.trouble = desk.view.notice.take().map(|notice| notice.text);
                }
            }
            Err(trouble) => self.trouble = Some(trouble),
        }
    }

    fn past(&self, session: &Session) -> Result<PastCrop, String> {
        let year = self.fields.value("year");
        let year: i32 = year.parse().map_err(|_| format!("year: `{year}` is not a year"))?;
        let what = self.fields.value("what").trim();
        let book = session.plan.book();
        let known = if let Some(plant) = book.find(what) {
            match plant {
                crate::crops::PlantRef::Crop(idx) => book.crops().get(idx).map(|crop| crop.id.clone()),
                crate::crops::PlantRef::Known(idx) => book.plants().get(idx).map(|plant| plant.id.clone()),
            }
        } else {
            let families = book.find_families(what);
            families.first().and_then(|idx| book.families().get(*idx)).map(|family| family.id.clone())
        };
        let Some(known) = known.filter(|_| !what.is_empty()) else {
            let near = book.nearest_names(what, 3).join(", ");
            return Err(if what.is_empty() {
                "name a crop or a family".to_owned()
            } else {
                format!("`{what}` is in no book; nearest: {near}")
            });
        };
        let (from, to) = (self.fields.value("from"), self.fields.value("to"));
        let strip_mm = if from.is_empty() && to.is_empty() {
            None
        } else {
            let length = session.plan.garden().bed(&self.bed).map_or(Mm::ZERO, |bed| bed.length_mm);
            let start =
                if from.is_empty() { Mm::ZERO } else { Mm::parse_cm(from).map_err(|error| error.to_string())? };
            let end = if to.is_empty() { length } else { Mm::parse_cm(to).map_err(|error| error.to_string())? };
            Some((start, end))
        };
        let side = self.fields.value("side");
        let side = SIDES.iter().find(|(word, _)| *word == side).map_or(Side::Whole, |(_, side)| *side);
        Ok(PastCrop { bed: self.bed.clone(), year, what: known, strip_mm, side })
    }

    /// Takes pasted text.
    pub fn paste(&mut self, pasted: &str) {
        self.fields.paste(pasted);
    }

    /// Draws it.
    pub fn draw(&self, frame: &mut Frame, area: Rect, session: &Session, view: &View) {
        let (theme, signs) = (Theme::of(view.options.has_colour), Signs::of(view.options.is_ascii));
        let title = format!("Past crops of {}", shown(&self.bed));
        let inside = paint::layer_box(frame.buffer_mut(), area, (64, 18), &title, theme, signs);
        let fields = Rect { height: inside.height.min(5), ..inside };
        self.fields.draw(frame, fields, 20, theme, signs);
        let buf = frame.buffer_mut();
        let y = fields.bottom();
        if let Some(trouble) = &self.trouble {
            paint::put_filled(buf, inside, inside.x, y, trouble, inside.width, theme.trouble(), signs);
        }
        let list = Rect { y: y + 1, height: inside.height.saturating_sub(6), ..inside };
        let suggestions = self.suggestions();
        if !suggestions.is_empty() {
            let top = paint::scroll_top(self.suggestion, suggestions.len(), usize::from(list.height));
            for ((row, item), y) in suggestions.iter().enumerate().skip(top).zip(list.top()..list.bottom()) {
                let style = if row == self.suggestion { theme.selected() } else { theme.plain() };
                let words = format!("  {}  {}", text::fill(&item.label, 30, signs.ellipsis), item.detail);
                paint::put_filled(buf, list, list.x, y, &words, list.width, style, signs);
            }
            return;
        }
        let past = self.listed(session);
        if past.is_empty() {
            paint::put(buf, list, list.x + 2, list.y, "nothing known yet", theme.faint());
        }
        let top = paint::scroll_top(self.row, past.len(), usize::from(list.height));
        for ((row, (_, past)), y) in past.iter().enumerate().skip(top).zip(list.top()..list.bottom()) {
            let strip = past.strip_mm.map_or_else(String::new, |(from, to)| format!(", {from}{}{to} cm", signs.to));
            let side = match past.side {
                Side::Whole => "",
                Side::Left => ", left half",
                Side::Right => ", right half",
            };
            let pointer = if row == self.row { signs.pointer } else { " " };
            let words = format!("{pointer} {} {}{strip}{side}", past.year, past_name(&session.plan, &past.what));
            paint::put_filled(buf, list, list.x, y, &words, list.width, theme.plain(), signs);
        }
    }

    /// Its keys.
    pub fn hint(&self, _signs: &Signs) -> String {
        if !self.suggestions().is_empty() {
            return "Up Down choose   Enter add it   Tab take it and go on   Esc clear".to_owned();
        }
        "Enter add   PgUp PgDn point   Ctrl-d take out   Esc done".to_owned()
    }
}

fn items_of(session: &Session) -> Vec<Item> {
    let book = session.plan.book();
    let family_of = |id: &str| book.family(id).map_or_else(String::new, |family| family.common.clone());
    let item = |id: &str, name: &str, also: String, detail: String| Item {
        id: id.to_owned(),
        label: name.to_owned(),
        also,
        detail,
    };
    let crops = book.crops().iter().map(|crop| {
        item(&crop.id, &crop.name, format!("{} {}", crop.other_names.join(" "), crop.latin), family_of(&crop.family))
    });
    let plants = book.plants().iter().map(|plant| {
        let also = format!("{} {}", plant.other_names.join(" "), plant.latin);
        item(&plant.id, &plant.name, also, family_of(&plant.family))
    });
    let families = book
        .families()
        .iter()
        .map(|family| item(&family.id, &family.common, family.botanical.clone(), "a family".to_owned()));
    crops.chain(plants).chain(families).collect()
}
