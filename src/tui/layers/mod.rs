//! Layers over a screen: help, finder, pickers, forms, why. The front one sees a key first.

pub mod adjust;
pub mod bed_form;
pub mod confirm;
pub mod finder;
pub mod help;
pub mod notices;
pub mod past_form;
pub mod picker;
pub mod planting_form;
pub mod prompt;
pub mod site_form;
pub mod trouble;
pub mod versions;
pub mod welcome;
pub mod why;

use ratatui::Frame;
use ratatui::layout::Rect;

use super::context::Context;
use super::keys::{Act, Command, Front, Key, hindrance, layer_row_for};
use super::scene::{Draft, Scene};

/// What becomes of a layer after a key.
#[derive(Debug)]
pub enum After {
    /// It stays in front.
    Stay,
    /// It closes.
    Close,
    /// It stays, and another opens in front of it.
    Open(Box<Layer>),
    /// Another takes its place.
    Swap(Box<Layer>),
    /// It closes, and a command is run.
    Run(Command),
    /// The item with this id was chosen from its list; the purpose says what happens next.
    Chosen(picker::Purpose, String),
    /// Its question was answered; the question says what happens next.
    Answered(prompt::Question, String),
}

/// A layer.
#[derive(Debug, Clone)]
pub enum Layer {
    /// The keys of this screen.
    Help(help::Help),
    /// Any command by a few letters.
    Finder(finder::Finder),
    /// One of a list by a few letters.
    Picker(picker::Picker),
    /// One line of text.
    Prompt(prompt::Prompt),
    /// A question that wants its own key for yes.
    Confirm(confirm::Confirm),
    /// A planting, field by field.
    PlantingForm(Box<planting_form::PlantingForm>),
    /// A planting moved by arrows.
    Adjust(Box<adjust::Adjust>),
    /// Why a finding.
    Why(why::Why),
    /// A bed, field by field.
    BedForm(bed_form::BedForm),
    /// The place, field by field.
    SiteForm(Box<site_form::SiteForm>),
    /// Past crops of a bed.
    PastForm(past_form::PastForm),
    /// First run.
    Welcome(welcome::Welcome),
    /// Something to be read.
    Notices(notices::Notices),
    /// The file was changed from outside.
    Trouble(trouble::Trouble),
    /// Earlier versions of the file.
    Versions(versions::Versions),
}

macro_rules! each {
    ($layer:expr, $inner:ident => $body:expr) => {
        match $layer {
            Layer::Help($inner) => $body,
            Layer::Finder($inner) => $body,
            Layer::Picker($inner) => $body,
            Layer::Prompt($inner) => $body,
            Layer::Confirm($inner) => $body,
            Layer::PlantingForm($inner) => $body,
            Layer::Adjust($inner) => $body,
            Layer::Why($inner) => $body,
            Layer::BedForm($inner) => $body,
            Layer::SiteForm($inner) => $body,
            Layer::PastForm($inner) => $body,
            Layer::Welcome($inner) => $body,
            Layer::Notices($inner) => $body,
            Layer::Trouble($inner) => $body,
            Layer::Versions($inner) => $body,
        }
    };
}

impl Layer {
    /// Handles a key: the table says what it means here and whether that can be done now.
    pub fn key(&mut self, key: Key, cx: &mut Context<'_>) -> After {
        let fronts = self.fronts();
        let row = layer_row_for(key, &fronts);
        if let Some(row) = row
            && let Some(why) = hindrance(row.needs, cx.session, cx.view)
        {
            let words = format!("{}: {why}", row.title);
            cx.view.complain(words);
            return After::Stay;
        }
        match row.map(|row| row.act) {
            Some(Act::Help) => After::Open(Box::new(Self::Help(help::Help::of_layer(fronts)))),
            act => each!(self, inner => inner.key(act, key, cx)),
        }
    }

    /// The planting that is being placed, changed or moved, as it would be.
    pub fn draft(&self) -> Option<Draft<'_>> {
        match self {
            Self::Adjust(adjust) => Some((adjust.draft(), adjust.preview())),
            Self::PlantingForm(form) => form.draft().map(|draft| (draft, form.preview())),
            _ => None,
        }
    }

    /// The fronts open to a key, the nearest first.
    pub fn fronts(&self) -> Vec<Front> {
        each!(self, inner => inner.fronts())
    }

    /// Takes pasted text; only layers with a text field do.
    pub fn paste(&mut self, text: &str, cx: &mut Context<'_>) {
        match self {
            Self::Finder(inner) => inner.paste(text, cx),
            Self::Picker(inner) => inner.paste(text, cx),
            Self::Prompt(inner) => inner.paste(text, cx),
            Self::PlantingForm(inner) => inner.paste(text, cx),
            Self::BedForm(inner) => inner.paste(text, cx),
            Self::SiteForm(inner) => inner.paste(text, cx),
            Self::PastForm(inner) => inner.paste(text, cx),
            _ => {}
        }
    }

    /// Draws it over the body.
    pub fn draw(&self, frame: &mut Frame, area: Rect, scene: Scene<'_>) {
        each!(self, inner => inner.draw(frame, area, scene));
    }
}
