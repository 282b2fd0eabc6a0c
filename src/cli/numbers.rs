//! JSON on one line, with numbers written as JavaScript writes them (ECMA-262, Number::toString, as RFC 8785 asks):
//! so the program and the page give the same bytes.

use std::io::{self, Write};

use serde::Serialize;
use serde_json::Serializer;
use serde_json::ser::{CompactFormatter, Formatter};

struct OneLine;

impl Formatter for OneLine {
    fn write_f64<W: ?Sized + Write>(&mut self, writer: &mut W, value: f64) -> io::Result<()> {
        let mut text = Vec::new();
        CompactFormatter.write_f64(&mut text, value)?;
        writer.write_all(as_javascript(&String::from_utf8_lossy(&text)).as_bytes())
    }
}

/// The same digits, laid out as JavaScript does.
fn as_javascript(text: &str) -> String {
    let (sign, size) = match text.strip_prefix('-') {
        Some(size) => ("-", size),
        None => ("", text),
    };
    let (figures, exponent) = size.split_once('e').unwrap_or((size, "0"));
    let (whole, part) = figures.split_once('.').unwrap_or((figures, ""));
    let all = format!("{whole}{part}");
    let leading = all.len() - all.trim_start_matches('0').len();
    let digits = all.trim_matches('0');
    if digits.is_empty() {
        return "0".into();
    }
    // The number is 0.DIGITS times ten to the power of `point`.
    let point = whole.len() as i32 - leading as i32 + exponent.parse::<i32>().unwrap_or(0);
    let count = digits.len() as i32;
    let zeros = |count: i32| "0".repeat(count.max(0) as usize);
    match point {
        1..=21 if count <= point => format!("{sign}{digits}{}", zeros(point - count)),
        1..=21 => {
            let (before, after) = digits.split_at(point as usize);
            format!("{sign}{before}.{after}")
        }
        -5..=0 => format!("{sign}0.{}{digits}", zeros(-point)),
        _ => {
            let (first, rest) = digits.split_at(1);
            let dot = if rest.is_empty() { "" } else { "." };
            format!("{sign}{first}{dot}{rest}e{:+}", point - 1)
        }
    }
}

/// Adds a value and the end of its line.
pub(crate) fn one_line(value: &impl Serialize, text: &mut Vec<u8>) {
    let before = text.len();
    if value
        .serialize(&mut Serializer::with_formatter(&mut *text, OneLine))
        .is_err()
    {
        // Only a map whose keys are no text cannot be written, and answers have none.
        text.truncate(before);
    }
    text.push(b'\n');
}

#[cfg(test)]
mod tests {
    use super::one_line;

    #[test]
    fn numbers_are_written_as_rfc_8785_lists_them() {
        // RFC 8785, appendix B, from memory: the bits of a number, and its text. A JavaScript engine prints the same.
        for (bits, text) in [
            (0x0000_0000_0000_0000, "0"),
            (0x8000_0000_0000_0000, "0"),
            (0x0000_0000_0000_0001, "5e-324"),
            (0x8000_0000_0000_0001, "-5e-324"),
            (0x7fef_ffff_ffff_ffff, "1.7976931348623157e+308"),
            (0xffef_ffff_ffff_ffff, "-1.7976931348623157e+308"),
            (0x4340_0000_0000_0000, "9007199254740992"),
            (0xc340_0000_0000_0000, "-9007199254740992"),
            (0x4430_0000_0000_0000, "295147905179352830000"),
            (0x44b5_2d02_c7e1_4af5, "9.999999999999997e+22"),
            (0x44b5_2d02_c7e1_4af6, "1e+23"),
            (0x44b5_2d02_c7e1_4af7, "1.0000000000000001e+23"),
            (0x444b_1ae4_d6e2_ef4e, "999999999999999700000"),
            (0x444b_1ae4_d6e2_ef4f, "999999999999999900000"),
            (0x444b_1ae4_d6e2_ef50, "1e+21"),
            (0x3eb0_c6f7_a0b5_ed8c, "9.999999999999997e-7"),
            (0x3eb0_c6f7_a0b5_ed8d, "0.000001"),
            (0x41b3_de43_5555_5553, "333333333.3333332"),
            (0x41b3_de43_5555_5554, "333333333.33333325"),
            (0x41b3_de43_5555_5555, "333333333.3333333"),
            (0x41b3_de43_5555_5556, "333333333.3333334"),
            (0x41b3_de43_5555_5557, "333333333.33333343"),
            (0xbecb_f647_612f_3696, "-0.0000033333333333333333"),
            (0x4314_3ff3_c1cb_0959, "1424953923781206.2"),
        ] {
            let mut line = Vec::new();
            one_line(&f64::from_bits(bits), &mut line);
            assert_eq!(String::from_utf8_lossy(&line).trim_end(), text, "{bits:x}");
        }
    }
}
