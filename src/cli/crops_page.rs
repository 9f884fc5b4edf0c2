//! One crop's page on the command line: a fact on a line, the sources at the end.

use crate::export::Page;
use crate::words::{CropPage, Value, months_words};

/// Cells of what a fact is about.
const NAME_CELLS: usize = 14;

/// Lays a page out.
pub fn write(page: &mut Page, crop: &CropPage) {
    page.line(&format!("{} ({})", crop.name, crop.latin));
    if crop.is_own {
        page.line("this garden's own page");
    }
    if let Some(caution) = &crop.caution {
        page.paragraph("CAUTION  ", "         ", caution);
    }
    page.blank();
    row(page, "id", &crop.id);
    for fact in crop.sections.iter().flat_map(|section| &section.facts) {
        match &fact.value {
            Value::Words(words) => row(page, fact.name, words),
            Value::Months(months) => row(page, fact.name, &months_words(*months)),
        }
    }
    page.blank();
    page.line("Sources");
    for source in crop.sources() {
        row(page, &format!("  {}", source.of), &source.words);
    }
}

fn row(page: &mut Page, name: &str, text: &str) {
    page.paragraph(&format!("{name:<NAME_CELLS$}"), &" ".repeat(NAME_CELLS), text);
}
