//! Base64 (RFC 4648, section 4), for pictures carried inside a file and for the page's script digest.

const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// Bytes as Base64 with padding.
pub(crate) fn base64(bytes: &[u8]) -> String {
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for chunk in bytes.chunks(3) {
        let part = |n: usize| u32::from(chunk.get(n).copied().unwrap_or(0));
        let bits = part(0) << 16 | part(1) << 8 | part(2);
        for n in 0..4 {
            if n > chunk.len() {
                out.push('=');
            } else {
                let letter = LETTERS[usize::try_from(bits >> (18 - 6 * n) & 63).unwrap_or(0)];
                out.push(char::from(letter));
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: RFC 4648, section 10 (test vectors).
    #[test]
    fn the_vectors_of_the_standard() {
        for (plain, coded) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }
}
