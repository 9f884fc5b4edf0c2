//! A damaged garden file is answered with a message or opened for what it says; it never takes the program down.

#![allow(clippy::unwrap_used, clippy::expect_used)] // a demo that cannot be read is a failed test

use std::sync::Arc;

use bedfellow::crops::CropBook;
use bedfellow::garden::Garden;
use bedfellow::season::Plan;
use bedfellow::words::explain;

const DEMO: &str = include_str!("../demo/walled-garden.ron");

/// Damage tried in one run; each is another one.
const N_TRIES: u64 = 150;

/// Damages the text in one of five ways, by a seed: cut off, cut out, doubled, a digit turned, a sign put in.
fn damaged(text: &str, seed: u64) -> String {
    // Knuth's MMIX linear congruential step, constants from memory; the low bits are weak, so the high ones are used.
    let mut state = seed;
    let mut below = |n: usize| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize % n.max(1)
    };
    for _ in 0..3 {
        below(1);
    }
    // Behind the comment at the head, where the contents are.
    let head = text.find("\n(").unwrap_or(0);
    let at = head + below(text.len() - head);
    let until = (at + 1 + below(400)).min(text.len());
    let mut bytes = text.as_bytes().to_vec();
    match seed % 5 {
        0 => bytes.truncate(at),
        1 => drop(bytes.drain(at..until)),
        2 => {
            let doubled = bytes[at..until].to_vec();
            bytes.splice(at..at, doubled);
        }
        3 => {
            if let Some(digit) = bytes[at..].iter_mut().find(|byte| byte.is_ascii_digit()) {
                *digit = b'0' + below(10) as u8;
            }
        }
        _ => bytes.insert(at, b"(){}[]\",:-9e\\\x1b\n"[below(15)]),
    }
    String::from_utf8(bytes).expect("the demo is ASCII")
}

#[test]
fn a_damaged_file_is_refused_with_a_message_or_worked_out() {
    let book = Arc::new(CropBook::embedded().unwrap());
    let (mut n_refused, mut n_opened) = (0, 0);
    for seed in 0..N_TRIES {
        let text = damaged(DEMO, seed);
        match Garden::from_ron(&text, "damaged.ron") {
            Err(error) => {
                let message = error.to_string();
                assert!(message.contains("damaged.ron"), "seed {seed}: {message}");
                assert!(!message.contains('\x1b'), "seed {seed}: a control character reaches the terminal");
                n_refused += 1;
            }
            Ok(garden) => {
                let written = garden.to_ron();
                let again = Garden::from_ron(&written, "damaged.ron").unwrap();
                assert_eq!(again.to_ron(), written, "seed {seed}");
                let plan = Plan::new(garden, &book);
                for finding in plan.findings() {
                    assert!(!explain(&plan, finding, &plan.explained(finding)).headline.is_empty(), "seed {seed}");
                }
                n_opened += 1;
            }
        }
    }
    assert!(n_refused > 40 && n_opened > 10, "{n_refused} refused, {n_opened} opened: the damage is too one-sided");
}
