//! Damage done to texts: what a slip of the hand, a cut-off copy, a foreign program or ill will may do.

use crate::dice::Dice;

/// A text is never made longer than this.
const MOST_BYTES: usize = 256 * 1024;

/// Numbers at and beyond the edges of what is reckoned with.
const NUMBERS: [&str; 18] = [
    "0",
    "-1",
    "1",
    "2147483647",
    "-2147483648",
    "4294967295",
    "4294967296",
    "9223372036854775807",
    "18446744073709551616",
    "1e308",
    "1e-320",
    "-0.0",
    "NaN",
    "inf",
    "0.1",
    "999999999",
    "1000000",
    "00",
];

const SIGNS: &[u8] = b"(){}[]\",:-+.;=/\\'#*e9\x1b\n\r\t x\x7f\x80\xff\xc3";

/// A text made from `text` by one to several kinds of damage; `others` is what pieces are taken from, `words` what is
/// put in as whole words.
pub fn damaged(dice: &mut Dice, text: &str, others: &[String], words: &[&str]) -> String {
    let mut bytes = text.as_bytes().to_vec();
    let mut n = 1;
    while n < 8 && dice.is_percent(40) {
        n += 1;
    }
    for _ in 0..n {
        once(dice, &mut bytes, others, words);
        bytes.truncate(MOST_BYTES);
    }
    String::from_utf8(bytes).unwrap_or_else(|error| String::from_utf8_lossy(error.as_bytes()).into_owned())
}

fn once(dice: &mut Dice, bytes: &mut Vec<u8>, others: &[String], words: &[&str]) {
    let at = dice.below(bytes.len() + 1);
    let longest = *dice.one(&[1, 4, 40, 400, 4_000]);
    let until = (at + 1 + dice.below(longest)).min(bytes.len());
    let range = at.min(until)..until;
    match dice.below(14) {
        0 => bytes.truncate(at),
        1 => drop(bytes.drain(range)),
        2 => {
            let piece = bytes[range].to_vec();
            let to = dice.below(bytes.len() + 1);
            bytes.splice(to..to, piece);
        }
        3 => {
            if let Some(byte) = bytes.get_mut(at) {
                *byte ^= 1 << dice.below(8);
            }
        }
        4 => bytes.insert(at, *dice.one(SIGNS)),
        5 => {
            if let Some(byte) = bytes.get_mut(at) {
                *byte = *dice.one(SIGNS);
            }
        }
        6 => {
            let other = dice.one(others).as_bytes();
            let from = dice.below(other.len() + 1);
            let to = (from + dice.below(longest)).min(other.len());
            bytes.splice(range, other[from..to].iter().copied());
        }
        7 => drop(bytes.splice(at..at, dice.one(words).bytes())),
        8 => replace_run(dice, bytes, at, u8::is_ascii_alphabetic, words),
        9 | 10 => replace_run(dice, bytes, at, |byte| byte.is_ascii_digit() || b"-.".contains(byte), &NUMBERS),
        11 => {
            if let Some(digit) = bytes[range].iter_mut().find(|byte| byte.is_ascii_digit()) {
                *digit = b'0' + dice.below(10) as u8;
            }
        }
        12 => {
            // The same piece over and over: deep brackets, long names, long lists.
            let piece = if dice.is_percent(40) { vec![*dice.one(b"([{\"'-9,")] } else { bytes[range].to_vec() };
            let times = *dice.one(&[3, 30, 300, 3_000]);
            let times = times.min(MOST_BYTES / 4 / piece.len().max(1));
            bytes.splice(at..at, piece.repeat(times));
        }
        _ => {
            let mut lines: Vec<Vec<u8>> = bytes.split(|byte| *byte == b'\n').map(<[u8]>::to_vec).collect();
            let (one, other) = (dice.below(lines.len()), dice.below(lines.len()));
            lines.swap(one, other);
            *bytes = lines.join(&b'\n');
        }
    }
}

/// Replaces the next run of such bytes from a place on.
fn replace_run(dice: &mut Dice, bytes: &mut Vec<u8>, at: usize, is_part: impl Fn(&u8) -> bool, by: &[&str]) {
    let Some(start) = bytes[at..].iter().position(&is_part).map(|offset| at + offset) else { return };
    let end = bytes[start..].iter().position(|byte| !is_part(byte)).map_or(bytes.len(), |offset| start + offset);
    bytes.splice(start..end, dice.one(by).bytes());
}
