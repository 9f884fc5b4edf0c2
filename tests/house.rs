//! The house stands: rooms look down only, engines know no file and no clock, no room outgrows its walls.

#![allow(clippy::unwrap_used, clippy::expect_used)] // a file that cannot be read is a failed test

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use bedfellow::crops::CropBook;

/// Lines a file under src/ may have, its tests included.
const N_LINES_MAX: usize = 700;

/// Rooms that know files, the environment or the terminal, and the door. Every other room takes values and gives values.
const ROOMS_WITH_EFFECTS: [&str; 4] = ["store", "cli", "tui", "main"];

/// Files of a room (or folders, by their names) that still import each other in a circle, and why. None may join them.
const CIRCLES: [(&str, &[&str], &str); 0] = [];

/// What a room without effects never mentions: files, surroundings, clock, printing.
const EFFECTS: [&str; 11] = [
    "std::fs",
    "std::env",
    "std::io",
    "std::process",
    "SystemTime",
    "Instant::now",
    "Local::now",
    "Utc::now",
    "println!",
    "eprintln!",
    "print!(",
];

/// Rooms that find out or say what is found out: no sentence, source or reason is read there again.
const ROOMS_OF_FINDINGS: [&str; 7] = ["growth", "rotation", "fit", "season", "words", "export", "layout"];

/// Ways of reading a text.
const READINGS: [&str; 6] =
    ["starts_with(", "ends_with(", "strip_prefix(", "strip_suffix(", "trim_end_matches(", "contains(\""];

/// Places in those rooms that read a text all the same, by file and piece of the line.
const READ_ALL_THE_SAME: [(&str, &str, &str); 2] = [
    ("words/text.rs", "clause.ends_with(['.', '!', '?'])", "a message of the system may end in a full stop or not"),
    ("export/table.rs", "text.trim_start().starts_with(", "a cell that a spreadsheet would take for a formula"),
];

#[test]
fn rooms_import_only_from_rooms_above_them_in_the_list_of_lib() {
    let order = rooms_in_order();
    let mut upward = Vec::new();
    for (path, room) in source_files() {
        let Some(here) = order.iter().position(|name| *name == room) else { continue };
        for (line, named) in rooms_named(&fs::read_to_string(&path).unwrap()) {
            let there = order.iter().position(|name| *name == named);
            if there.is_some_and(|there| there > here) {
                upward.push(format!("{}:{line}: {room} imports from {named}", path.display()));
            }
        }
    }
    assert!(upward.is_empty(), "a room may look down, never up:\n{}", upward.join("\n"));
}

#[test]
fn files_of_a_room_import_each_other_one_way_but_for_the_circles_that_are_listed() {
    let mut found = Vec::new();
    for room in rooms_in_order() {
        let sources: Vec<(Vec<String>, String)> = source_files()
            .into_iter()
            .filter(|(path, of)| *of == room && !is_test_file(path))
            .map(|(path, _)| (modules_of(&path), fs::read_to_string(&path).unwrap()))
            .collect();
        found.extend(circles_among(&room, &sources).into_iter().map(|circle| (room.clone(), circle)));
    }
    for (room, circle) in &found {
        let is_listed =
            CIRCLES.iter().any(|(of, files, _)| of == room && circle.iter().all(|file| files.contains(&&**file)));
        assert!(
            is_listed,
            "{room}: {} import each other in a circle",
            circle.iter().cloned().collect::<Vec<_>>().join(", ")
        );
    }
    for (room, files, _) in CIRCLES {
        let is_there =
            found.iter().any(|(of, circle)| of == room && circle.iter().any(|file| files.contains(&&**file)));
        assert!(is_there, "{room}: no circle among {} any more: take it off the list", files.join(", "));
    }
}

#[test]
fn a_circle_is_found_through_groups_names_at_the_front_and_folders() {
    let source = |path: &str, text: &str| {
        (path.split('/').filter(|part| !part.is_empty()).map(str::to_owned).collect(), text.to_owned())
    };
    let circles = |b: &str| {
        let sources = [
            source("", "mod a;\nmod b;\npub use b::{\n    Bed,\n    deep::Deep,\n};\npub use c::*;\n"),
            source("a", "use super::{Bed, x as y};\n// super::c in a comment\n"),
            source("b", b),
            source("b/deep", "use super::other;\npub struct Deep;\n"),
            source("c", "pub fn front() {}\nfn f() { crate::room::a::f() }\n"),
        ];
        circles_among("room", &sources)
            .iter()
            .map(|circle| circle.iter().cloned().collect::<String>())
            .collect::<Vec<_>>()
    };
    assert!(circles("pub struct Bed;\nuse crate::units::Mm;").is_empty());
    assert_eq!(circles("use crate::room::{a, units};"), ["ab"]);
    assert_eq!(circles("use super::front;"), ["abc"]);
    assert_eq!(circles("fn f() {}\n#[cfg(test)]\nmod tests {\n    use super::super::a;\n"), Vec::<String>::new());
}

#[test]
fn lib_lists_every_room_once_and_every_room_is_a_module() {
    let listed = rooms_in_order();
    let folders: BTreeSet<String> =
        source_files().into_iter().map(|(_, room)| room).filter(|room| room != "lib" && room != "main").collect();
    assert_eq!(listed.iter().cloned().collect::<BTreeSet<_>>(), folders);
    assert_eq!(listed.len(), folders.len(), "a room is listed twice");
    let lib = fs::read_to_string(source_root().join("lib.rs")).unwrap();
    for room in &listed {
        assert!(lib.contains(&format!("pub mod {room};")), "{room} is listed but is no module");
    }
}

#[test]
fn rooms_without_effects_mention_no_file_no_clock_and_print_nothing() {
    let mut found = Vec::new();
    for (path, room) in source_files() {
        if ROOMS_WITH_EFFECTS.contains(&room.as_str()) || is_test_file(&path) {
            continue;
        }
        let text = fs::read_to_string(&path).unwrap();
        for (number, line) in shipped_lines(&text) {
            for effect in EFFECTS.iter().filter(|effect| line.contains(**effect)) {
                found.push(format!("{}:{number}: {effect}", path.display()));
            }
        }
    }
    assert!(found.is_empty(), "values in, values out:\n{}", found.join("\n"));
}

#[test]
fn the_clock_is_read_in_one_place_and_never_by_calls_that_panic_before_1970() {
    let (mut readers, mut panicking) = (Vec::new(), Vec::new());
    for (path, _) in source_files() {
        let text = fs::read_to_string(&path).unwrap();
        for (number, line) in shipped_lines(&text).filter(|_| !is_test_file(&path)) {
            if line.contains("SystemTime::now") {
                readers.push(path.strip_prefix(source_root()).unwrap().to_owned());
            }
            // chrono's own; Utc::now expects that the clock is not before 1970, and Local::now calls it.
            if ["Local::now", "Utc::now"].iter().any(|call| line.contains(call)) {
                panicking.push(format!("{}:{number}", path.display()));
            }
        }
    }
    assert!(panicking.is_empty(), "panics with a clock before 1970:\n{}", panicking.join("\n"));
    readers.dedup();
    assert_eq!(readers, [Path::new("tui/shell/clock.rs")]);
}

#[test]
fn engines_name_no_crop_no_family_and_no_hazard() {
    let names = names_of_the_book();
    let mut found = Vec::new();
    for (path, room) in source_files() {
        if ROOMS_WITH_EFFECTS.contains(&room.as_str()) || is_test_file(&path) {
            continue;
        }
        let text = fs::read_to_string(&path).unwrap();
        for (number, literal) in literals(&text) {
            if names.contains(&plain(&literal)) {
                found.push(format!("{}:{number}: \"{literal}\"", path.display()));
            }
        }
    }
    assert!(found.is_empty(), "facts stand in assets/, under a typed field:\n{}", found.join("\n"));
}

#[test]
fn no_room_reads_a_sentence_back_but_where_it_is_listed() {
    let (mut found, mut listed) = (Vec::new(), BTreeSet::new());
    for (path, room) in source_files() {
        if !ROOMS_OF_FINDINGS.contains(&room.as_str()) || is_test_file(&path) {
            continue;
        }
        let file = path.strip_prefix(source_root()).unwrap().display().to_string();
        for (number, line) in shipped_lines(&fs::read_to_string(&path).unwrap()) {
            if !READINGS.iter().any(|reading| line.contains(reading)) {
                continue;
            }
            match READ_ALL_THE_SAME.iter().position(|(of, piece, _)| *of == file && line.contains(piece)) {
                Some(place) => drop(listed.insert(place)),
                None => found.push(format!("{file}:{number}: {}", line.trim())),
            }
        }
    }
    assert!(found.is_empty(), "what depends on a finding depends on its fields:\n{}", found.join("\n"));
    for (place, (file, piece, _)) in READ_ALL_THE_SAME.iter().enumerate() {
        assert!(listed.contains(&place), "{file}: `{piece}` is not there any more: take it off the list");
    }
}

#[test]
fn literals_of_every_form_are_read() {
    let text = "let a = \"leek\"; // \"no\"\nlet b = ['\"', '\\'', 'x'];\nlet c = \"two\\\"\nlines\";\nlet d = r#\"raw \"x\" y\"#;\n\
                #[cfg(test)]\nmod fixture;\nfn f<'a>() { b\"bytes\" }\n#[cfg(test)]\nmod tests {\n\"onion\"\n";
    let expected = [(1, "leek"), (3, "two\\\"\nlines"), (5, "raw \"x\" y"), (8, "bytes")];
    assert_eq!(literals(text), expected.map(|(line, text)| (line, text.to_owned())));
}

#[test]
fn no_source_file_outgrows_its_walls() {
    for (path, _) in source_files() {
        let n_lines = fs::read_to_string(&path).unwrap().lines().count();
        assert!(n_lines <= N_LINES_MAX, "{} has {n_lines} lines, {N_LINES_MAX} at most: split it", path.display());
    }
}

#[test]
fn the_picture_in_developers_names_every_folder_under_src() {
    let page = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let picture = page.split("```").nth(1).expect("the picture is the first block of DEVELOPERS.md");
    for folder in folders_under(&source_root()) {
        let name = folder.file_name().unwrap().to_string_lossy().into_owned();
        assert!(picture.contains(&format!("{name}/")), "the picture in DEVELOPERS.md lacks {name}/");
    }
}

#[test]
fn paths_in_every_form_of_import_are_read() {
    let text = "use crate::units::Mm;\nuse crate::{garden::{Bed, Side}, layout, tui as face};\n\
                // crate::cli in a comment\nlet x = crate::fit::judge;\nuse crate::{\n    season::Plan,\n    export,\n};\n";
    let named: Vec<(usize, String)> = rooms_named(text);
    let expected = [(1, "units"), (2, "garden"), (2, "layout"), (2, "tui"), (4, "fit"), (5, "season"), (5, "export")];
    assert_eq!(named, expected.map(|(line, room)| (line, room.to_owned())));
}

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn source_root() -> PathBuf {
    root().join("src")
}

/// The rooms as the table of lib.rs lists them.
fn rooms_in_order() -> Vec<String> {
    let lib = fs::read_to_string(source_root().join("lib.rs")).unwrap();
    let rooms: Vec<String> = lib
        .lines()
        .filter_map(|line| line.strip_prefix("//! | [`")?.split_once("`]").map(|(room, _)| room.to_owned()))
        .collect();
    assert!(rooms.len() > 5, "the table of rooms in src/lib.rs is not read");
    rooms
}

/// Every source file with the room it belongs to.
fn source_files() -> Vec<(PathBuf, String)> {
    let mut files = Vec::new();
    let mut folders = vec![source_root()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|extension| extension == "rs") {
                let inside = path.strip_prefix(source_root()).unwrap().with_extension("");
                let room = inside.iter().next().unwrap().to_string_lossy().into_owned();
                files.push((path, room));
            }
        }
    }
    files.sort();
    files
}

fn folders_under(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() && path.file_name().is_some_and(|name| name != "snapshots" && name != "tests") {
            found.extend(folders_under(&path));
            found.push(path);
        }
    }
    found
}

fn is_test_file(path: &Path) -> bool {
    let stem = path.file_stem().unwrap().to_string_lossy();
    path.iter().any(|part| part == "tests") || stem.ends_with("tests") || stem == "fixture"
}

/// A name as literals are compared with it: `sweet_pepper` and `Sweet pepper` are one.
fn plain(name: &str) -> String {
    let words = name.split(|sign: char| sign.is_whitespace() || sign == '_' || sign == '-');
    words.filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ").to_lowercase()
}

/// What the book calls its crops, plants, families, hazards and rules, but for words that are groups of crops as well.
fn names_of_the_book() -> BTreeSet<String> {
    let book = CropBook::embedded().unwrap();
    let genus = |latin: &str| latin.split(' ').next().unwrap_or_default().to_owned();
    let mut names = BTreeSet::new();
    for crop in book.crops() {
        names.extend([crop.id.clone(), crop.name.clone(), genus(&crop.latin)]);
        names.extend(crop.known_as.clone());
    }
    for plant in book.plants() {
        names.extend([plant.id.clone(), plant.name.clone(), genus(&plant.latin)]);
    }
    for family in book.families() {
        names.extend([family.id.clone(), family.botanical.clone(), genus(&family.botanical)]);
    }
    for hazard in book.hazards() {
        names.extend([hazard.id.clone(), hazard.name.clone()]);
    }
    names.extend(book.follow_rules().iter().map(|rule| rule.id.clone()));
    let groups = book.crops().iter().flat_map(|crop| &crop.groups);
    let groups: BTreeSet<String> =
        groups.chain(book.plants().iter().flat_map(|plant| &plant.groups)).map(|group| plain(group)).collect();
    // The cross before the name of a hybrid genus is no name.
    let names: BTreeSet<String> = names.iter().map(|name| plain(name)).filter(|name| name.len() > 2).collect();
    assert!(names.len() > 500 && names.contains("clubroot") && names.contains("strawberry") && names.contains("f33"));
    names.difference(&groups).cloned().collect()
}

/// String literals before the file's tests, with the line on which each begins; escapes stay as they are written.
fn literals(text: &str) -> Vec<(usize, String)> {
    let shipped = text.split("#[cfg(test)]\nmod tests").next().unwrap_or_default();
    let signs: Vec<char> = shipped.chars().collect();
    let (mut found, mut at, mut line) = (Vec::new(), 0, 1);
    while at < signs.len() {
        let rest = &signs[at..];
        let is_in_word = at > 0 && signs[at - 1].is_alphanumeric();
        let n_hashes = rest.iter().skip(1).take_while(|sign| **sign == '#').count();
        let n_taken = match rest {
            ['/', '/', ..] => rest.iter().position(|sign| *sign == '\n').unwrap_or(rest.len()),
            ['\'', '\\', _, ..] | ['\'', _, '\'', ..] => 3,
            ['r', ..] if !is_in_word && rest.get(1 + n_hashes) == Some(&'"') => {
                let end: Vec<char> = std::iter::once('"').chain(std::iter::repeat_n('#', n_hashes)).collect();
                let raw = &rest[2 + n_hashes..];
                let n = raw.windows(end.len()).position(|window| window == end).unwrap();
                found.push((line, raw[..n].iter().collect()));
                2 + n_hashes + n + end.len()
            }
            ['"', ..] => {
                let mut n = 1;
                while rest[n] != '"' {
                    n += if rest[n] == '\\' { 2 } else { 1 };
                }
                found.push((line, rest[1..n].iter().collect()));
                n + 1
            }
            _ => 1,
        };
        line += rest[..n_taken].iter().filter(|sign| **sign == '\n').count();
        at += n_taken;
    }
    found
}

/// Lines that are no comment and come before the file's tests, numbered from 1.
fn shipped_lines(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.lines()
        .enumerate()
        .take_while(|(_, line)| line.trim() != "#[cfg(test)]")
        .map(|(idx, line)| (idx + 1, line))
        .filter(|(_, line)| !line.trim_start().starts_with("//"))
}

/// Rooms named by `crate::` paths, grouped imports included, with the line on which the path begins.
fn rooms_named(text: &str) -> Vec<(usize, String)> {
    let code: String = text
        .lines()
        .map(|line| if line.trim_start().starts_with("//") { "" } else { line })
        .collect::<Vec<_>>()
        .join("\n");
    let mut named = Vec::new();
    for (at, _) in code.match_indices("crate::") {
        let line = code[..at].matches('\n').count() + 1;
        let rest = &code[at + "crate::".len()..];
        if let Some(group) = rest.strip_prefix('{') {
            named.extend(heads_of_group(group).into_iter().map(|head| (line, head)));
        } else {
            named.push((line, first_word(rest)));
        }
    }
    named
}

/// First words of the members of a `{…}` group whose opening brace is already read.
fn heads_of_group(group: &str) -> Vec<String> {
    let (mut depth, mut start, mut heads) = (0_usize, 0, Vec::new());
    for (at, sign) in group.char_indices() {
        match sign {
            '{' => depth += 1,
            ',' | '}' if depth == 0 => {
                heads.push(first_word(group[start..at].trim_start()));
                start = at + 1;
                if sign == '}' {
                    break;
                }
            }
            '}' => depth -= 1,
            _ => {}
        }
    }
    heads.retain(|head| !head.is_empty());
    heads
}

/// The module a file is, by the names on the way to it from its room: none for the room's own front.
fn modules_of(path: &Path) -> Vec<String> {
    let inside = path.strip_prefix(source_root()).unwrap().with_extension("");
    let parts = inside.iter().skip(1).map(|part| part.to_string_lossy().into_owned());
    parts.filter(|part| part != "mod").collect()
}

/// The circles among a room's files and folders. What its front gives out counts as an import of the file it comes from; the
/// front itself stands above them.
fn circles_among(room: &str, sources: &[(Vec<String>, String)]) -> Vec<BTreeSet<String>> {
    let names = sources.iter().filter_map(|(modules, _)| modules.first());
    let mut imports: BTreeMap<&str, BTreeSet<&str>> = names.map(|name| (&**name, BTreeSet::new())).collect();
    let mut given_out: BTreeMap<String, String> = BTreeMap::new();
    for (_, front) in sources.iter().filter(|(modules, _)| modules.is_empty()) {
        for path in paths_named(front) {
            match &path[..] {
                [file, .., last] if last == "*" => {
                    let of_file = sources.iter().filter(|(modules, _)| modules.first() == Some(file));
                    let names = of_file.flat_map(|(_, text)| names_defined(text));
                    given_out.extend(names.map(|name| (name, file.clone())));
                }
                [file, .., last] => _ = given_out.insert(last.clone(), file.clone()),
                _ => {}
            }
        }
    }
    for (modules, text) in sources {
        let Some(own) = modules.first().map(String::as_str) else { continue };
        for path in paths_named(text) {
            let n_up = path.iter().take_while(|part| *part == "super").count();
            let named = match &path[..] {
                [first, of, named, ..] if first == "crate" && of == room => named,
                _ if n_up == modules.len() => match path.get(n_up) {
                    Some(named) => named,
                    None => continue,
                },
                _ => continue,
            };
            let named = given_out.get(named).unwrap_or(named);
            if let Some((&named, _)) = imports.get_key_value(&**named).filter(|(named, _)| **named != own) {
                imports.entry(own).or_default().insert(named);
            }
        }
    }
    let reached = |from: &str| {
        let (mut reached, mut left) = (BTreeSet::new(), vec![from.to_owned()]);
        while let Some(name) = left.pop() {
            left.extend(
                imports[&*name].iter().filter(|next| reached.insert((**next).to_owned())).map(|&next| next.to_owned()),
            );
        }
        reached
    };
    let reached: BTreeMap<&str, BTreeSet<String>> = imports.keys().map(|&name| (name, reached(name))).collect();
    let circle_of = |name: &str| {
        let both_ways = reached.iter().filter(|(other, back)| reached[name].contains(**other) && back.contains(name));
        both_ways.map(|(other, _)| (*other).to_owned()).collect::<BTreeSet<String>>()
    };
    let circles: BTreeSet<_> = imports.keys().map(|name| circle_of(name)).filter(|circle| circle.len() > 1).collect();
    circles.into_iter().collect()
}

/// Paths of the `use` lines, each member of a group for itself, and those elsewhere that begin with `crate` or `super`; nothing of comments
/// and of the file's tests.
fn paths_named(text: &str) -> Vec<Vec<String>> {
    let shipped = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or_default();
    let lines = shipped.lines().filter(|line| !line.trim_start().starts_with("//"));
    let code = lines.collect::<Vec<_>>().join("\n");
    let begins = |at: usize| !code[..at].ends_with(|sign: char| sign.is_alphanumeric() || sign == '_' || sign == ':');
    let mut paths = Vec::new();
    for (at, word) in code.match_indices("use ").filter(|(at, _)| begins(*at)) {
        expand(
            &code[at + word.len()..].split(';').next().unwrap_or_default().replace('\n', " "),
            &mut Vec::new(),
            &mut paths,
        );
    }
    for (at, _) in ["crate::", "super::"].iter().flat_map(|head| code.match_indices(head)).filter(|(at, _)| begins(*at))
    {
        let path: String =
            code[at..].chars().take_while(|sign| sign.is_alphanumeric() || matches!(sign, '_' | ':')).collect();
        paths.push(path.split("::").filter(|part| !part.is_empty()).map(str::to_owned).collect());
    }
    paths
}

/// Puts every path of a `use` tree behind those before it.
fn expand(tree: &str, before: &mut Vec<String>, paths: &mut Vec<Vec<String>>) {
    let tree = tree.trim();
    let n_before = before.len();
    let (head, group) = match tree.split_once('{') {
        Some((head, rest)) => (head, rest.rsplit_once('}').map(|(group, _)| group)),
        None => (tree, None),
    };
    let head = head.split(" as ").next().unwrap_or_default();
    before.extend(head.split("::").map(str::trim).filter(|part| !part.is_empty()).map(str::to_owned));
    match group {
        None => paths.push(before.clone()),
        Some(group) => {
            let (mut depth, mut start) = (0_i32, 0);
            for (at, sign) in group.char_indices().chain([(group.len(), ',')]) {
                match sign {
                    '{' => depth += 1,
                    '}' => depth -= 1,
                    ',' if depth == 0 => {
                        if !group[start..at].trim().is_empty() {
                            expand(&group[start..at], before, paths);
                        }
                        start = at + 1;
                    }
                    _ => {}
                }
            }
        }
    }
    before.truncate(n_before);
}

/// Names that a file defines for others.
fn names_defined(text: &str) -> impl Iterator<Item = String> {
    let items = text.lines().filter_map(|line| line.trim_start().strip_prefix("pub "));
    let kinds = ["struct ", "enum ", "trait ", "type ", "fn ", "const fn ", "const ", "static "];
    items.filter_map(move |item| kinds.iter().find_map(|kind| item.strip_prefix(kind)).map(first_word))
}

fn first_word(text: &str) -> String {
    text.chars().take_while(|sign| sign.is_alphanumeric() || *sign == '_').collect()
}
