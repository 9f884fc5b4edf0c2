//! Turns the bytes of a terminal into keys, pastes and mouse events.
//!
//! However the bytes are split on the way, the same bytes give the same inputs. Only time can tell the Escape key from the
//! beginning of a sequence, so the caller says when nothing has arrived for a while.
//!
//! Source: xterm's control sequences and, for their form, ECMA-48 (both from memory). A control character inside a sequence
//! ends it and is read by itself, so that no unfinished sequence can swallow Ctrl-C. Alt with a key is read as that key, and
//! so is Ctrl or Shift with an arrow.

use crate::tui::keys::Key;
use crate::tui::update::Input;

/// Most bytes of a paste that are kept, far more than any field takes (starting value).
const PASTE_BYTES: usize = 64 * 1024;

/// Most bytes of a sequence's parameters; no key has as many (starting value).
const PARAMETER_BYTES: usize = 64;

const ESC: u8 = 0x1b;
const CTRL_C: u8 = 0x03;
const BEL: u8 = 0x07;
/// What answers begin with; keys typed after Alt and one of those bytes rarely look like it.
const ANSWERS_BEGIN: &[u8] = b"0123456789>!$+G";
const END_OF_PASTE: &[u8] = b"\x1b[201~";

/// What has been begun and is not complete.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Begun {
    #[default]
    Nothing,
    /// A character of this many bytes.
    Character(usize),
    /// Escape: the key, or the beginning of a sequence.
    Escape,
    /// `ESC O`: a key of the keypad, or an arrow.
    Keypad,
    /// `ESC [` and parameters.
    Sequence,
    /// `ESC [ [`: one more letter, a function key of a console.
    ConsoleKey,
    /// `ESC [ M`: three more bytes.
    OldMouse,
    /// `ESC ]`, `ESC P` or `ESC _`: an answer to a question that this program did not ask, or Alt and that byte.
    Answer(u8),
    /// Escape within an answer: with a backslash, its end.
    EndOfAnswer,
    /// Pasted text; this many bytes of its end mark have arrived.
    Paste(usize),
}

/// Turns bytes into inputs.
#[derive(Debug, Default)]
pub struct Decoder {
    begun: Begun,
    /// The bytes of what has been begun.
    held: Vec<u8>,
    /// Nothing has arrived for a while.
    is_quiet: bool,
}

impl Decoder {
    /// Whether something has been begun that a pause would end.
    pub fn is_waiting(&self) -> bool {
        self.begun != Begun::Nothing && !self.is_quiet
    }

    /// Reads bytes as they arrive; appends what they mean to `inputs`.
    pub fn take(&mut self, bytes: &[u8], inputs: &mut Vec<Input>) {
        // The end of a paste may have been lost; a lone Ctrl-C is never part of one.
        if matches!(self.begun, Begun::Paste(_)) && self.is_quiet && bytes == [CTRL_C] {
            self.end_paste(inputs);
        }
        self.is_quiet = false;
        for byte in bytes {
            self.byte(*byte, inputs);
        }
    }

    /// Nothing more has arrived for a while: what was begun is complete as it is.
    pub fn pause(&mut self, inputs: &mut Vec<Input>) {
        let key = match self.begun {
            // However long the rest of a paste takes, it is never keys.
            Begun::Paste(_) => {
                self.is_quiet = true;
                return;
            }
            Begun::Escape | Begun::EndOfAnswer => Some(Key::Esc),
            // Alt and a character.
            Begun::Keypad => Some(Key::Char('O')),
            Begun::Sequence if self.held.is_empty() => Some(Key::Char('[')),
            Begun::Answer(first) if self.held.is_empty() => Some(Key::Char(char::from(first))),
            _ => None,
        };
        inputs.extend(key.map(Input::Key));
        self.begin(Begun::Nothing);
    }

    fn begin(&mut self, begun: Begun) {
        self.begun = begun;
        self.held.clear();
    }

    fn byte(&mut self, byte: u8, inputs: &mut Vec<Input>) {
        match self.begun {
            Begun::Nothing => self.first(byte, inputs),
            Begun::Paste(n_matched) => self.pasted(byte, n_matched, inputs),
            Begun::Character(_) if !(0x80..0xc0).contains(&byte) => self.anew(byte, inputs),
            Begun::Character(n_bytes) => {
                self.held.push(byte);
                if self.held.len() == n_bytes {
                    let sign = std::str::from_utf8(&self.held).ok().and_then(|text| text.chars().next());
                    inputs.extend(sign.map(|sign| Input::Key(Key::Char(sign))));
                    self.begin(Begun::Nothing);
                }
            }
            Begun::Answer(first) => self.answer(byte, first, inputs),
            Begun::EndOfAnswer if byte == b'\\' => self.begin(Begun::Nothing),
            Begun::Escape | Begun::EndOfAnswer => match byte {
                ESC => {
                    inputs.push(Input::Key(Key::Esc));
                    self.begin(Begun::Escape);
                }
                b'[' => self.begin(Begun::Sequence),
                b'O' => self.begin(Begun::Keypad),
                b']' | b'P' | b'_' => self.begin(Begun::Answer(byte)),
                // Alt and a key.
                _ => self.anew(byte, inputs),
            },
            _ if byte < b' ' => self.anew(byte, inputs),
            Begun::Keypad => {
                self.begin(Begun::Nothing);
                inputs.extend(keypad_key(byte).map(Input::Key));
            }
            Begun::ConsoleKey => self.begin(Begun::Nothing),
            Begun::OldMouse => {
                self.held.push(byte);
                if let [button, column, row] = self.held[..] {
                    let place = |byte: u8| u16::from(byte.saturating_sub(b' '));
                    inputs.extend(mouse(place(button), place(column), place(row), true));
                    self.begin(Begun::Nothing);
                }
            }
            Begun::Sequence => self.sequence(byte, inputs),
        }
    }

    fn answer(&mut self, byte: u8, first: u8, inputs: &mut Vec<Input>) {
        match byte {
            BEL => self.begin(Begun::Nothing),
            ESC => self.begin(Begun::EndOfAnswer),
            _ if self.held.is_empty() && !ANSWERS_BEGIN.contains(&byte) => {
                inputs.push(Input::Key(Key::Char(char::from(first))));
                self.anew(byte, inputs);
            }
            0..b' ' => self.anew(byte, inputs),
            // Its contents are ignored.
            _ => {
                self.held.clear();
                self.held.push(byte);
            }
        }
    }

    /// Drops what was begun, and reads the byte by itself.
    fn anew(&mut self, byte: u8, inputs: &mut Vec<Input>) {
        self.begin(Begun::Nothing);
        self.first(byte, inputs);
    }

    fn first(&mut self, byte: u8, inputs: &mut Vec<Input>) {
        let key = match byte {
            ESC => return self.begin(Begun::Escape),
            // An Enter typed before raw mode was set arrives as a line feed.
            b'\r' | b'\n' => Key::Enter,
            b'\t' => Key::Tab,
            // Some terminals send one, some the other.
            0x7f | 0x08 => Key::Backspace,
            0x00 => Key::Ctrl(' '),
            0x01..=0x1a => Key::Ctrl(char::from(byte - 1 + b'a')),
            0x1c..=0x1f => Key::Ctrl(char::from(byte - 0x1c + b'4')),
            b' '..=b'~' => Key::Char(char::from(byte)),
            0xc2..=0xf4 => {
                let n_bytes = match byte {
                    0xc2..=0xdf => 2,
                    0xe0..=0xef => 3,
                    _ => 4,
                };
                self.begin(Begun::Character(n_bytes));
                self.held.push(byte);
                return;
            }
            // No character begins with this byte.
            _ => return,
        };
        inputs.push(Input::Key(key));
    }

    fn sequence(&mut self, byte: u8, inputs: &mut Vec<Input>) {
        match byte {
            b' '..=b'?' => {
                if self.held.len() < PARAMETER_BYTES {
                    self.held.push(byte);
                }
            }
            b'[' if self.held.is_empty() => self.begin(Begun::ConsoleKey),
            b'M' if self.held.is_empty() => self.begin(Begun::OldMouse),
            b'~' if self.held == b"200" => self.begin(Begun::Paste(0)),
            b'@'..=b'~' => {
                inputs.extend(sequence_input(&self.held, byte));
                self.begin(Begun::Nothing);
            }
            _ => self.anew(byte, inputs),
        }
    }

    fn pasted(&mut self, byte: u8, n_matched: usize, inputs: &mut Vec<Input>) {
        if END_OF_PASTE.get(n_matched) == Some(&byte) {
            self.begun = Begun::Paste(n_matched + 1);
            if n_matched + 1 == END_OF_PASTE.len() {
                self.end_paste(inputs);
            }
            return;
        }
        // The end mark has only one Escape, its first byte.
        self.keep(&END_OF_PASTE[..n_matched]);
        let is_escape = byte == ESC;
        if !is_escape {
            self.keep(&[byte]);
        }
        self.begun = Begun::Paste(usize::from(is_escape));
    }

    fn keep(&mut self, bytes: &[u8]) {
        if self.held.len() < PASTE_BYTES {
            self.held.extend_from_slice(bytes);
        }
    }

    fn end_paste(&mut self, inputs: &mut Vec<Input>) {
        inputs.push(Input::Paste(String::from_utf8_lossy(&self.held).into_owned()));
        self.begin(Begun::Nothing);
    }
}

/// Keys of a keypad in application mode, and the arrows of some terminals.
fn keypad_key(byte: u8) -> Option<Key> {
    Some(match byte {
        b'M' => Key::Enter,
        b'I' => Key::Tab,
        b' ' | b'X' => Key::Char(if byte == b'X' { '=' } else { ' ' }),
        b'j'..=b'y' => Key::Char(char::from(byte - b'j' + b'*')),
        _ => return letter_key(byte),
    })
}

fn letter_key(byte: u8) -> Option<Key> {
    Some(match byte {
        b'A' => Key::Up,
        b'B' => Key::Down,
        b'C' => Key::Right,
        b'D' => Key::Left,
        b'F' => Key::End,
        b'H' => Key::Home,
        b'Z' => Key::BackTab,
        _ => return None,
    })
}

/// What `ESC [`, parameters and a final letter mean.
fn sequence_input(parameters: &[u8], last: u8) -> Option<Input> {
    let (is_mouse, parameters) = match parameters.split_first() {
        Some((b'<', rest)) => (true, rest),
        _ => (false, parameters),
    };
    // Parameters that are not numbers belong to some answer.
    let text = std::str::from_utf8(parameters)
        .ok()
        .filter(|text| text.bytes().all(|b| b.is_ascii_digit() || b";:".contains(&b)))?;
    let part =
        |place: usize, sub: usize| -> Option<u32> { text.split(';').nth(place)?.split(':').nth(sub)?.parse().ok() };
    let small = |place: usize| part(place, 0).and_then(|number| u16::try_from(number).ok());
    if is_mouse {
        let is_press = match last {
            b'M' => true,
            b'm' => false,
            _ => return None,
        };
        return mouse(small(0)?, small(1)?, small(2)?, is_press);
    }
    if last == b'M' {
        return mouse(small(0)?.checked_sub(32)?, small(1)?, small(2)?, true);
    }
    let modifiers = part(1, 0).unwrap_or(1);
    let key = match last {
        b'~' | b'^' | b'@' => match part(0, 0)? {
            1 | 7 => Key::Home,
            3 => Key::Delete,
            4 | 8 => Key::End,
            5 => Key::PageUp,
            6 => Key::PageDown,
            27 => coded_key(part(2, 0)?, modifiers)?,
            _ => return None,
        },
        b'u' => coded_key(part(0, 0)?, modifiers)?,
        _ => letter_key(last)?,
    };
    // Some terminals report keys that are held down or released.
    match part(1, 1) {
        Some(3) => None,
        Some(2) => key.when_repeated().map(Input::Key),
        _ => Some(Input::Key(key)),
    }
}

/// A key that is sent as the number of its character.
fn coded_key(code: u32, modifiers: u32) -> Option<Key> {
    let bits = modifiers.saturating_sub(1);
    let (has_shift, has_ctrl) = (bits & 1 > 0, bits & 4 > 0);
    Some(match code {
        8 | 127 => Key::Backspace,
        9 if has_shift => Key::BackTab,
        9 => Key::Tab,
        13 => Key::Enter,
        27 => Key::Esc,
        // Keys without a character have numbers in the private use area.
        0..32 | 0xe000..0xf900 => return None,
        _ => {
            let sign = char::from_u32(code)?;
            match (has_ctrl, has_shift) {
                (true, _) => Key::Ctrl(sign.to_ascii_lowercase()),
                (false, true) => Key::Char(sign.to_uppercase().next().unwrap_or(sign)),
                (false, false) => Key::Char(sign),
            }
        }
    })
}

/// A click of the left button, or a step of the wheel. Columns and rows are sent counted from 1.
fn mouse(button: u16, column: u16, row: u16, is_press: bool) -> Option<Input> {
    const MOVED: u16 = 32;
    const WHEEL: u16 = 64;
    const OTHERS: u16 = 128;
    if !is_press || button & (MOVED | OTHERS) > 0 {
        return None;
    }
    let (column, row) = (column.checked_sub(1)?, row.checked_sub(1)?);
    match (button & WHEEL > 0, button & 3) {
        (false, 0) => Some(Input::Click(column, row)),
        (true, 0) => Some(Input::Wheel(-1)),
        (true, 1) => Some(Input::Wheel(1)),
        _ => None,
    }
}

#[cfg(test)]
mod tests;
