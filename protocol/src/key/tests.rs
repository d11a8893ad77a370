//! Keys and signatures against RFC 8032, RFC 9052 and the published edge cases.

use coset::{CborSerializable, CoseSign1, TaggedCborSerializable};

use super::*;

#[test]
fn debug_never_shows_the_seed() {
    let key = SecretKey::from_bytes(&[0xa5; 32]);
    assert!(!format!("{key:?}").contains("a5a5a5"));
    assert!(format!("{key:?}").contains(&key.author().to_string()));
}

#[test]
fn generated_keys_differ_and_come_back_from_their_bytes() {
    let (a, b) = (SecretKey::generate().expect("entropy"), SecretKey::generate().expect("entropy"));
    assert_ne!(a.author(), b.author());
    assert_eq!(SecretKey::from_bytes(&a.to_bytes()).author(), a.author());
}

#[test]
fn keys_of_small_order_or_with_a_second_spelling_are_refused() {
    let mut identity = [0; 32];
    identity[0] = 1;
    assert_eq!(AuthorKey(identity).check(), Err(KeyFault::SmallOrder));
    assert_eq!(AuthorKey([0; 32]).check(), Err(KeyFault::SmallOrder));
    // y = p: a second spelling of y = 0 (from memory of the curve's field prime 2^255 − 19).
    let mut prime = [0xff; 32];
    (prime[0], prime[31]) = (0xed, 0x7f);
    assert_eq!(AuthorKey(prime).check(), Err(KeyFault::NotCanonical));
    assert!((0..=255).any(|n| AuthorKey([n; 32]).check() == Err(KeyFault::NotAPoint)));
}

fn unhex(text: &str) -> Vec<u8> {
    let digits: Vec<u8> = text.chars().map(|d| d.to_digit(16).expect("hex digits") as u8).collect();
    digits.chunks(2).map(|pair| pair[0] << 4 | pair[1]).collect()
}

fn fixed<const N: usize>(text: &str) -> [u8; N] {
    unhex(text).try_into().expect("the right length")
}

/// RFC 8032 §7.1, tests 1 to 3 and SHA(abc): secret key, public key, message, signature.
const RFC_8032: [[&str; 4]; 4] = [
    [
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
    ],
    [
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "72",
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
    ],
    [
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
    ],
    [
        "833fe62409237b9d62ec77587520911e9a759cec1d19755b7da901b96dca3d42",
        "ec172b93ad5e563bf4932c70e1245034c35467ef2efd4d64ebf819683467e2bf",
        "ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a2192992a274fc1a836ba3c23a3feebbd454d4423643ce80e2a9ac94fa54ca49f",
        "dc2a4459e7369633a52b1bf277839a00201009a3efbf3ecb69bea2186c26b58909351fc9ac90b3ecfdfbc7c66431e0303dca179c138ac17ad9bef1177331a704",
    ],
];

#[test]
fn keys_and_signatures_are_those_of_rfc_8032() {
    for [secret, public, message, signature] in RFC_8032 {
        let key = SecretKey::from_bytes(&fixed(secret));
        assert_eq!(key.author(), AuthorKey(fixed(public)));
        assert_eq!(key.sign(&unhex(message)), fixed::<64>(signature));
        let checked = key.author().checked().expect("a good key");
        assert!(verify(&checked, &unhex(message), &fixed(signature)));
        assert!(!verify(&checked, b"another message", &fixed(signature)));
    }
}

/// Sources and verdicts stand at the head of the file.
#[test]
fn published_edge_cases_are_judged_strictly() {
    let rows = include_str!("../../tests/data/ed25519-edges.tsv").lines().filter(|row| !row.starts_with('#'));
    let mut taken = Vec::new();
    for row in rows {
        let columns: Vec<&str> = row.split('\t').collect();
        let key = AuthorKey(fixed(columns[1])).checked();
        let holds = key.is_ok_and(|key| verify(&key, &unhex(columns[0]), &fixed(columns[2])));
        assert_eq!(holds, columns[3] == "take", "{}", columns[4]);
        taken.push(holds);
    }
    assert_eq!((taken.len(), taken.iter().filter(|holds| **holds).count()), (10, 1));
}

/// COSE working group examples for RFC 9052: eddsa-sig-01 (key of RFC 8032 test 1) holds under the
/// `Sig_structure` that we sign.
#[test]
fn the_eddsa_example_of_the_cose_working_group_holds() {
    let record = "d28445a201270300a10442313154546869732069732074686520636f6e74656e742e58407142fd2ff96d56db85bee905a76ba1d0b7321a95c8c4d3607c5781932b7afb8711497dfa751bf40b58b3bcc32300b1487f3db34085eef013bf08f4a44d6fef0d";
    let cose = CoseSign1::from_tagged_slice(&unhex(record)).expect("a COSE_Sign1");
    let key = AuthorKey(fixed(RFC_8032[0][1])).checked().expect("a good key");
    let signature = cose.signature.as_slice().try_into().expect("64 bytes");
    assert!(verify(&key, &cose.tbs_data(b""), &signature));
    assert!(!verify(&key, &cose.tbs_data(b"other external data"), &signature));
}

/// COSE working group example sign-pass-02: the published bytes to be signed, with external data. (Its
/// sibling sign-pass-01 is about an empty protected header, which no record has.)
#[test]
fn the_sig_structure_is_that_of_rfc_9052() {
    let message = "8443a10126a10442313154546869732069732074686520636f6e74656e742e40";
    let signed = "846a5369676e61747572653143a101264c11aa22bb33cc44dd5500669954546869732069732074686520636f6e74656e742e";
    let cose = CoseSign1::from_slice(&unhex(message)).expect("a COSE_Sign1");
    assert_eq!(cose.tbs_data(&unhex("11aa22bb33cc44dd55006699")), unhex(signed));
}
