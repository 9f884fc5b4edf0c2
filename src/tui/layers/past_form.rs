//! The form of a bed's past crops: years of which only the crop or family is known.

use std::cell::RefCell;

use ratatui::Frame;
use ratatui::layout::Rect;

use super::After;
use super::picker::{Item, matching};
use crate::garden::{self, Edit, EntryId, PastCrop, Side, limits};
use crate::tui::context::Context;
use crate::tui::keys::{Act, Front, Key};
use crate::tui::scene::Scene;
use crate::tui::session::Session;
use crate::tui::widgets::fields::{Fields, Kind, Touched};
use crate::tui::widgets::{paint, text};
use crate::units::Mm;
use crate::units::text::shown;
use crate::words::past_name;

const SIDES: [(&str, Side); 3] = [("whole width", Side::Whole), ("left half", Side::Left), ("right half", Side::Right)];

/// Most lines for what is wrong.
const TROUBLE_LINES: u16 = 3;

/// The form.
#[derive(Debug, Clone)]
pub struct PastForm {
    bed: String,
    fields: Fields,
    /// What can be named: crops, other known plants, families.
    items: Vec<Item>,
    /// Letters, and the places of the items that match them: kept, so that moving and drawing need not search again.
    found: RefCell<(String, Vec<usize>)>,
    /// The suggestion pointed at, while the field holds letters of a name.
    suggestion: usize,
    /// The name that an accepted suggestion put into the field, and the id it stands for.
    taken: Option<(String, String)>,
    row: usize,
    trouble: Option<String>,
}

impl PastForm {
    /// A form for past crops of a bed.
    pub fn of(session: &Session, bed_idx: usize) -> Option<Self> {
        let bed = session.plan().garden().beds.get(bed_idx)?;
        let mut fields = Fields::default();
        let last_year = chrono::Datelike::year(&session.today) - 1;
        fields.add("year", "year", Kind::Count, &last_year.to_string(), "");
        fields.add("what", "crop or family", Kind::Text(limits::NAME_CHARS), "", "leek, or onion family");
        fields.add("from", "from, cm", Kind::Cm { step_mm: 100 }, "", "the whole length");
        fields.add("to", "to, cm", Kind::Cm { step_mm: 100 }, "", "the whole length");
        let sides = SIDES.iter().map(|(word, _)| (*word).to_owned()).collect();
        fields.add("side", "side", Kind::Choice(sides), SIDES[0].0, "");
        fields.focus_on("what");
        Some(Self {
            bed: bed.id.clone(),
            fields,
            items: items_of(session),
            found: RefCell::default(),
            suggestion: 0,
            taken: None,
            row: 0,
            trouble: None,
        })
    }

    /// Past crops of this bed, latest year first.
    fn listed<'a>(&self, session: &'a Session) -> Vec<&'a PastCrop> {
        let all = session.plan().garden().past.iter();
        let mut here: Vec<_> = all.filter(|past| past.bed == self.bed).collect();
        here.sort_by_key(|past| (std::cmp::Reverse(past.year), past.id));
        here
    }

    /// Whether the crop's field has the focus and holds letters.
    fn is_naming(&self) -> bool {
        self.fields.focused() == "what" && !self.fields.value("what").trim().is_empty()
    }

    /// Places of the items that match letters.
    ///
    /// An item that has the letters as its whole name ([`crate::crops::CropBook::find`]) comes before those that only contain them.
    fn found_for(&self, session: &Session, letters: &str) -> Vec<usize> {
        let mut found = matching(&self.items, letters);
        if let Some(meant) = meaning(session, letters)
            && let Some(idx) = self.items.iter().position(|item| item.id == meant)
        {
            found.retain(|other| *other != idx);
            found.insert(0, idx);
        }
        found
    }

    /// What matches the letters in the crop's field, while it has the focus.
    fn suggestions(&self, session: &Session) -> Vec<usize> {
        if !self.is_naming() {
            return Vec::new();
        }
        let letters = self.fields.value("what");
        if self.found.borrow().0 != letters {
            self.found.replace((letters.to_owned(), self.found_for(session, letters)));
        }
        self.found.borrow().1.clone()
    }

    /// Moves and edits; Enter adds, Ctrl-d removes the one pointed at.
    pub fn key(&mut self, act: Option<Act>, key: Key, cx: &mut Context<'_>) -> After {
        // Only these keys need the suggestions; typing letters must not wait for them.
        let n_suggestions = match act {
            Some(Act::Down | Act::Up | Act::Next) if self.is_naming() => self.suggestions(cx.session).len(),
            _ => 0,
        };
        match act {
            Some(Act::Down) if n_suggestions > 0 => {
                (self.taken, self.suggestion) = (None, (self.suggestion + 1).min(n_suggestions - 1));
            }
            Some(Act::Up) if n_suggestions > 0 => {
                (self.taken, self.suggestion) = (None, self.suggestion.saturating_sub(1));
            }
            Some(Act::Next) if n_suggestions > 0 => {
                self.take_suggestion(cx.session);
                self.fields.key(key);
            }
            Some(Act::Back) if self.is_naming() => self.fields.set("what", ""),
            Some(Act::Back) => return After::Close,
            Some(Act::PageDown) => self.row += 1,
            Some(Act::PageUp) => self.row = self.row.saturating_sub(1),
            Some(Act::TakeOut) => {
                let id = self.listed(cx.session).get(self.row).map(|past| past.id);
                if let Some(id) = id {
                    cx.apply(Edit::Take(garden::Key::Past(id)));
                }
            }
            Some(Act::Take) => {
                self.take_suggestion(cx.session);
                self.add(cx);
            }
            _ => {
                let touched = self.fields.key(key);
                self.touched(touched, cx);
            }
        }
        self.row = self.row.min(self.listed(cx.session).len().saturating_sub(1));
        After::Stay
    }

    /// Reacts to a changed field.
    fn touched(&mut self, touched: Touched, cx: &mut Context<'_>) {
        if let Touched::Value(name) = touched {
            self.trouble = None;
            if name == "what" {
                (self.taken, self.suggestion) = (None, 0);
            }
        }
        cx.say_untaken(self.fields.said());
    }

    /// Puts the name pointed at into the field.
    fn take_suggestion(&mut self, session: &Session) {
        // A suggestion already taken stays, since one crop's name may be part of another's.
        if self.taken_id().is_some() {
            return;
        }
        let found = self.suggestions(session);
        let item = found.get(self.suggestion).and_then(|idx| self.items.get(*idx));
        let chosen = item.map(|item| (item.label.clone(), item.id.clone()));
        if let Some((name, id)) = chosen {
            self.fields.set("what", &name);
            self.taken = Some((name, id));
            self.suggestion = 0;
        }
    }

    /// The id of the accepted suggestion, if its name is still in the field.
    fn taken_id(&self) -> Option<&str> {
        let (name, id) = self.taken.as_ref()?;
        (self.fields.value("what") == name).then_some(id.as_str())
    }

    fn add(&mut self, cx: &mut Context<'_>) {
        match self.past(cx.session) {
            Ok(past) => {
                let edit = Edit::adding(past, cx.session.plan().garden());
                if cx.apply(edit) {
                    self.fields.set("what", "");
                    (self.taken, self.trouble) = (None, None);
                } else {
                    self.trouble = cx.view.notice.take().map(|notice| notice.text);
                }
            }
            Err(trouble) => self.trouble = Some(trouble),
        }
    }

    fn past(&self, session: &Session) -> Result<PastCrop, String> {
        let year = self.fields.value("year");
        let year: i32 = year.parse().map_err(|_| format!("year: `{year}` is not a year"))?;
        let what = self.fields.value("what").trim();
        let book = session.plan().book();
        let known = self.taken_id().map(ToOwned::to_owned).or_else(|| meaning(session, what));
        let Some(known) = known.filter(|_| !what.is_empty()) else {
            let near = book.nearest_names(what, 3);
            return Err(if what.is_empty() {
                "name a crop or a family".to_owned()
            } else if near.is_empty() {
                format!("`{what}` is not in the book, and no name is close to it")
            } else {
                format!("`{what}` is not in the book; closest: {}", near.join(", "))
            });
        };
        let (from, to) = (self.fields.value("from"), self.fields.value("to"));
        let strip_mm = if from.is_empty() && to.is_empty() {
            None
        } else {
            let length = session.plan().garden().bed(&self.bed).map_or(Mm::ZERO, |bed| bed.length_mm);
            let start =
                if from.is_empty() { Mm::ZERO } else { Mm::parse_cm(from).map_err(|error| error.to_string())? };
            let end = if to.is_empty() { length } else { Mm::parse_cm(to).map_err(|error| error.to_string())? };
            Some((start, end))
        };
        let side = self.fields.value("side");
        let side = SIDES.iter().find(|(word, _)| *word == side).map_or(Side::Whole, |(_, side)| *side);
        Ok(PastCrop { id: EntryId::NONE, bed: self.bed.clone(), year, what: known, strip_mm, side })
    }

    /// Takes pasted text.
    pub fn paste(&mut self, pasted: &str, cx: &mut Context<'_>) {
        let touched = self.fields.paste(pasted);
        self.touched(touched, cx);
    }

    /// Draws it.
    pub fn draw(&self, frame: &mut Frame, area: Rect, scene: Scene<'_>) {
        let Scene { session, theme, signs, .. } = scene;
        let title = format!("Past crops of {}", shown(&self.bed));
        let inside = paint::layer_box(frame.buffer_mut(), area, (64, 18), &title, theme, signs);
        let fields = Rect { height: inside.height.min(5), ..inside };
        self.fields.draw(frame, fields, 20, theme, signs);
        let buf = frame.buffer_mut();
        let y = fields.bottom();
        let trouble = self.trouble.as_deref().unwrap_or_default();
        let lines = text::wrap(trouble, usize::from(inside.width).max(1));
        let n_lines = u16::try_from(lines.len()).unwrap_or(1).clamp(1, TROUBLE_LINES).min(inside.bottom() - y);
        for (line, y) in lines.iter().zip(y..y + n_lines) {
            paint::put_filled(buf, paint::line_of(inside, y), line, theme.trouble(), signs);
        }
        let list = Rect { y: y + n_lines, height: inside.bottom() - y - n_lines, ..inside };
        let suggestions = self.suggestions(session);
        if !suggestions.is_empty() {
            let top = paint::scroll_top(self.suggestion, suggestions.len(), usize::from(list.height));
            let items = suggestions.iter().filter_map(|idx| self.items.get(*idx)).enumerate();
            for ((row, item), y) in items.skip(top).zip(list.top()..list.bottom()) {
                let style = if row == self.suggestion { theme.selected() } else { theme.plain() };
                let words = format!("  {}  {}", text::fill(&item.label, 30, signs.ellipsis), item.detail);
                paint::put_filled(buf, paint::line_of(list, y), &words, style, signs);
            }
            paint::scrollbar(buf, list, top, suggestions.len(), scene);
            return;
        }
        let past = self.listed(session);
        if past.is_empty() {
            paint::put(buf, list, list.x + 2, list.y, "none recorded yet", theme.faint());
        }
        let top = paint::scroll_top(self.row, past.len(), usize::from(list.height));
        for ((row, past), y) in past.iter().enumerate().skip(top).zip(list.top()..list.bottom()) {
            let strip = past.strip_mm.map_or_else(String::new, |(from, to)| format!(", {from}{}{to} cm", signs.to));
            let side = match past.side {
                Side::Whole => "",
                Side::Left => ", left half",
                Side::Right => ", right half",
            };
            let pointer = if row == self.row { signs.pointer } else { " " };
            let words = format!("{pointer} {} {}{strip}{side}", past.year, past_name(session.plan(), &past.what));
            paint::put_filled(buf, paint::line_of(list, y), &words, theme.plain(), signs);
        }
        paint::scrollbar(buf, list, top, past.len(), scene);
    }

    /// The fronts open to a key.
    pub fn fronts(&self) -> Vec<Front> {
        let own: &[Front] = if self.is_naming() { &[Front::Naming, Front::PastForm] } else { &[Front::PastForm] };
        [own, self.fields.fronts()].concat()
    }
}

/// The id of the crop, known plant or family that a whole name means.
fn meaning(session: &Session, name: &str) -> Option<String> {
    let book = session.plan().book();
    if let Some(plant) = book.find(name) {
        return Some(book.plant_id(plant).to_owned());
    }
    let family_idx = book.find_families(name).first().copied()?;
    book.families().get(family_idx).map(|family| family.id.clone())
}

fn items_of(session: &Session) -> Vec<Item> {
    let book = session.plan().book();
    let family_of = |id: &str| book.family(id).map_or_else(String::new, |family| family.usual_name().to_owned());
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
    let families = book.families().iter().map(|family| {
        let also = format!("{} {}", family.common, family.botanical);
        item(&family.id, family.usual_name(), also, "a family".to_owned())
    });
    crops.chain(plants).chain(families).collect()
}
