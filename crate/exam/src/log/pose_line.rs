//! Lines of a log that hold a pose, read fast: they are nearly all of it, and a class has millions.
//!
//! Only the form in which such a line is written is known here, letter by letter. Whatever else a line may be is for the general
//! reader, which would read these lines alike.

use instrument::pose::{Face, Pose, Side};

use super::Entry;
use crate::event::Event;

/// The entry of a line as `Log::to_text` writes a pose.
pub(super) fn read(line: &str) -> Option<Entry> {
    let (t_ms, rest) = number(line.strip_prefix('[')?);
    let (face, rest) =
        word(rest.strip_prefix(r#",{"pose":{"face":""#)?, [("upper", Face::Upper), ("lower", Face::Lower)])?;
    let (side, rest) = word(rest.strip_prefix(r#"","side":""#)?, [("A", Side::A), ("B", Side::B)])?;
    let (index_offset_mm, rest) = number(rest.strip_prefix(r#"","index_offset_mm":"#)?);
    let (y_mm, rest) = number(rest.strip_prefix(r#","y_mm":"#)?);
    let (skew_deg, rest) = number(rest.strip_prefix(r#","skew_deg":"#)?);
    let pose = Pose {
        face,
        side,
        index_offset_mm: decimal(index_offset_mm)?,
        y_mm: decimal(y_mm)?,
        skew_deg: decimal(skew_deg)?,
    };
    (rest == "}}]").then(|| whole(t_ms).map(|t_ms| Entry(t_ms, Event::Pose(pose))))?
}

/// What a number may be made of, and the rest of the line.
fn number(text: &str) -> (&str, &str) {
    let end = text.bytes().position(|byte| !matches!(byte, b'0'..=b'9' | b'.' | b'-'));
    text.split_at(end.unwrap_or(text.len()))
}

/// What the word at the beginning stands for, and the rest of the line.
fn word<'a, T: Copy>(text: &'a str, words: [(&str, T); 2]) -> Option<(T, &'a str)> {
    words.into_iter().find_map(|(word, meaning)| Some((meaning, text.strip_prefix(word)?)))
}

/// A whole number without a needless zero.
fn whole(digits: &str) -> Option<u64> {
    let plain = is_digits(digits) && (digits == "0" || !digits.starts_with('0'));
    plain.then(|| digits.parse().ok())?
}

/// A number with digits on both sides of its point.
fn decimal(number: &str) -> Option<f64> {
    let (whole_part, fraction) = number.strip_prefix('-').unwrap_or(number).split_once('.')?;
    whole(whole_part)?;
    is_digits(fraction).then(|| number.parse().ok())?
}

fn is_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::{Entry, Event, Face, Pose, Side, read};

    proptest! {
        /// Every pose is read as it was written, most of them here.
        #[test]
        fn a_pose_is_read_as_it_was_written(
            t_ms in any::<u64>(), lower in any::<bool>(), b in any::<bool>(),
            numbers in prop::array::uniform3(prop_oneof![-1.0e4_f64..1.0e4, (-4000_i32..4000).prop_map(|n| f64::from(n) / 10.0)]),
        ) {
            let [index_offset_mm, y_mm, skew_deg] = numbers;
            let face = if lower { Face::Lower } else { Face::Upper };
            let pose = Pose { face, side: if b { Side::B } else { Side::A }, index_offset_mm, y_mm, skew_deg };
            let entry = Entry(t_ms, Event::Pose(pose));
            let line = serde_json::to_string(&entry).unwrap();
            // Numbers too small for plain digits are left to the general reader.
            prop_assert!(line.contains("e-") || read(&line) == Some(entry.clone()), "{line}");
            prop_assert_eq!(crate::json::read::<Entry>(line.as_bytes()).unwrap(), entry);
        }

        /// A line with one byte changed is read as the general reader reads it, or left to it.
        #[test]
        fn what_is_read_is_what_the_general_reader_reads(at in 0_usize..90, byte in 32_u8..127) {
            let mut line = br#"[120,{"pose":{"face":"upper","side":"A","index_offset_mm":15.25,"y_mm":-3.5,"skew_deg":0.0}}]"#.to_vec();
            let at = at.min(line.len() - 1);
            line[at] = byte;
            if let Some(entry) = read(std::str::from_utf8(&line).unwrap()) {
                prop_assert_eq!(crate::json::read::<Entry>(&line).unwrap(), entry);
            }
        }
    }

    #[test]
    fn what_is_no_plain_pose_is_left_to_the_general_reader() {
        let line =
            r#"[120,{"pose":{"face":"upper","side":"A","index_offset_mm":15.0,"y_mm":3.5,"skew_deg":0.0}}]"#;
        assert!(read(line).is_some());
        for (from, to) in [
            ("120", "0120"),
            ("15.0", "15"),
            ("15.0", "015.0"),
            ("15.0", "1.5e1"),
            ("15.0", ".5"),
            ("15.0", "+1.0"),
            ("15.0", "inf"),
            ("15.0", "1_0.0"),
            ("upper", "up"),
            ("}}]", "}}] "),
            ("[", " ["),
            ("\"A\"", "\"C\""),
            ("120", ""),
        ] {
            let other = line.replacen(from, to, 1);
            assert_ne!(other, line);
            assert_eq!(read(&other), None, "{other}");
        }
    }
}
