//! Identifiers that come out the same every time: the UUID of a name, and its short form in IFC.
//!
//! In: what a thing is called. Out: the 22 characters of an `IfcGloballyUniqueId`. No chance and no
//! clock has a part in it, so that a model that is written again is the same model to what reads it.

/// The UUID of a name by SHA-1: version 5 of RFC 9562 (RFC 4122, 4.3).
#[must_use]
pub fn named_uuid(space: u128, name: &str) -> u128 {
    let mut bytes = space.to_be_bytes().to_vec();
    bytes.extend(name.as_bytes());
    let hash = sha1(&bytes);
    let mut head = [0; 16];
    head.copy_from_slice(&hash[..16]);
    let version = 0x5_u128 << 76;
    let variant = 0b10_u128 << 62;
    let clear = !((0xf_u128 << 76) | (0b11_u128 << 62));
    u128::from_be_bytes(head) & clear | version | variant
}

/// The space that our names are in: the UUID of `rakewell` in the nil space.
pub const OUR_SPACE: u128 = 0xe472_b3e1_a5bb_550d_8bc5_6a31_4dc0_56ba;

/// The digits of IFC's base 64, from nought (buildingSMART, IFC GUID).
const DIGITS: &[u8; 64] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_$";

/// The short form: 128 bits in 22 digits of 6, the first of which holds 2 only.
#[must_use]
pub(super) fn compressed(uuid: u128) -> String {
    (0..22)
        .rev()
        .map(|place| {
            // Six bits, so always within the digits.
            let digit = ((uuid >> (6 * place)) & 63) as usize;
            char::from(DIGITS[digit])
        })
        .collect()
}

/// SHA-1 (FIPS 180-4, 6.1). It names things here; nothing is kept safe by it.
fn sha1(message: &[u8]) -> [u8; 20] {
    let mut state: [u32; 5] = [
        0x6745_2301,
        0xefcd_ab89,
        0x98ba_dcfe,
        0x1032_5476,
        0xc3d2_e1f0,
    ];
    let mut padded = message.to_vec();
    padded.push(0x80);
    while padded.len() % 64 != 56 {
        padded.push(0);
    }
    padded.extend((message.len() as u64 * 8).to_be_bytes());
    for block in padded.chunks_exact(64) {
        let mut words = [0_u32; 80];
        for (word, bytes) in words.iter_mut().zip(block.chunks_exact(4)) {
            *word = bytes
                .iter()
                .fold(0, |word, byte| (word << 8) | u32::from(*byte));
        }
        for at in 16..80 {
            words[at] =
                (words[at - 3] ^ words[at - 8] ^ words[at - 14] ^ words[at - 16]).rotate_left(1);
        }
        state = turned(state, &words);
    }
    let mut hash = [0; 20];
    for (bytes, word) in hash.chunks_exact_mut(4).zip(state) {
        bytes.copy_from_slice(&word.to_be_bytes());
    }
    hash
}

/// The eighty rounds of one block.
fn turned(state: [u32; 5], words: &[u32; 80]) -> [u32; 5] {
    let [mut a, mut b, mut c, mut d, mut e] = state;
    for (at, word) in words.iter().enumerate() {
        let (mixed, constant) = match at {
            0..20 => ((b & c) | (!b & d), 0x5a82_7999_u32),
            20..40 => (b ^ c ^ d, 0x6ed9_eba1),
            40..60 => ((b & c) | (b & d) | (c & d), 0x8f1b_bcdc),
            _ => (b ^ c ^ d, 0xca62_c1d6),
        };
        let next = a
            .rotate_left(5)
            .wrapping_add(mixed)
            .wrapping_add(e)
            .wrapping_add(constant)
            .wrapping_add(*word);
        [a, b, c, d, e] = [next, a, b.rotate_left(30), c, d];
    }
    let added = [a, b, c, d, e];
    std::array::from_fn(|at| state[at].wrapping_add(added[at]))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hex(bytes: &[u8]) -> String {
        bytes.iter().map(|byte| format!("{byte:02x}")).collect()
    }

    #[test]
    fn hashes_are_those_of_the_standard() {
        // FIPS 180 examples: "abc", and the message of 448 bits that needs a second block.
        assert_eq!(
            hex(&sha1(b"abc")),
            "a9993e364706816aba3e25717850c26c9cd0d89d"
        );
        assert_eq!(
            hex(&sha1(
                b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"
            )),
            "84983e441c3bd26ebaae4aa1f95129e5e54670f1"
        );
        assert_eq!(hex(&sha1(b"")), "da39a3ee5e6b4b0d3255bfef95601890afd80709");
    }

    #[test]
    fn uuids_of_names_are_those_of_the_standard() {
        // RFC 9562, A.4: version 5 of "www.example.com" in the space of DNS.
        let dns = 0x6ba7_b810_9dad_11d1_80b4_00c0_4fd4_30c8;
        assert_eq!(
            named_uuid(dns, "www.example.com"),
            0x2ed6_657d_e927_568b_95e1_2665_a8ae_a6a2
        );
        assert_eq!(named_uuid(0, "rakewell"), OUR_SPACE);
    }

    #[test]
    fn short_forms_are_base_64_with_other_digits() {
        // A pair that a vendor prints for its own conversion (found by search, November 2026).
        assert_eq!(
            compressed(0xc2e6_3fbc_194a_4895_a7a8_62c9_b0d5_cc7b),
            "32vZ_y6Kf8bQUeOicmrSnx"
        );
        // By hand: all bits clear, all set (two bits in the first digit, so 3), and one bit in each
        // of the two lowest digits. Held against ifcopenshell in tests/reference/building.py.
        assert_eq!(compressed(0), "0000000000000000000000");
        assert_eq!(compressed(u128::MAX), "3$$$$$$$$$$$$$$$$$$$$$");
        assert_eq!(compressed(0b1_000_001), "0000000000000000000011");
        assert_eq!(compressed(63), "000000000000000000000$");
        assert_eq!(compressed(36 << 6), "00000000000000000000a0");
    }
}
