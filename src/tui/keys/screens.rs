//! The commands of the screens, in the order of help.

use super::Command as C;
use super::Key::{Char, Ctrl};
use super::{Group, Key, Need, Row};
use crate::tui::view::Screen;

const PLOTS: &[Screen] = &[Screen::Ground, Screen::Bed, Screen::Year];
const WITH_PLANTING: &[Screen] = &[Screen::Bed, Screen::Year];
const WITH_FINDINGS: &[Screen] = &[Screen::Ground, Screen::Bed, Screen::Year, Screen::Findings];

const fn row(command: C, keys: &'static [Key], title: &'static str, sentence: &'static str, group: Group) -> Row {
    Row { command, keys, screens: &[], title, sentence, group, bottom: 0, needs: &[] }
}

impl Row {
    /// On these screens only.
    const fn on(self, screens: &'static [Screen]) -> Self {
        Self { screens, ..self }
    }

    /// With a place on the bottom line.
    const fn bottom(self, bottom: u8) -> Self {
        Self { bottom, ..self }
    }

    /// Run only if all of these are met.
    const fn needs(self, needs: &'static [Need]) -> Self {
        Self { needs, ..self }
    }
}

/// Every command. One whose meaning depends on the screen has a row for each meaning.
pub const COMMANDS: &[Row] = &[
    row(C::Show(Screen::Ground), &[Char('1')], "Ground", "Show all beds.", Group::Screens),
    row(C::Show(Screen::Bed), &[Char('2')], "Bed", "Show one bed to scale.", Group::Screens),
    row(C::Show(Screen::Year), &[Char('3')], "Year", "Show beds by weeks.", Group::Screens),
    row(C::Show(Screen::Book), &[Char('4')], "Crop book", "Show what is known of crops.", Group::Screens),
    row(C::Show(Screen::Findings), &[Char('5')], "Findings", "List what is wrong or worth knowing.", Group::Screens),
    row(C::MoveUp, &[Key::Up, Char('k')], "up", "Move up.", Group::Walk),
    row(C::MoveDown, &[Key::Down, Char('j')], "down", "Move down.", Group::Walk),
    row(C::MoveLeft, &[Key::Left, Char('h')], "left", "Move left.", Group::Walk),
    row(C::MoveRight, &[Key::Right, Char('l')], "right", "Move right.", Group::Walk),
    row(C::First, &[Key::Home], "first", "Go to the first.", Group::Walk),
    row(C::Last, &[Key::End], "last", "Go to the last.", Group::Walk),
    row(C::Open, &[Key::Enter], "open", "Open the selected bed.", Group::Walk).on(&[Screen::Ground]).bottom(1),
    row(C::Open, &[Key::Enter], "change", "Open the form of the selected planting.", Group::Walk)
        .on(WITH_PLANTING)
        .bottom(1)
        .needs(&[Need::Editable, Need::Standing]),
    row(C::Open, &[Key::Enter], "place", "Place the selected crop in the bed looked at.", Group::Walk)
        .on(&[Screen::Book])
        .bottom(1)
        .needs(&[Need::Editable, Need::Bed]),
    row(C::Open, &[Key::Enter], "go there", "Go to the bed and the planting of the finding.", Group::Walk)
        .on(&[Screen::Findings])
        .bottom(1),
    row(C::Back, &[Key::Esc], "back", "Go back one step.", Group::Walk),
    row(C::NextPlanting, &[Key::Tab], "next planting", "Select the bed's next planting.", Group::Walk)
        .on(WITH_PLANTING)
        .bottom(9),
    row(C::PreviousPlanting, &[Key::BackTab], "previous planting", "Select the bed's previous planting.", Group::Walk)
        .on(WITH_PLANTING),
    row(C::WeekBack, &[Char('['), Char(',')], "week back", "Step one week back.", Group::Walk),
    row(C::WeekOn, &[Char(']'), Char('.')], "next week", "Step to the next week.", Group::Walk).bottom(5),
    row(C::FourWeeksBack, &[Char('{'), Key::PageUp], "4 weeks back", "Step four weeks back.", Group::Walk),
    row(C::FourWeeksOn, &[Char('}'), Key::PageDown], "4 weeks on", "Step four weeks on.", Group::Walk),
    row(C::Today, &[Char('t')], "today", "Go to this week.", Group::Walk).bottom(10),
    row(C::GoToBed, &[Char('g')], "go to bed", "Go to a bed by its id, or to its first finding.", Group::Walk)
        .on(WITH_FINDINGS)
        .needs(&[Need::Bed]),
    row(C::Search, &[Char('/')], "search", "Narrow the list by a few letters.", Group::Walk)
        .on(&[Screen::Book, Screen::Findings])
        .bottom(2),
    row(C::Place, &[Char('a')], "place crop", "Place a crop in this bed.", Group::Plantings)
        .on(PLOTS)
        .bottom(2)
        .needs(&[Need::Editable, Need::Bed]),
    row(
        C::Interplant,
        &[Char('i')],
        "interplant",
        "Place a crop at the centres between the selected planting's stations.",
        Group::Plantings,
    )
    .on(WITH_PLANTING)
    .bottom(3)
    .needs(&[Need::Editable, Need::Planting]),
    row(
        C::WhatCouldFollow,
        &[Char('n')],
        "what next",
        "List what could follow in this bed, best first, with reasons.",
        Group::Plantings,
    )
    .on(PLOTS)
    .bottom(4)
    .needs(&[Need::Bed]),
    row(C::Change, &[Char('e')], "change", "Change the selected planting in its form.", Group::Plantings)
        .on(WITH_PLANTING)
        .needs(&[Need::Editable, Need::Planting]),
    row(
        C::Move,
        &[Char('m')],
        "move",
        "Move the selected planting: arrows for place and bed, [ ] for weeks, + - for length.",
        Group::Plantings,
    )
    .on(WITH_PLANTING)
    .bottom(7)
    .needs(&[Need::Editable, Need::Planting]),
    row(C::Lengthen, &[Char('+'), Char('=')], "lengthen", "Make its strip 10 cm longer.", Group::Plantings)
        .on(WITH_PLANTING)
        .needs(&[Need::Editable, Need::Planting]),
    row(C::Shorten, &[Char('-')], "shorten", "Make its strip 10 cm shorter.", Group::Plantings)
        .on(WITH_PLANTING)
        .needs(&[Need::Editable, Need::Planting]),
    row(
        C::Duplicate,
        &[Char('c')],
        "duplicate",
        "Repeat the selected planting in the next free slot.",
        Group::Plantings,
    )
    .on(WITH_PLANTING)
    .needs(&[Need::Editable, Need::Planting]),
    row(C::Remove, &[Char('x'), Key::Delete], "remove", "Take the selected planting out.", Group::Plantings)
        .on(WITH_PLANTING)
        .bottom(8)
        .needs(&[Need::Editable, Need::Planting]),
    row(C::NextLayer, &[Char('v')], "layers", "Show all plantings, or one after the other.", Group::Plantings)
        .on(&[Screen::Bed]),
    row(C::NewBed, &[Char('N')], "new bed", "Lay out a new bed.", Group::Beds).on(PLOTS).needs(&[Need::Editable]),
    row(C::EditBed, &[Char('b')], "edit bed", "Change this bed's size, kind, cover or place.", Group::Beds)
        .on(PLOTS)
        .needs(&[Need::Editable, Need::Bed]),
    row(C::RemoveBed, &[Char('X')], "remove bed", "Take an empty bed out.", Group::Beds)
        .on(PLOTS)
        .needs(&[Need::Editable, Need::Bed]),
    row(C::AddPast, &[Char('y')], "past crops", "Add a crop of a past year to this bed.", Group::Beds)
        .on(PLOTS)
        .needs(&[Need::Editable, Need::Bed]),
    row(C::AddHazard, &[Char('z')], "hazard", "Note a soil-borne disease or pest seen in this bed.", Group::Beds)
        .on(PLOTS)
        .needs(&[Need::Editable, Need::Bed]),
    row(
        C::ReturnYears,
        &[Char('R')],
        "return years",
        "Set how many years a family stays away from a bed.",
        Group::Beds,
    )
    .needs(&[Need::Editable]),
    row(
        C::Why,
        &[Char('w')],
        "why",
        "Say why: the earlier planting, the rule, its source, what would help.",
        Group::Findings,
    )
    .on(WITH_FINDINGS)
    .bottom(3)
    .needs(&[Need::Finding]),
    row(C::Accept, &[Char('A')], "accept", "Accept the finding with a reason, or take that back.", Group::Findings)
        .on(&[Screen::Findings])
        .bottom(4)
        .needs(&[Need::Editable, Need::AnyFinding]),
    row(
        C::KeepQuiet,
        &[Char('K')],
        "keep quiet",
        "Keep all findings of this kind quiet, for the bed, the crop or the garden, with a reason; or show them again.",
        Group::Findings,
    )
    .on(&[Screen::Findings])
    .needs(&[Need::Editable, Need::AnyFinding]),
    row(C::ShowAll, &[Char('H')], "show hidden", "List what is past or kept quiet too, or not.", Group::Findings)
        .on(&[Screen::Findings]),
    row(
        C::EditSite,
        &[Char('L')],
        "place and climate",
        "Set the place: latitude, height, frosts, currency, climate.",
        Group::Garden,
    ),
    row(C::Undo, &[Char('u')], "undo", "Take the last edit back.", Group::Garden)
        .bottom(11)
        .needs(&[Need::Editable, Need::ToUndo]),
    row(C::Redo, &[Ctrl('r')], "redo", "Redo what was undone.", Group::Garden).needs(&[Need::Editable, Need::ToRedo]),
    row(C::Save, &[Char('s'), Ctrl('s')], "save", "Save now (edits are also saved by themselves).", Group::Garden)
        .needs(&[Need::Editable]),
    row(C::SaveAs, &[Char('S')], "save as", "Save under another name.", Group::Garden),
    row(
        C::Versions,
        &[Char('V')],
        "earlier versions",
        "List earlier versions and what was put aside, what differs, and go back to one.",
        Group::Garden,
    )
    .needs(&[Need::File]),
    row(
        C::TakeOver,
        &[Char('O')],
        "take over",
        "Take the garden over when the program that had it open has gone.",
        Group::Garden,
    )
    .needs(&[Need::Holder]),
    row(C::WriteList, &[Char('p')], "planting list", "Write the planting list to a file.", Group::Garden),
    row(C::Help, &[Char('?')], "help", "List the keys of this screen.", Group::Garden).bottom(12),
    row(C::Finder, &[Char(':')], "commands", "Find any command by a few letters.", Group::Garden).bottom(13),
    row(C::Mouse, &[Char('M')], "mouse", "Switch the mouse on or off (off, text can be selected).", Group::Garden),
    row(C::Suspend, &[Ctrl('z')], "suspend", "Go back to the shell for a while.", Group::Garden),
    row(C::Quit, &[Char('q'), Ctrl('c')], "quit", "Save and leave.", Group::Garden).bottom(14),
];
