//! Errors of a garden file that show the line.
//!
//! Whatever the file holds, the message is short and harmless: the line is cut around the culprit and made
//! showable, names are cut, and no colour codes are written.

use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use ron::error::{Error as RonError, Position, SpannedError};

use super::problem::{N_PROBLEMS_MOST, Place, Problem};
use super::{FORMAT, scan};
use crate::units::list::TOO_MANY;
use crate::units::text::{cut, nearest, shown};

/// Characters of a line that are shown at most.
const LINE_CHARS: usize = 100;
/// Of these, characters before the culprit.
const BEFORE_CHARS: usize = 50;
/// Problems that are listed; more are counted.
const N_PROBLEMS: usize = 5;

/// Why a garden file cannot be used. Its text is for the person: what, where (file, line, column), the line, what to do.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct FileError(pub String);

/// A message being put together.
pub(super) struct Complaint<'a> {
    pub text: &'a str,
    pub file_name: &'a str,
    pub title: String,
    /// The culprit; a position without extent is widened to one character.
    pub at: Option<(Position, Position)>,
    pub label: String,
    pub help: Vec<String>,
    pub also: Vec<String>,
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
        for also in &self.also {
            group = group.element(Level::NOTE.message(also.as_str()));
        }
        let text = Renderer::plain().render(&[group]);
        // The place stands above already, with the column of the whole line; the excerpt's own heading is empty.
        let lines: Vec<_> = text.lines().filter(|line| line.trim() != ":::").map(str::trim_end).collect();
        FileError(lines.join("\n"))
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
        let line = shown(text.split('\n').nth(start.line.saturating_sub(1)).unwrap_or_default());
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
            out.push(if character == '␉' { ' ' } else { character });
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
    let culprit = byte_at(text, error.span.start)..byte_at(text, error.span.end);
    let Said { title, culprit, label, help } = Said::of(&error.code, text, culprit);
    let at = Some((position_of(text, culprit.start), position_of(text, culprit.end)));
    Complaint { text, file_name, title, at, label: label.to_owned(), help, also: Vec::new() }.into_error()
}

/// Problems in words: the first with its line, the others in a line each.
pub(super) fn of_problems(problems: &[Problem], text: &str, file_name: &str) -> Option<FileError> {
    let first = problems.first()?;
    let at = place_in(text, first).map(|range| (position_of(text, range.start), position_of(text, range.end)));
    let mut also: Vec<_> =
        problems.iter().skip(1).take(N_PROBLEMS - 1).map(|p| format!("also {}", p.sentence())).collect();
    let n_more = problems.len().saturating_sub(N_PROBLEMS);
    if problems.len() >= N_PROBLEMS_MOST {
        also.push("and many more".to_owned());
    } else if n_more > 0 {
        also.push(format!("and {n_more} more"));
    }
    let title = format!("{}: {}", first.place, first.message);
    let help = vec![first.hint.clone()];
    Some(Complaint { text, file_name, title, at, label: String::new(), help, also }.into_error())
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

/// A parser's error in the grower's words; its place may be moved to where the mistake was made.
struct Said {
    title: String,
    culprit: Range<usize>,
    label: &'static str,
    help: Vec<String>,
}

impl Said {
    fn of(error: &RonError, text: &str, culprit: Range<usize>) -> Self {
        let word = word_around(text, &culprit);
        let quoted = name(text.get(word.clone()).unwrap_or_default());
        let say = |culprit: &Range<usize>, title: String, label: &'static str, help: &str| {
            let culprit = culprit.clone();
            Self { title, culprit, label, help: vec![help.to_owned()] }
        };
        match error {
            RonError::NoSuchStructField { expected, found, outer } => Self {
                title: format!("`{}` is not a field of {}", name(found), thing(outer.as_deref())),
                culprit,
                label: "not known here",
                help: suggestion(found, expected, "its fields are"),
            },
            RonError::NoSuchEnumVariant { expected, found, outer } => Self {
                title: format!("`{}` is not {}", name(found), thing(outer.as_deref())),
                culprit,
                label: "not known here",
                help: suggestion(found, expected, "it is one of"),
            },
            RonError::MissingStructField { field, outer } => {
                let present = FORMAT.to_string();
                let example = if *field == "format" { present.as_str() } else { "…" };
                let title = format!("{} has no `{field}`", thing(outer.as_deref()));
                say(&culprit, title, "it ends here", &format!("add `{field}: {example}` to it"))
            }
            RonError::DuplicateStructField { field, outer } => {
                let title = format!("{} has `{field}` twice", thing(outer.as_deref()));
                say(&culprit, title, "given before", "keep one of the two")
            }
            RonError::ExpectedStringEnd => say(
                &culprit,
                "a text in quotes does not end".to_owned(),
                "it begins here",
                "add its closing quote; if the rest of the file is missing too, take the last whole copy",
            ),
            _ if is_cut_short(text, culprit.end) => say(
                &culprit,
                "the file ends in the middle".to_owned(),
                "more should follow",
                "the end of the file was lost, perhaps in copying; take the last whole copy, or add what is missing",
            ),
            RonError::ExpectedNamedStructLike("Garden")
            | RonError::ExpectedDifferentStructName { expected: "Garden", .. } => say(
                &culprit,
                "this is not a garden file".to_owned(),
                "a bracket `(` should stand here",
                &format!("a garden file begins with `(` and `format: {FORMAT}`; is it the right file?"),
            ),
            RonError::ExceededRecursionLimit => say(
                &culprit,
                "brackets are nested too deep".to_owned(),
                "here",
                "no garden file needs more than a dozen levels; is it the right file?",
            ),
            RonError::TrailingCharacters => {
                let start = scan::after_space(text, culprit.start);
                say(
                    &(start..start),
                    "something follows after the garden's closing bracket".to_owned(),
                    "not part of the garden",
                    "take it out, or look for a bracket that is closed too early",
                )
            }
            RonError::IntegerOutOfBounds => say(
                &word,
                format!("`{quoted}` is too large a number here, or negative where it may not be"),
                "",
                "give a whole number within the field's range",
            ),
            RonError::ExpectedInteger | RonError::InvalidIntegerDigit { .. } => not_whole(word, &quoted),
            RonError::ExpectedComma if quoted.contains('.') && quoted.parse::<f64>().is_ok() => {
                not_whole(word, &quoted)
            }
            RonError::ExpectedFloat => say(
                &word,
                format!("`{quoted}` is not a number"),
                "a number is needed here",
                "give a number such as 12.5, without quotes or unit",
            ),
            RonError::ExpectedString if quoted.starts_with(|c: char| c.is_ascii_digit()) && quoted.contains('-') => {
                say(
                    &word,
                    format!("`{quoted}` is not in quotes"),
                    "a text in quotes is needed here",
                    "write dates as \"2027-03-15\", quotes included",
                )
            }
            RonError::ExpectedString => say(
                &word,
                format!("`{quoted}` is not a text in quotes"),
                "a text in quotes is needed here",
                "put it between double quotes",
            ),
            RonError::Message(message) if message.starts_with(TOO_MANY) => say(
                &culprit,
                format!("a list has {message}, the most it may have"),
                "one too many",
                "divide the garden into two files, or take out what is no longer needed",
            ),
            RonError::Message(message) if is_date_trouble(message) => say(
                &word,
                format!("`{}` is not a date", quoted.trim_matches('"')),
                "not a day of the calendar",
                "write dates as \"2027-03-15\": year, month, day",
            ),
            RonError::ExpectedComma => match text_over_lines_before(text, culprit.start) {
                Some(start) => say(
                    &(start..start),
                    "a text in quotes does not end in its line".to_owned(),
                    "it begins here",
                    "add its closing quote",
                ),
                None => say(
                    &word,
                    format!("a comma is missing before `{quoted}`"),
                    "unexpected",
                    "separate fields with commas; look for a closing bracket or quote that is missing before",
                ),
            },
            RonError::ExpectedIdentifier => say(
                &culprit,
                "a field's name is missing".to_owned(),
                "it should stand here",
                "write fields as `name: value`",
            ),
            _ => {
                let said = cut(&error.to_string(), LINE_CHARS);
                let mut letters = said.chars();
                let lower: String = letters.next().into_iter().flat_map(char::to_lowercase).chain(letters).collect();
                say(&culprit, lower, "here", "correct this place; the README shows how a garden file is written")
            }
        }
    }
}

fn not_whole(culprit: Range<usize>, quoted: &str) -> Said {
    Said {
        title: format!("`{quoted}` is not a whole number"),
        culprit,
        label: "a whole number is needed here",
        help: vec!["give a whole number, without quotes, unit or decimals".to_owned()],
    }
}

/// The number, word or text in quotes that the parser stopped at or in.
fn word_around(text: &str, culprit: &Range<usize>) -> Range<usize> {
    let (before, from) = (text.get(..culprit.start).unwrap_or_default(), text.get(culprit.start..).unwrap_or_default());
    let is_part = |c: char| c.is_alphanumeric() || matches!(c, '_' | '-' | '+' | '.');
    // Dates are refused from behind their opening quote.
    if let Some(before) = before.strip_suffix('"')
        && let Some(end) = from.find(['"', '\n'])
        && !from.starts_with([',', ')', ']', '}'])
    {
        return before.len()..culprit.start + end + 1;
    }
    let space = from.len() - from.trim_start().len();
    let start = if space > 0 { culprit.start + space } else { before.trim_end_matches(is_part).len() };
    let rest = text.get(start..).unwrap_or_default();
    let len = match rest.strip_prefix('"') {
        Some(inner) => inner.find(['"', '\n']).map_or(rest.len(), |end| end + 2),
        None => rest.find(|c: char| !is_part(c)).unwrap_or(rest.len()),
    };
    start..start + len
}

/// Where a text in quotes that ends just before goes over a line's end: most likely its closing quote is missing and
/// the next opening quote was taken for it.
fn text_over_lines_before(text: &str, at: usize) -> Option<usize> {
    let before = text.get(..at)?.trim_end().strip_suffix('"')?;
    let open = before.rfind('"')?;
    before.get(open..)?.contains('\n').then_some(open)
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
        "ClimateChoice" | "Normals" | "Weather" => "a choice of climate",
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
        "Happened" => "an entry of what happened",
        "Happening" | "Picked" | "Lost" | "Ended" => "something that happened",
        "Ending" => "a way a planting ends",
        "Cause" => "a cause of loss",
        "PastCrop" => "a past crop",
        "HazardSeen" => "a hazard seen",
        "SoilEntry" => "an entry of the soil log",
        "Amendment" => "an amendment",
        "Accepted" => "an accepted finding",
        "Quiet" => "a kind of finding kept quiet",
        "Against" => "what a finding stands against",
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
