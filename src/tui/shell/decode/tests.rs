use proptest::prelude::*;

use super::*;

/// What bytes are that come in these portions, with a pause after the last.
fn inputs_of<'a>(portions: impl IntoIterator<Item = &'a [u8]>) -> Vec<Input> {
    let (mut decoder, mut inputs) = (Decoder::default(), Vec::new());
    for portion in portions {
        decoder.take(portion, &mut inputs);
    }
    if decoder.is_waiting() {
        decoder.pause(&mut inputs);
    }
    inputs
}

fn keys_of(bytes: &[u8]) -> Vec<Key> {
    let key = |input| match input {
        Input::Key(key) => key,
        other => panic!("{other:?}"),
    };
    inputs_of([bytes]).into_iter().map(key).collect()
}

#[test]
fn keys_are_what_terminals_send_for_them() {
    let rows: [(&[u8], Key); 39] = [
        (b"a", Key::Char('a')),
        (b"\r", Key::Enter),
        (b"\n", Key::Enter),
        (b"\t", Key::Tab),
        (b"\x7f", Key::Backspace),
        (b"\x08", Key::Backspace),
        (b"\x03", Key::Ctrl('c')),
        (b"\x12", Key::Ctrl('r')),
        (b"\x1a", Key::Ctrl('z')),
        (b"\x1d", Key::Ctrl('5')),
        (b"\0", Key::Ctrl(' ')),
        (b"\x1b", Key::Esc),
        (b"\x1b[A", Key::Up),
        (b"\x1b[B", Key::Down),
        (b"\x1b[C", Key::Right),
        (b"\x1b[D", Key::Left),
        (b"\x1bOA", Key::Up),
        (b"\x1bOH", Key::Home),
        (b"\x1bOM", Key::Enter),
        (b"\x1bOk", Key::Char('+')),
        (b"\x1bOy", Key::Char('9')),
        (b"\x1b[H", Key::Home),
        (b"\x1b[1~", Key::Home),
        (b"\x1b[7~", Key::Home),
        (b"\x1b[F", Key::End),
        (b"\x1b[4~", Key::End),
        (b"\x1b[3~", Key::Delete),
        (b"\x1b[3;5~", Key::Delete),
        (b"\x1b[3^", Key::Delete),
        (b"\x1b[5~", Key::PageUp),
        (b"\x1b[6~", Key::PageDown),
        (b"\x1b[Z", Key::BackTab),
        (b"\x1b[1;2A", Key::Up),
        (b"\x1b[97;5u", Key::Ctrl('a')),
        (b"\x1b[97;2u", Key::Char('A')),
        (b"\x1b[27;5;114~", Key::Ctrl('r')),
        (b"\x1b[9;2u", Key::BackTab),
        ("ä".as_bytes(), Key::Char('ä')),
        ("🥕".as_bytes(), Key::Char('🥕')),
    ];
    for (bytes, key) in rows {
        assert_eq!(keys_of(bytes), [key], "{}", bytes.escape_ascii());
    }
}

#[test]
fn what_is_no_key_is_nothing_and_leaves_what_follows_alone() {
    let rows: [&[u8]; 20] = [
        b"\x1bOP",
        b"\x1b[15~",
        b"\x1b[2~",
        b"\x1b[[A",
        b"\x1b[I",
        b"\x1b[O",
        b"\x1b[?1;2c",
        b"\x1b[>0;276;0c",
        b"\x1b[24;80R",
        b"\x1b[?2026;2$y",
        b"\x1b]11;rgb:1e1e/1e1e/1e1e\x1b\\",
        b"\x1b]4;1;rgb:0000/0000/0000\x07",
        b"\x1bP>|terminal 1.0\x1b\\",
        b"\x1b_G31;OK\x1b\\",
        b"\x1b[201~",
        b"\x1b[57441u",
        b"\x1b[97;1:3u",
        b"\x1b[120;1:2u",
        b"\x1b[99999999999999999999;5u",
        b"\xff\xfe\x80\xc0",
    ];
    for bytes in rows {
        assert_eq!(keys_of(&[bytes, b"q"].concat()), [Key::Char('q')], "{}", bytes.escape_ascii());
    }
    let long = [b"\x1b[", "1;".repeat(5_000).as_bytes(), b"Aq"].concat();
    assert_eq!(keys_of(&long).last(), Some(&Key::Char('q')));
}

#[test]
fn escape_is_told_from_sequences_and_alt_is_let_go() {
    assert_eq!(keys_of(b"\x1b\x1b"), [Key::Esc, Key::Esc]);
    assert_eq!(keys_of(b"\x1b\x1b[A"), [Key::Esc, Key::Up]);
    assert_eq!(keys_of(b"\x1bq"), [Key::Char('q')]);
    assert_eq!(keys_of(b"\x1b\r"), [Key::Enter]);
    for (bytes, key) in [(&b"\x1b["[..], '['), (b"\x1bO", 'O'), (b"\x1b]", ']'), (b"\x1bP", 'P')] {
        assert_eq!(keys_of(bytes), [Key::Char(key)], "{}", bytes.escape_ascii());
    }
    assert_eq!(keys_of(b"\x1b]q"), [Key::Char(']'), Key::Char('q')]);
    // A pause within a sequence ends it; what comes later is typed.
    let (mut decoder, mut inputs) = (Decoder::default(), Vec::new());
    decoder.take(b"\x1b", &mut inputs);
    assert!(decoder.is_waiting() && inputs.is_empty());
    decoder.pause(&mut inputs);
    decoder.take(b"[A", &mut inputs);
    assert_eq!(inputs, [Key::Esc, Key::Char('['), Key::Char('A')].map(Input::Key));
    assert!(!decoder.is_waiting());
}

#[test]
fn no_half_sequence_keeps_ctrl_c_from_being_heard() {
    let rows: [&[u8]; 11] = [
        b"\x1b",
        b"\x1bO",
        b"\x1b[",
        b"\x1b[1;",
        b"\x1b[?",
        b"\x1b[<0;3",
        b"\x1b[[",
        b"\x1b[M !",
        b"\x1b]11;rgb:",
        b"\x1bP>|t\x1b",
        b"\xf0\x9f",
    ];
    for bytes in rows {
        assert_eq!(keys_of(&[bytes, b"\x03"].concat()).last(), Some(&Key::Ctrl('c')), "{}", bytes.escape_ascii());
    }
}

#[test]
fn a_paste_is_text_whatever_stands_in_it() {
    let text = "two\nlines\r\u{1b}[A\u{1b}\u{1b}[200~ and \u{3}漢";
    let bytes = [b"\x1b[200~", text.as_bytes(), b"\x1b[201~q"].concat();
    assert_eq!(inputs_of([&bytes[..]]), [Input::Paste(text.to_owned()), Input::Key(Key::Char('q'))]);
    // Of a long one the beginning is kept.
    let long = [b"\x1b[200~", "a".repeat(1_000_000).as_bytes(), b"\x1b[201~"].concat();
    let inputs = inputs_of([&long[..]]);
    assert!(matches!(&inputs[..], [Input::Paste(text)] if text.len() == PASTE_BYTES));
}

#[test]
fn a_paste_without_an_end_outlasts_pauses_and_is_ended_by_ctrl_c_alone() {
    let (mut decoder, mut inputs) = (Decoder::default(), Vec::new());
    decoder.take(b"\x1b[200~one", &mut inputs);
    decoder.pause(&mut inputs);
    // What comes after a pause is still no command.
    decoder.take(b"x", &mut inputs);
    decoder.take(b"\x03", &mut inputs);
    assert!(inputs.is_empty() && decoder.is_waiting());
    decoder.pause(&mut inputs);
    assert!(!decoder.is_waiting());
    decoder.take(b"\x03", &mut inputs);
    assert_eq!(inputs, [Input::Paste("onex\u{3}".to_owned()), Input::Key(Key::Ctrl('c'))]);
}

#[test]
fn the_mouse_is_read_in_each_of_its_three_ways() {
    let click = [Input::Click(9, 4)];
    for bytes in [&b"\x1b[<0;10;5M"[..], b"\x1b[32;10;5M", b"\x1b[M *%"] {
        assert_eq!(inputs_of([bytes]), click, "{}", bytes.escape_ascii());
    }
    assert_eq!(inputs_of([&b"\x1b[<64;10;5M"[..]]), [Input::Wheel(-1)]);
    assert_eq!(inputs_of([&b"\x1b[<65;10;5M"[..]]), [Input::Wheel(1)]);
    // Let go, moved, other buttons, and a place that is none.
    for bytes in
        [&b"\x1b[<0;10;5m"[..], b"\x1b[<32;10;5M", b"\x1b[<2;10;5M", b"\x1b[<0;0;5M", b"\x1b[M   ", b"\x1b[M#*%"]
    {
        assert_eq!(inputs_of([bytes]), [], "{}", bytes.escape_ascii());
    }
}

/// Pieces of what a terminal sends.
fn piece() -> impl Strategy<Value = Vec<u8>> {
    prop_oneof![
        prop::sample::select(vec![
            &b"\x1b[A"[..],
            b"\x1b",
            b"\x1b[200~",
            b"\x1b[201~",
            b"\x1b[<0;3;4M",
            b"\x1b[M !!",
            b"\x1bOB",
            b"\x1b]0;",
            b"\x1b\\",
            "ä漢🥕".as_bytes(),
            b"q",
            b"\x03",
        ])
        .prop_map(<[u8]>::to_vec),
        prop::collection::vec(any::<u8>(), 0..6),
    ]
}

proptest! {
    #[test]
    fn the_same_bytes_are_the_same_inputs_in_whatever_portions_they_come(
        pieces in prop::collection::vec(piece(), 0..20),
        cuts in prop::collection::vec(any::<prop::sample::Index>(), 0..12),
    ) {
        let bytes = pieces.concat();
        let mut places: Vec<usize> = cuts.iter().map(|cut| cut.index(bytes.len() + 1)).collect();
        places.extend([0, bytes.len()]);
        places.sort_unstable();
        let portions = places.windows(2).map(|pair| &bytes[pair[0]..pair[1]]);
        prop_assert_eq!(inputs_of(portions), inputs_of([&bytes[..]]));
        prop_assert_eq!(inputs_of(bytes.chunks(1)), inputs_of([&bytes[..]]));
    }
}
