//! Errors of a garden file that show the line.
//!
//! Whatever the file holds, the message is short and harmless: the line is cut around the culprit and made
//! showable, names are cut, and no colour codes are written.

use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use ron::error::{Error as RonError, Position, SpannedError};

use super::validate::{Place, Problem};
use super::{FileError, scan};
use crate::units::text::{cut, nearest, shown, shown_char};

/// Characters of a line that are shown at most.
const LINE_CHARS: usize = 100;
/// Of these, characters before the culprit.
const BEFORE_CHARS: usize = 50;
/// Problems that are listed; more are counted.
const N_PROBLEMS: usize = 5;

/// A message being put together.
pub(super) struct Complaint<'a> {
    pub text: &'a str,
    pub file_name: &'a str,
    pub title: String,
    /// The culprit; a position without extent is widened to one character.
    pub at: Option<(Position, Position)>,
    pub label: String,
    pub help: Vec<String>,
}

impl Complaint<'_> {
    pub fn into_error(self) -> FileError {
        let file_name = shown(self.file_name).into_owned();
        let mut group = Group::with_title(Level::ERROR.primary_title(self.title.as_str()));
        if let Some((start, end)) = &self.at {
            let line = Excerpt::of(self.text, start, end);
            let origin = Origin::path(file_name.as_str()).line(start.line).char_column(start.col);
            let annotation = AnnotationKind::Primary.span(line.culprit).label(self.label.as_str());
            group = group
                .element(origin)
                .element(Snippet::source(line.text).line_start(start.line).fold(false).annotation(annotation));
        } else {
            group = group.element(Origin::path(file_name.as_str()));
        }
        for help in &self.help {
            group = group.element(Level::HELP.message(help.as_str()));
        }
        FileError(Renderer::plain().render(&[group]))
    }
}

/// One line of the file, cut around the culprit and made harmless.
struct Excerpt {
    text: String,
    /// In bytes of `text`.
    culprit: Range<usize>,
}

impl Excerpt {
    fn of(text: &str, start: &Position, end: &Position) -> Self {
        let line = text.split('\n').nth(start.line.saturating_sub(1)).unwrap_or_default();
        let first = start.col.saturating_sub(1);
        // A culprit that goes on over lines is marked to the end of its first.
        let last = if end.line > start.line { usize::MAX } else { end.col.saturating_sub(1).max(first + 1) };
        let skipped = if line.chars().nth(LINE_CHARS).is_some() { first.saturating_sub(BEFORE_CHARS) } else { 0 };
        let mut out = String::new();
        if skipped > 0 {
            out.push('…');
        }
        let (mut from, mut to) = (None, None);
        let mut chars = line.chars().enumerate().skip(skipped);
        for (idx, character) in chars.by_ref().take(LINE_CHARS) {
            if idx == first {
                from = Some(out.len());
            }
            if idx == last {
                to = Some(out.len());
            }
            out.push(if character == '\t' { ' ' } else { shown_char(character) });
        }
        let end_of_line = out.len();
        if chars.next().is_some() {
            out.push('…');
        }
        let from = from.unwrap_or(end_of_line);
        Self { text: out, culprit: from..to.unwrap_or(end_of_line).max(from) }
    }
}

/// A parser's error in words.
pub(super) fn of_parser(error: &SpannedError, text: &str, file_name: &str) -> FileError {
    let (start, end) = (error.span.start, error.span.end);
    let (from, until) = (byte_at(text, start), byte_at(text, end));
    let said = Said::of(&error.code, text, from..until);
    let complaint =
        Complaint { text, file_name, title: said.title, at: Some((start, end)), label: said.label, help: said.help };
    complaint.into_error()
}

/// Problems in words: the first with its line, the others in a line each.
pub(super) fn of_problems(problems: &[Problem], text: &str, file_name: &str) -> Option<FileError> {
    let first = problems.first()?;
    let at = place_in(text, first).map(|range| (position_of(text, range.start), position_of(text, range.end)));
    let mut help = vec![first.hint.clone()];
    help.extend(problems.iter().skip(1).take(N_PROBLEMS - 1).map(|also| format!("also {}", also.sentence())));
    let n_more = problems.len().saturating_sub(N_PROBLEMS);
    if n_more > 0 {
        help.push(format!("and {n_more} more"));
    }
    let title = format!("{}: {}", first.place, first.message);
    Some(Complaint { text, file_name, title, at, label: String::new(), help }.into_error())
}

/// Where the culprit stands in the text: its field, or the whole it belongs to.
fn place_in(text: &str, problem: &Problem) -> Option<Range<usize>> {
    use scan::Step::{Field, Item, ItemWith};
    let number;
    let mut steps = match &problem.place {
        Place::Garden => Vec::new(),
        Place::Bed { at, .. } => vec![Field("beds"), Item(*at)],
        Place::Planting(id) => {
            number = id.0.to_string();
            vec![Field("plantings"), ItemWith { field: "id", value: &number }]
        }
        Place::Entry { list, at } => vec![Field(list), Item(*at)],
    };
    let whole = scan::find(text, &steps);
    if problem.field.is_empty() {
        return whole;
    }
    steps.extend(problem.field.split('.').map(Field));
    scan::find(text, &steps).or(whole)
}

struct Said {
    title: String,
    label: String,
    help: Vec<String>,
}

impl Said {
    fn of(error: &RonError, text: &str, culprit: Range<usize>) -> Self {
        let say = |title: String, label: &str, help: &str| Self {
            title,
            label: label.to_owned(),
            help: vec![help.to_owned()],
        };
        match error {
            RonError::NoSuchStructField { expected, found, outer } => Self {
                title: format!("`{}` is not a field of {}", name(found), thing(outer.as_deref())),
                label: "not known here".to_owned(),
                help: suggestion(found, expected, "its fields are"),
            },
            RonError::NoSuchEnumVariant { expected, found, outer } => Self {
                title: format!("`{}` is not {}", name(found), thing(outer.as_deref())),
                label: "not known here".to_owned(),
                help: suggestion(found, expected, "it is one of"),
            },
            RonError::MissingStructField { field, outer } => say(
                format!("{} has no `{field}`", thing(outer.as_deref())),
                "it ends here",
                &format!("add `{field}: …` to it"),
            ),
            RonError::DuplicateStructField { field, outer } => {
                say(format!("{} has `{field}` twice", thing(outer.as_deref())), "given before", "keep one of the two")
            }
            _ if is_cut_short(text, culprit.end) => say(
                "the file ends in the middle".to_owned(),
                "more should follow",
                "the end of the file was lost, perhaps in copying; take the last whole copy, or add what is missing",
            ),
            RonError::ExceededRecursionLimit => say(
                "brackets lie in brackets too often".to_owned(),
                "here",
                "no garden file needs more than a dozen levels; is it the right file?",
            ),
            RonError::TrailingCharacters => say(
                "something follows after the garden's closing bracket".to_owned(),
                "not part of the garden",
                "take it out, or look for a bracket that is closed too early",
            ),
            RonError::IntegerOutOfBounds => say(
                format!("`{}` is too large a number here, or negative where it may not be", quoted(text, &culprit)),
                "here",
                "give a whole number within the field's range",
            ),
            RonError::ExpectedInteger => say(
                format!("`{}` is not a whole number", quoted(text, &culprit)),
                "a whole number is needed here",
                "give a whole number, without quotes, unit or decimals",
            ),
            RonError::ExpectedFloat => say(
                format!("`{}` is not a number", quoted(text, &culprit)),
                "a number is needed here",
                "give a number such as 12.5, without quotes or unit",
            ),
            RonError::ExpectedString => say(
                format!("`{}` is not a text", quoted(text, &culprit)),
                "a text in quotes is needed here",
                "put it between double quotes",
            ),
            RonError::Message(message) if is_date_trouble(message) => say(
                format!("`{}` is not a date", quoted(text, &culprit).trim_matches('"')),
                "not a day of the calendar",
                "write dates as \"2027-03-15\": year, month, day",
            ),
            RonError::ExpectedComma => say(
                "a comma is missing, or what stands before it is not of the right kind".to_owned(),
                "unexpected",
                "part fields by commas; lengths in mm and weights in g are whole numbers",
            ),
            _ => {
                let said = cut(&error.to_string(), LINE_CHARS);
                let mut letters = said.chars();
                let lower: String = letters.next().into_iter().flat_map(char::to_lowercase).chain(letters).collect();
                say(lower, "here", "correct this place; the README shows how a garden file is written")
            }
        }
    }
}

/// The parser passes on what the calendar says, without saying that it was about a date.
fn is_date_trouble(message: &str) -> bool {
    const CALENDAR_SAYS: [&str; 5] =
        ["invalid characters", "end of input", "out of range", "trailing input", "no possible date"];
    CALENDAR_SAYS.iter().any(|says| message.contains(says))
}

/// Whether nothing but white space follows.
fn is_cut_short(text: &str, at: usize) -> bool {
    text.get(at..).is_none_or(|rest| rest.trim().is_empty())
}

fn quoted(text: &str, culprit: &Range<usize>) -> String {
    name(text.get(culprit.clone()).unwrap_or_default().trim())
}

fn name(text: &str) -> String {
    const N_CHARS: usize = 40;
    cut(text, N_CHARS)
}

/// The near miss, or all there is to choose from.
fn suggestion(found: &str, expected: &[&'static str], otherwise: &str) -> Vec<String> {
    match nearest(found, expected.iter().copied()) {
        Some(near) => vec![format!("did you mean `{near}`?")],
        None => vec![format!("{otherwise} {}", expected.join(", "))],
    }
}

/// What the grower calls a part of the file; `outer` is the type's name.
fn thing(outer: Option<&str>) -> &'static str {
    match outer.unwrap_or_default() {
        "Garden" => "the garden",
        "Site" => "the site",
        "MonthDay" => "a day of the year",
        "Bed" => "a bed",
        "BedKind" => "a kind of bed",
        "Cover" => "a cover",
        "SoilTexture" => "a soil texture",
        "Planting" => "a planting",
        "Layout" | "Grid" | "Offset" | "Rows" | "Drill" | "Edge" | "Between" | "Broadcast" => "a layout",
        "Side" => "a side",
        "Run" => "a direction of rows",
        "Raised" => "a way of raising",
        "PlannedDates" => "planned dates",
        "RealDates" => "a record of what happened",
        "Ending" => "a way a planting ends",
        "PastCrop" => "a past crop",
        "HazardSeen" => "a hazard seen",
        "SoilEntry" => "an entry of the soil log",
        "SoilGift" => "something given to the soil",
        "Accepted" => "an accepted finding",
        "Household" => "a household",
        "BoxKind" => "a kind of box",
        "Price" => "a price",
        "Expense" => "an expense",
        "SeedLot" => "a lot of seed",
        "Crop" => "a crop",
        _ => "what is known here",
    }
}

/// Byte of a position given in lines and characters, both from 1.
fn byte_at(text: &str, position: Position) -> usize {
    let mut start = 0;
    for _ in 1..position.line {
        match text.get(start..).and_then(|rest| rest.find('\n')) {
            Some(end) => start += end + 1,
            None => return text.len(),
        }
    }
    let rest = text.get(start..).unwrap_or_default();
    start + rest.char_indices().nth(position.col.saturating_sub(1)).map_or(rest.len(), |(byte, _)| byte)
}

/// Position in lines and characters, both from 1, of a byte.
fn position_of(text: &str, byte: usize) -> Position {
    let before = text.get(..byte).unwrap_or(text);
    let line_start = before.rfind('\n').map_or(0, |end| end + 1);
    let col = before.get(line_start..).unwrap_or_default().chars().count() + 1;
    Position { line: before.matches('\n').count() + 1, col }
}
