//! The terminal's clipboard.

use std::io::{self, Write};

/// Longest text that goes to a clipboard, bytes: terminals drop longer sequences in silence.
const LONGEST_COPY: usize = 50_000;
/// True for a text that a clipboard takes.
pub fn fits(text: &str) -> bool {
    text.len() <= LONGEST_COPY
}

/// Sends a text to the clipboard of the terminal (OSC 52 of xterm's control sequences); whether it takes it is not told.
pub fn send(text: &str) -> io::Result<()> {
    let mut out = io::stdout();
    write!(out, "\x1b]52;c;{}\x07", base64(text.as_bytes()))?;
    out.flush()
}

/// RFC 4648, section 4.
fn base64(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for chunk in bytes.chunks(3) {
        let byte = |at: usize| u32::from(chunk.get(at).copied().unwrap_or(0));
        let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
        for digit in 0..4_usize {
            let shift = 18 - 6 * u32::try_from(digit).unwrap_or(0);
            let value = usize::try_from(bits >> shift & 63).unwrap_or(0);
            let known = DIGITS.get(value).copied().map_or('=', char::from);
            out.push(if digit > chunk.len() { '=' } else { known });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn base64_gives_the_examples_of_its_standard() {
        // RFC 4648, section 10.
        for (text, wanted) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(text.as_bytes()), wanted);
        }
    }
}
