//! A short name for some bytes: the same have the same, others hardly ever. It guards nothing.

/// FNV-1a of 64 bits as 16 hexadecimal digits (Fowler, Noll and Vo; IETF draft-eastlake-fnv).
pub fn fingerprint(bytes: &[u8]) -> String {
    const START: u64 = 0xcbf2_9ce4_8422_2325;
    const PRIME: u64 = 0x0000_0100_0000_01b3;
    let hash = bytes.iter().fold(START, |hash, byte| (hash ^ u64::from(*byte)).wrapping_mul(PRIME));
    format!("{hash:016x}")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From the draft's test vectors.
    #[test]
    fn published_fnv_1a() {
        for (text, expected) in
            [("", "cbf29ce484222325"), ("a", "af63dc4c8601ec8c"), ("foobar", "85944171f73967e8")]
        {
            assert_eq!(fingerprint(text.as_bytes()), expected);
        }
    }
}
