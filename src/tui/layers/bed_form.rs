//! The form of a bed, new or existing.

use ratatui::Frame;
use ratatui::layout::Rect;

use super::After;
use crate::garden::{Bed, BedKind, Cover, Edit, PastCrop, Planting, SoilTexture, limits};
use crate::rotation::rotation_years;
use crate::tui::context::Context;
use crate::tui::keys::{Act, Front, Key};
use crate::tui::scene::Scene;
use crate::tui::session::Session;
use crate::tui::view::View;
use crate::tui::widgets::fields::{Fields, Kind, Touched};
use crate::tui::widgets::{paint, text};
use crate::units::Mm;

const KINDS: [(&str, BedKind); 4] = [
    ("bed", BedKind::Bed),
    ("container", BedKind::Container),
    ("border", BedKind::Border),
    ("permanent", BedKind::Permanent),
];
const COVERS: [(&str, Cover); 6] = [
    ("open", Cover::Open),
    ("fleece", Cover::Fleece),
    ("mesh", Cover::Mesh),
    ("cloche", Cover::Cloche),
    ("unheated tunnel", Cover::UnheatedTunnel),
    ("glass", Cover::Glass),
];
const SOILS: [(&str, SoilTexture); 7] = [
    ("sand", SoilTexture::Sand),
    ("loamy sand", SoilTexture::LoamySand),
    ("sandy loam", SoilTexture::SandyLoam),
    ("loam", SoilTexture::Loam),
    ("silt loam", SoilTexture::SiltLoam),
    ("silt", SoilTexture::Silt),
    ("clay", SoilTexture::Clay),
];

/// Whether it is filled anew each year, and so stands outside rotation.
const FILLS: [(&str, bool); 2] = [("no", false), ("each year, outside rotation", true)];

/// Word of a bed's kind.
pub fn kind_word(kind: BedKind) -> &'static str {
    word_of(&KINDS, kind)
}

/// Word of a bed's cover.
pub fn cover_word(cover: Cover) -> &'static str {
    word_of(&COVERS, cover)
}

fn word_of<T: Copy + PartialEq>(table: &[(&'static str, T)], value: T) -> &'static str {
    table.iter().find(|(_, known)| *known == value).map_or("", |(word, _)| word)
}

fn value_of<T: Copy + Default>(table: &[(&'static str, T)], word: &str) -> T {
    table.iter().find(|(known, _)| *known == word).map_or_else(T::default, |(_, value)| *value)
}

fn words<T>(table: &[(&'static str, T)]) -> Kind {
    Kind::Choice(table.iter().map(|(word, _)| (*word).to_owned()).collect())
}

/// The form.
#[derive(Debug, Clone)]
pub struct BedForm {
    /// The id it had; `None` for a new bed.
    id: Option<String>,
    at: usize,
    fields: Fields,
    trouble: Option<String>,
}

impl BedForm {
    /// A form for a new bed after the one looked at, of the same size.
    pub fn new_bed(session: &Session, view: &View) -> Self {
        let beds = &session.plan().garden().beds;
        let like = beds.get(view.bed_idx);
        let (width, length) = like.map_or((Mm(1200), Mm(2400)), |bed| (bed.width_mm, bed.length_mm));
        let bed = Bed {
            id: next_id(beds, like.map_or("A0", |bed| bed.id.as_str())),
            name: String::new(),
            width_mm: width,
            length_mm: length,
            east_mm: like.map_or(Mm::ZERO, |bed| bed.east_mm),
            south_mm: like.map_or(Mm::ZERO, |bed| bed.south_mm),
            bearing_deg: like.map_or(0, |bed| bed.bearing_deg),
            kind: BedKind::Bed,
            cover: Cover::Open,
            soil: like.map_or_else(SoilTexture::default, |bed| bed.soil),
            renewed_yearly: false,
            notes: String::new(),
        };
        let at = if beds.is_empty() { 0 } else { view.bed_idx.min(beds.len() - 1) + 1 };
        Self { id: None, at, fields: fields_of(&bed), trouble: None }
    }

    /// A form for an existing bed.
    pub fn edit(session: &Session, bed_idx: usize) -> Option<Self> {
        let bed = session.plan().garden().beds.get(bed_idx)?;
        Some(Self { id: Some(bed.id.clone()), at: bed_idx, fields: fields_of(bed), trouble: None })
    }

    /// Walks and edits; Enter lays the bed out.
    pub fn key(&mut self, act: Option<Act>, key: Key, cx: &mut Context<'_>) -> After {
        match act {
            Some(Act::Back) => return After::Close,
            Some(Act::Take) => {
                let bed = match self.bed() {
                    Ok(bed) => bed,
                    Err(trouble) => {
                        self.trouble = Some(trouble);
                        return After::Stay;
                    }
                };
                let edit = match &self.id {
                    Some(id) => change_with_past(cx.session, id, bed),
                    None => Edit::AddBed { at: self.at, bed },
                };
                if cx.apply(edit) {
                    cx.view.bed_idx = self.at;
                    if self.id.is_none() {
                        cx.view.planting = None;
                    }
                    return After::Close;
                }
                self.trouble = cx.view.notice.take().map(|notice| notice.text);
                return After::Stay;
            }
            _ => {}
        }
        if matches!(self.fields.key(key), Touched::Value(_)) {
            self.trouble = None;
        }
        cx.say_untaken(self.fields.said());
        After::Stay
    }

    fn bed(&self) -> Result<Bed, String> {
        let length = |name: &str, label: &str| {
            Mm::parse_cm(self.fields.value(name)).map_err(|error| format!("{label}: {error}"))
        };
        let bearing = self.fields.value("bearing");
        let id = self.fields.value("id").trim();
        if id.is_empty() {
            return Err("id: a short name is needed, such as A1".to_owned());
        }
        Ok(Bed {
            id: id.to_owned(),
            name: self.fields.value("name").trim().to_owned(),
            width_mm: length("width", "width")?,
            length_mm: length("length", "length")?,
            east_mm: length("east", "east of the corner")?,
            south_mm: length("south", "south of the corner")?,
            bearing_deg: bearing
                .parse()
                .map_err(|_| format!("bearing: `{bearing}` is not whole degrees from 0 to 359"))?,
            kind: value_of(&KINDS, self.fields.value("kind")),
            cover: value_of(&COVERS, self.fields.value("cover")),
            soil: value_of(&SOILS, self.fields.value("soil")),
            renewed_yearly: value_of(&FILLS, self.fields.value("filled")),
            notes: self.fields.value("notes").trim().to_owned(),
        })
    }

    /// Takes pasted text.
    pub fn paste(&mut self, pasted: &str, cx: &mut Context<'_>) {
        self.fields.paste(pasted);
        cx.say_untaken(self.fields.said());
    }

    /// Draws it.
    pub fn draw(&self, frame: &mut Frame, area: Rect, scene: Scene<'_>) {
        let Scene { theme, signs, .. } = scene;
        let title = match &self.id {
            Some(id) => format!("Bed {id}"),
            None => "New bed".to_owned(),
        };
        let inside = paint::layer_box(frame.buffer_mut(), area, (64, 18), &title, theme, signs);
        let fields = Rect { height: inside.height.saturating_sub(1), ..inside };
        self.fields.draw(frame, fields, 24, theme, signs);
        if let Some(trouble) = &self.trouble {
            // On the lines that the fields leave free, at least the last one.
            let n_fields = u16::try_from(self.fields.fields.len()).unwrap_or(u16::MAX);
            let n_free = usize::from(inside.height.saturating_sub(n_fields).max(1));
            let mut lines = text::wrap(trouble, usize::from(inside.width).max(1));
            lines.truncate(n_free);
            let n_lines = u16::try_from(lines.len()).unwrap_or(1);
            for (line, y) in lines.iter().zip(inside.bottom().saturating_sub(n_lines)..inside.bottom()) {
                paint::put_filled(frame.buffer_mut(), paint::line_of(inside, y), line, theme.trouble(), signs);
            }
        }
    }

    /// The fronts open to a key.
    pub fn fronts(&self) -> Vec<Front> {
        [&[Front::BedForm], self.fields.fronts()].concat()
    }
}

/// The edit that changes a bed. If it becomes shorter, plantings that are over are cut to fit, and those that stood wholly beyond
/// the new end become past crops, so that only what stands or is still to come can prevent the change.
fn change_with_past(session: &Session, id: &str, bed: Bed) -> Edit {
    let plan = session.plan();
    let is_over = |planting: &&Planting| {
        plan.standing(planting.id).is_some_and(|standing| standing.stages.clear <= session.today)
    };
    let beyond = plan.garden().plantings.iter().filter(|planting| planting.bed == id && planting.to_mm > bed.length_mm);
    let mut edits = Vec::new();
    let mut past_id = plan.garden().next_entry_id::<PastCrop>();
    // Guests before their hosts.
    let (guests, hosts): (Vec<_>, Vec<_>) = beyond.filter(is_over).partition(|planting| planting.host().is_some());
    for planting in guests.into_iter().chain(hosts) {
        if planting.from_mm < bed.length_mm {
            edits.push(Edit::ChangePlanting(Box::new(Planting { to_mm: bed.length_mm, ..planting.clone() })));
            continue;
        }
        let Some(standing) = plan.standing(planting.id) else { continue };
        let (_, year) = rotation_years(standing.stages.enters, standing.stages.clear);
        let strip_mm = Some((planting.from_mm, planting.to_mm));
        let past = PastCrop {
            id: past_id,
            bed: id.to_owned(),
            year,
            what: planting.crop.clone(),
            strip_mm,
            side: planting.side,
        };
        edits.push(Edit::RemovePlanting(planting.id));
        edits.push(Edit::put(past));
        past_id = past_id.next();
    }
    let change = Edit::ChangeBed { id: id.to_owned(), bed };
    if edits.is_empty() {
        return change;
    }
    edits.push(change);
    Edit::Several { title: format!("change bed {id} and cut what is over to it"), edits }
}

fn fields_of(bed: &Bed) -> Fields {
    let mut fields = Fields::default();
    fields.add("id", "id", Kind::Text(limits::BED_ID_CHARS), &bed.id, "short, such as A1");
    fields.add("name", "name", Kind::Text(limits::NAME_CHARS), &bed.name, "none");
    fields.add("width", "width, cm", Kind::Cm { step_mm: 100 }, &bed.width_mm.to_string(), "");
    fields.add("length", "length, cm", Kind::Cm { step_mm: 100 }, &bed.length_mm.to_string(), "");
    fields.add("kind", "kind", words(&KINDS), word_of(&KINDS, bed.kind), "");
    fields.add("cover", "cover", words(&COVERS), word_of(&COVERS, bed.cover), "");
    fields.add("soil", "soil", words(&SOILS), word_of(&SOILS, bed.soil), "");
    fields.add("filled", "fresh compost", words(&FILLS), word_of(&FILLS, bed.renewed_yearly), "");
    fields.add("east", "east of the corner, cm", Kind::Cm { step_mm: 100 }, &bed.east_mm.to_string(), "");
    fields.add("south", "south of it, cm", Kind::Cm { step_mm: 100 }, &bed.south_mm.to_string(), "");
    fields.add("bearing", "bearing of length, °", Kind::Count, &bed.bearing_deg.to_string(), "");
    fields.add("notes", "notes", Kind::Text(limits::NOTES_CHARS), &bed.notes, "none");
    fields
}

/// The next free id with the same letters: `A3` after `A2`.
fn next_id(beds: &[Bed], like: &str) -> String {
    let letters: String = like.chars().take_while(|c| !c.is_ascii_digit()).collect();
    (1..=beds.len() + 1)
        .map(|n| format!("{letters}{n}"))
        .find(|id| beds.iter().all(|bed| bed.id != *id))
        .unwrap_or_default()
}
