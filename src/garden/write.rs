//! Writing a garden file.
//!
//! One line for a bed, a past crop, an entry of a log; a small block for a planting, always broken at the same
//! fields, so that a change shows as a change of one line. Fields at their usual value are left out. The same
//! garden is the same bytes.

use std::collections::BTreeMap;

use ron::extensions::Extensions;
use ron::ser::PrettyConfig;
use serde::Serialize;

use super::planting::is_default;
use super::{Garden, Planting, scan};

const INDENT: &str = "    ";

/// The rules of RON that garden files are read and written by: an optional value is written without `Some(…)`.
pub(super) fn ron_options() -> ron::Options {
    ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME)
}

impl Garden {
    /// Writes the garden as RON: the same garden is the same bytes.
    pub fn to_ron(&self) -> String {
        // Named one by one, so that a new field cannot be forgotten here.
        let Self {
            format,
            name,
            site,
            return_years,
            beds,
            plantings,
            happened,
            past,
            hazards_seen,
            soil_log,
            accepted,
            kept_quiet,
            households,
            box_kinds,
            prices,
            expenses,
            seed_tin,
            own_crops,
            header_comment,
        } = self;
        let mut file = Writer::new(header_comment);
        file.field("format", format);
        file.field("name", name);
        file.block("site", site, 1);
        if !return_years.is_empty() {
            let by_family: BTreeMap<_, _> = return_years.iter().map(|row| (&row.family, row.years)).collect();
            file.block("return_years", &by_family, 1);
        }
        file.list("beds", beds);
        file.plantings(plantings);
        file.list("happened", happened);
        file.list("past", past);
        file.list("hazards_seen", hazards_seen);
        file.list("soil_log", soil_log);
        file.list("accepted", accepted);
        file.list("kept_quiet", kept_quiet);
        file.list("households", households);
        file.list("box_kinds", box_kinds);
        file.list("prices", prices);
        file.list("expenses", expenses);
        file.list("seed_tin", seed_tin);
        if !own_crops.is_empty() {
            file.block("own_crops", own_crops, 2);
        }
        file.finish()
    }
}

struct Writer {
    out: String,
    options: ron::Options,
    on_one_line: PrettyConfig,
}

impl Writer {
    fn new(header_comment: &str) -> Self {
        let mut out = String::new();
        let header = header_comment.trim();
        if scan::is_comment(header) {
            out.push_str(header);
        } else {
            let lines: Vec<_> = header.lines().map(|line| format!("// {line}")).collect();
            out.push_str(&lines.join("\n"));
        }
        if !header.is_empty() {
            out.push('\n');
        }
        out.push_str("(\n");
        let on_one_line = PrettyConfig::new().depth_limit(0).new_line("\n");
        Self { out, options: ron_options(), on_one_line }
    }

    fn finish(mut self) -> String {
        self.out.push_str(")\n");
        self.out
    }

    /// `name: value,` on a line of its own.
    fn field<T: Serialize>(&mut self, name: &str, value: &T) {
        self.out.push_str(INDENT);
        self.out.push_str(name);
        self.out.push_str(": ");
        self.value(value);
        self.out.push_str(",\n");
    }

    /// A value opened to a depth: 1 gives each of its fields a line, 2 each field of every item.
    fn block<T: Serialize>(&mut self, name: &str, value: &T, depth: usize) {
        let config = PrettyConfig::new().depth_limit(depth).new_line("\n").indentor(INDENT);
        let text = written(self.options.to_string_pretty(value, config));
        self.out.push_str(INDENT);
        self.out.push_str(name);
        self.out.push_str(": ");
        // Line breaks within strings are escaped, so every line break here is the layout's.
        self.out.push_str(&text.replace('\n', "\n    "));
        self.out.push_str(",\n");
    }

    /// A list with a line for each item; nothing for an empty one.
    fn list<T: Serialize>(&mut self, name: &str, items: &[T]) {
        self.items(name, items, Self::value);
    }

    fn plantings(&mut self, plantings: &[Planting]) {
        self.items("plantings", plantings, Self::planting);
    }

    fn items<T>(&mut self, name: &str, items: &[T], mut write: impl FnMut(&mut Self, &T)) {
        if items.is_empty() {
            return;
        }
        self.out.push_str(INDENT);
        self.out.push_str(name);
        self.out.push_str(": [\n");
        for item in items {
            self.out.push_str(INDENT);
            self.out.push_str(INDENT);
            write(self, item);
            self.out.push_str(",\n");
        }
        self.out.push_str("    ],\n");
    }

    /// What it is; where and how it is set out; its dates; notes: a line each.
    fn planting(&mut self, planting: &Planting) {
        let Planting {
            id,
            bed,
            crop,
            variety,
            from_mm,
            to_mm,
            side,
            layout,
            setback_mm,
            clump,
            raised,
            planned,
            notes,
        } = planting;
        self.out.push('(');
        self.inner("id", id, Before::Nothing);
        self.inner("bed", bed, Before::Space);
        self.inner("crop", crop, Before::Space);
        self.inner_if(!variety.is_empty(), "variety", variety, Before::Space);
        self.inner("from_mm", from_mm, Before::LineBreak);
        self.inner("to_mm", to_mm, Before::Space);
        self.inner_if(!is_default(side), "side", side, Before::Space);
        self.inner("layout", layout, Before::Space);
        self.inner_if(setback_mm.is_some(), "setback_mm", setback_mm, Before::Space);
        self.inner("clump", clump, Before::Space);
        self.inner("raised", raised, Before::Space);
        self.inner_if(!is_default(planned), "planned", planned, Before::LineBreak);
        self.inner_if(!notes.is_empty(), "notes", notes, Before::LineBreak);
        self.out.push(')');
    }

    fn inner_if<T: Serialize>(&mut self, is_written: bool, name: &str, value: &T, before: Before) {
        if is_written {
            self.inner(name, value, before);
        }
    }

    fn inner<T: Serialize>(&mut self, name: &str, value: &T, before: Before) {
        self.out.push_str(match before {
            Before::Nothing => "",
            Before::Space => ", ",
            Before::LineBreak => ",\n            ",
        });
        self.out.push_str(name);
        self.out.push_str(": ");
        self.value(value);
    }

    fn value<T: Serialize>(&mut self, value: &T) {
        written(self.options.to_writer_pretty(&mut self.out, value, self.on_one_line.clone()));
    }
}

#[derive(Clone, Copy)]
enum Before {
    Nothing,
    Space,
    LineBreak,
}

/// Writing into memory does not fail, and no type of a garden refuses to be written. An empty file in its place
/// would lose the garden, so this stops instead.
#[allow(clippy::expect_used)]
fn written<T>(result: ron::Result<T>) -> T {
    result.expect("a garden can always be written into memory")
}
