//! A short name for a text: the same text has the same, another text hardly ever. It guards nothing.

/// FNV-1a of 64 bits as 16 hexadecimal digits (Fowler, Noll and Vo; constants from memory, held by the values of a
/// test).
pub fn fingerprint(text: &str) -> String {
    const START: u64 = 0xcbf2_9ce4_8422_2325;
    const PRIME: u64 = 0x0000_0100_0000_01b3;
    let hash = text.bytes().fold(START, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(PRIME));
    format!("{hash:016x}")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Test values of the 64-bit FNV-1a by its authors, from memory.
    #[test]
    fn fingerprints_of_its_authors() {
        for (text, expected) in
            [("", "cbf29ce484222325"), ("a", "af63dc4c8601ec8c"), ("foobar", "85944171f73967e8")]
        {
            assert_eq!(fingerprint(text), expected);
        }
    }
}
