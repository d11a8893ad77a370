//! Sets of records with the state that they resolve to.

use propagule_protocol::record::{
    Body, Code, Counts, Extensions, Head, Parent, Relation, Rotation, Summary, Vouch, Withdrawal,
};
use propagule_protocol::state::resolve;
use propagule_protocol::{AuthorKey, Signed, rotation_proof, sign};
use serde_json::Value as Json;

use crate::network;
use crate::sample::stands::stands;
use crate::sample::view::hex;
use crate::sample::{arm, key, month, new_summary, old_head, revocation, summary};

pub(crate) fn vectors() -> Vec<Json> {
    let sets = revisions().into_iter().chain(keys()).chain(vouches());
    sets.map(|(name, records)| vector(name, &records)).collect()
}

/// What came to trials with major 1: earlier trials, and a fourth stage.
pub(crate) fn of_major_one() -> Vec<Json> {
    let first = || follows(1, 7, None);
    let second = |signer| follows(signer, 8, Some((7, Relation::Repeat)));
    let for_another = |body: Body| match body {
        Body::Summary(body) => Body::Summary(Summary { grower_mark: Some([0xa5; 8]), ..body }),
        other => other,
    };
    let marked = signed(1, &for_another(second(1).body));
    let season = |revision, season: Option<u16>| {
        let mut arm = arm(1, 24, Some(9));
        arm.stages.season = season.map(|rooted| Counts { rooted: Some(rooted), ..Counts::default() });
        signed(1, &Body::Summary(Summary { revision, ..new_summary(vec![arm]) }))
    };
    let sets: Sets = vec![
        ("a trial repeats an earlier one", vec![second(1), first()]),
        ("the earlier trial is not held", vec![second(1)]),
        ("the earlier trial is of another author", vec![second(2), first()]),
        ("the earlier trial is of another grower", vec![marked, first()]),
        ("the earlier trial was taken back", vec![second(1), first(), withdrawal(1, "2026-12")]),
        ("a rotated key goes on from an earlier trial", vec![first(), rotation(1, 2, "2026-11"), second(2)]),
        ("a trial that follows itself", vec![follows(1, 7, Some((7, Relation::Replaces)))]),
        ("an earlier trial of major 0", vec![second(1), trial(1, 0, "2026-10", &[(1, 24, Some(9))])]),
        (
            "a later revision of a newer major",
            vec![trial(1, 0, "2026-10", &[(1, 24, Some(9))]), season(1, Some(8))],
        ),
        ("counts at season end were dropped", vec![season(0, Some(8)), season(1, None)]),
    ];
    sets.into_iter().map(|(name, records)| vector(name, &records)).collect()
}

/// A trial of major 1 under a series of one byte, and the one that it follows.
fn follows(signer: u8, series: u8, parent: Option<(u8, Relation)>) -> Signed {
    let parent = parent.map(|(series, relation)| Parent { series: [series; 16], relation });
    let body = Summary { series: [series; 16], parent, ..new_summary(vec![arm(1, 24, Some(9))]) };
    signed(signer, &Body::Summary(body))
}

fn vector(name: &str, records: &[Signed]) -> Json {
    let mut json = stands(&resolve(records));
    json["name"] = name.into();
    json["records"] = records.iter().map(|record| hex(&record.bytes)).collect();
    json
}

type Sets = Vec<(&'static str, Vec<Signed>)>;

fn revisions() -> Sets {
    let opening = || trial(1, 0, "2026-06", &[(1, 24, None), (2, 20, None)]);
    let lift = || trial(1, 1, "2026-10", &[(1, 24, Some(9)), (2, 20, Some(0))]);
    let spring = trial(1, 2, "2027-05", &[(1, 24, Some(5)), (2, 20, Some(0))]);
    let claims: Vec<Signed> = (1..=3).map(|n| trial(1, 0, "2026-10", &[(1, 24, Some(n))])).collect();
    vec![
        ("the highest revision stands", vec![spring, opening(), lift()]),
        ("opened, not reported yet", vec![opening()]),
        ("an arm vanished and another shrank", vec![opening(), trial(1, 1, "2026-10", &[(1, 18, Some(9))])]),
        ("counts were dropped", vec![lift(), trial(1, 2, "2026-12", &[(1, 24, Some(9)), (2, 20, None)])]),
        ("three records at one revision", claims),
        ("one series of two authors", vec![lift(), trial(2, 1, "2026-10", &[(1, 24, Some(9))])]),
        ("taken back before a later revision", vec![opening(), withdrawal(1, "2026-09"), lift()]),
        ("nobody takes back for another", vec![lift(), withdrawal(2, "2026-11")]),
    ]
}

fn keys() -> Sets {
    let first = || trial(1, 0, "2026-10", &[(1, 24, Some(9))]);
    let second = |signer| trial(signer, 1, "2027-05", &[(1, 24, Some(4))]);
    let chain = || vec![rotation(1, 2, "2026-11"), rotation(2, 3, "2026-12")];
    let with = |more: Vec<Signed>| [vec![first()], more].concat();
    vec![
        ("a revision under a rotated key", with([chain(), vec![second(3)]].concat())),
        ("taken back under a rotated key", with([chain(), vec![withdrawal(3, "2027-01")]].concat())),
        (
            "rotated twice",
            with(vec![rotation(1, 2, "2026-11"), rotation(1, 3, "2026-11"), second(2), second(3)]),
        ),
        ("a ring of rotations", vec![rotation(1, 2, "2026-11"), rotation(2, 1, "2026-11"), second(2)]),
        ("revoked wholly, with its rotation", with([chain(), vec![second(3), revoked(1, None)]].concat())),
        (
            "revoked from a month, after it rotated",
            with([chain(), vec![second(3), revoked(1, Some("2026-12"))]].concat()),
        ),
        (
            "revoked from a month, before it rotated",
            with([chain(), vec![second(3), revoked(1, Some("2026-11"))]].concat()),
        ),
        (
            "revoked twice, the earliest counts",
            with(vec![revoked(1, Some("2027-01")), revoked(1, Some("2026-10"))]),
        ),
        ("a void withdrawal does nothing", with(vec![withdrawal(1, "2026-12"), revoked(1, Some("2026-12"))])),
    ]
}

fn vouches() -> Sets {
    let late_unvouch = vouch_in("2026-12", 1, 5, 1, false);
    vec![
        ("vouched", vec![vouch(1, 2, 0, true)]),
        ("unvouched by a higher sequence", vec![vouch(1, 2, 3, true), vouch(1, 2, 4, false)]),
        ("a lower unvouch does nothing", vec![vouch(1, 2, 5, true), vouch(1, 2, 4, false)]),
        ("a tie is an unvouch", vec![vouch(1, 2, 4, true), vouch(1, 2, 4, false)]),
        ("nobody vouches for themselves", vec![vouch(1, 1, 0, true)]),
        (
            "a rotated key unvouches",
            vec![vouch(1, 5, 0, true), rotation(1, 2, "2026-12"), vouch(2, 5, 1, false)],
        ),
        ("a vouch for a rotated key", vec![vouch(1, 5, 0, true), rotation(5, 6, "2026-12")]),
        (
            "a void unvouch does nothing",
            vec![vouch(1, 5, 0, true), late_unvouch, revoked(1, Some("2026-12"))],
        ),
    ]
}

fn signed(signer: u8, body: &Body) -> Signed {
    sign(body, &key(signer), &network()).expect("a valid body")
}

fn trial(signer: u8, revision: u8, signed_in: &str, arms: &[(u8, u16, Option<u16>)]) -> Signed {
    let arms = arms.iter().map(|(number, started, rooted)| arm(*number, *started, *rooted)).collect();
    signed(signer, &Body::Summary(Summary { head: head(signed_in), revision, ..summary(arms) }))
}

fn head(signed_in: &str) -> Head {
    old_head(month(signed_in))
}

fn withdrawal(signer: u8, signed_in: &str) -> Signed {
    let (head, extensions) = (head(signed_in), Extensions::new());
    signed(signer, &Body::Withdrawal(Withdrawal { head, series: [7; 16], reason: Code(2), extensions }))
}

fn rotation(old: u8, new: u8, signed_in: &str) -> Signed {
    let proof = rotation_proof(&key(new), &key(old).author(), &network());
    let (head, extensions) = (head(signed_in), Extensions::new());
    signed(old, &Body::Rotation(Rotation { head, new_key: key(new).author(), proof, extensions }))
}

fn revoked(signer: u8, from: Option<&str>) -> Signed {
    signed(signer, &revocation(from.map(month)))
}

fn vouch(signer: u8, subject: u8, sequence: u8, vouches: bool) -> Signed {
    vouch_in("2026-11", signer, subject, sequence, vouches)
}

fn vouch_in(signed_in: &str, signer: u8, subject: u8, sequence: u8, vouches: bool) -> Signed {
    let (head, extensions) = (head(signed_in), Extensions::new());
    let subject: AuthorKey = key(subject).author();
    signed(signer, &Body::Vouch(Vouch { head, subject, sequence, vouches, extensions }))
}
