//! Versions of the garden file: which are read, and the steps that bring an older one up to the present.
//!
//! Before anything is parsed the file's `format` is looked at. One newer than this program's is opened by no one and left
//! untouched. An older one goes through every [`Step`] between its format and the present, in order, as text, so that comments
//! stay; what comes out is then read as if it had been written so. Nothing is written until the grower saves.

mod to_2;

use std::borrow::Cow;
use std::ops::Range;

use super::{FORMAT, scan};

/// One step from a format to the next.
pub(super) struct Step {
    /// The format it takes.
    pub from: u32,
    /// The text of a file of that format made one of the next, all but the number, which is set for it. The error says what
    /// cannot be taken over: lower case, no full stop.
    pub apply: fn(&str) -> Result<String, String>,
}

/// The steps to the present [`FORMAT`], in order. Format 1 is the first there is.
pub(super) const STEPS: &[Step] = &[Step { from: 1, apply: to_2::of_file }];

pub(super) use to_2::of_record as record_to_2;

/// Pieces of a text to be put in the place of others.
#[derive(Debug, Default)]
struct Changes(Vec<(Range<usize>, String)>);

impl Changes {
    fn put(&mut self, at: Range<usize>, piece: impl Into<String>) {
        self.0.push((at, piece.into()));
    }

    /// The text with all of them made; one that reaches into another is left out.
    fn made_in(mut self, text: &str) -> String {
        self.0.sort_by_key(|(at, _)| (at.start, at.end));
        let mut out = String::with_capacity(text.len() + self.0.iter().map(|(_, piece)| piece.len()).sum::<usize>());
        let mut kept_to = 0;
        for (at, piece) in self.0 {
            if let Some(between) = text.get(kept_to..at.start) {
                out.push_str(between);
                out.push_str(&piece);
                kept_to = at.end;
            }
        }
        out.push_str(text.get(kept_to..).unwrap_or_default());
        out
    }
}

/// Why a file cannot be brought up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Unreadable {
    /// Written by a newer program.
    Newer(u64),
    /// There never was such a format, or no way leads from it.
    NoWay(u64),
    /// A step did not succeed.
    Step {
        /// The format it takes.
        from: u32,
        /// Why.
        why: String,
    },
}

/// The text in the present format; the text itself if it is, or says no format at all.
pub(super) fn brought_up(text: &str) -> Result<Cow<'_, str>, Unreadable> {
    brought_up_by(STEPS, FORMAT, text)
}

fn brought_up_by<'a>(steps: &[Step], present: u32, text: &'a str) -> Result<Cow<'a, str>, Unreadable> {
    let Some(written) = scan::format_number(text) else { return Ok(text.into()) };
    if written > u64::from(present) {
        return Err(Unreadable::Newer(written));
    }
    let mut text = Cow::Borrowed(text);
    for from in written..u64::from(present) {
        let step = steps.iter().find(|step| u64::from(step.from) == from).ok_or(Unreadable::NoWay(written))?;
        let wrong = |why| Unreadable::Step { from: step.from, why };
        let mut stepped = (step.apply)(&text).map_err(wrong)?;
        let at = scan::format_value(&stepped).ok_or_else(|| wrong("its format is lost".to_owned()))?;
        stepped.replace_range(at, &(step.from + 1).to_string());
        text = stepped.into();
    }
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::garden::Garden;

    /// A format that never was: beds in centimetres, the site's place called by another name.
    const MADE_UP: &str = "// my garden\n(\n    format: 0,\n    name: \"Old\", // with width_cm: 3 in a comment\n    \
        site: (degrees_north: 54.0, elevation_m: 200, last_frost: (month: 5, day: 20), \
        first_frost: (month: 10, day: 1), currency: \"GBP\"),\n    \
        beds: [(id: \"A1\", width_cm: 120, length_cm: 480)],\n)\n";

    fn to_1(text: &str) -> Result<String, String> {
        if text.contains("acres") {
            return Err("areas in acres are not taken over; give each bed its width and length".to_owned());
        }
        let mut out = text.replace("degrees_north:", "latitude_deg:");
        for field in ["width", "length"] {
            let old = format!("{field}_cm: ");
            let pieces: Vec<String> = out
                .split(&old)
                .enumerate()
                .map(|(idx, piece)| {
                    let n_digits = piece.bytes().take_while(u8::is_ascii_digit).count();
                    let zero = if idx > 0 && n_digits > 0 { "0" } else { "" };
                    format!("{}{zero}{}", &piece[..n_digits], &piece[n_digits..])
                })
                .collect();
            out = pieces.join(&format!("{field}_mm: "));
        }
        Ok(out)
    }

    const TO_1: Step = Step { from: 0, apply: to_1 };
    const TO_2: Step = Step { from: 1, apply: |text| Ok(text.replace("first", "second")) };
    const TO_3: Step = Step { from: 2, apply: |text| Ok(text.replace("second", "third")) };

    #[test]
    fn the_real_steps_lead_without_a_gap_to_the_present() {
        let first = STEPS.first().map_or(FORMAT, |step| step.from);
        let froms: Vec<u32> = STEPS.iter().map(|step| step.from).collect();
        assert_eq!(froms, (first..FORMAT).collect::<Vec<_>>());
    }

    #[test]
    fn a_made_up_old_file_is_brought_up_and_keeps_its_comments() {
        let text = brought_up_by(&[TO_1], 1, MADE_UP).unwrap();
        // By hand: 120 cm are 1200 mm.
        assert!(text.contains("width_mm: 1200, length_mm: 4800"), "{text}");
        assert!(text.starts_with("// my garden\n(\n    format: 1,\n"), "{text}");
        let garden = Garden::from_ron(&text, "old.ron").unwrap();
        assert_eq!(
            (garden.format, garden.beds[0].width_mm, garden.site.latitude_deg),
            (FORMAT, crate::units::Mm(1200), 54.0)
        );
        assert_eq!(garden.header_comment, "// my garden");
    }

    #[test]
    fn a_file_of_the_present_format_passes_as_it_is() {
        let text = Garden::empty("now").to_ron();
        assert!(matches!(brought_up_by(&[TO_1], FORMAT, &text), Ok(Cow::Borrowed(same)) if same == text));
        assert!(matches!(brought_up(&text), Ok(Cow::Borrowed(same)) if same == text));
        assert!(matches!(brought_up("(name: \"of no format\")"), Ok(Cow::Borrowed(_))));
    }

    #[test]
    fn steps_are_taken_in_order_from_wherever_a_file_stands() {
        let up = |steps: &[Step], text: &str| brought_up_by(steps, 3, text).map(Cow::into_owned);
        for steps in [[TO_1, TO_2, TO_3], [TO_3, TO_1, TO_2]] {
            assert_eq!(up(&steps, "(format: 0, x: first)").unwrap(), "(format: 3, x: third)");
            assert_eq!(up(&steps, "(x: second, format: 2)").unwrap(), "(x: third, format: 3)");
            assert_eq!(up(&steps, "(x: second, format: 0x2)").unwrap(), "(x: third, format: 3)");
            assert_eq!(up(&steps, "(x: first, format: 2)").unwrap(), "(x: first, format: 3)");
        }
        assert_eq!(up(&[TO_1, TO_3], "(format: 0)"), Err(Unreadable::NoWay(0)), "a gap");
        assert_eq!(up(&[TO_1, TO_2, TO_3], "(format: 4)"), Err(Unreadable::Newer(4)));
    }

    #[test]
    fn a_step_that_fails_says_why_and_one_that_loses_the_format_fails() {
        let why = "areas in acres are not taken over; give each bed its width and length".to_owned();
        assert_eq!(brought_up_by(&[TO_1], 1, "(format: 0, acres: 2)"), Err(Unreadable::Step { from: 0, why }));
        let careless = Step { from: 0, apply: |_| Ok("()".to_owned()) };
        assert!(matches!(brought_up_by(&[careless], 1, "(format: 0)"), Err(Unreadable::Step { from: 0, .. })));
    }
}
