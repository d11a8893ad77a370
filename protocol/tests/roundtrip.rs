//! Any summary within the schema is signed, judged and read back as it was, or refused for one of the rules.

mod sample;

use propagule_protocol::record::{
    Arm, Auxin, Body, Code, Counts, DesignFlags, Extensions, Facets, Head, Parent, Phase, Region, Relation,
    StageCounts, Summary, Taxon, Weeks,
};
use propagule_protocol::{Judged, Month, SignError, judge, reopen, sign};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use sample::{key, network};

fn code() -> impl Strategy<Value = Code> {
    any::<u8>().prop_map(Code)
}

fn month() -> impl Strategy<Value = Month> {
    (0..3600_u16).prop_map(Month)
}

fn extensions() -> impl Strategy<Value = Extensions> {
    let value = prop_oneof![any::<u32>().prop_map(Into::into), "[a-z]{0,8}".prop_map(ciborium::Value::from)];
    proptest::collection::btree_map(64..u64::MAX, value, 0..2)
}

fn taxon() -> impl Strategy<Value = Taxon> {
    let epithet = || "[a-z][a-z-]{1,12}";
    let name = || "[A-Za-zéöščñ0-9' ]{1,20}";
    let parts = (
        epithet(),
        option::of(epithet()),
        option::of((any::<u8>(), epithet())),
        option::of(name()),
        option::of(name()),
        0..8_u8,
        option::of((epithet(), epithet())),
    );
    parts.prop_map(|(genus, species, infraspecific, group, cultivar, marks, other_parent)| Taxon {
        genus,
        species,
        infraspecific,
        group,
        cultivar,
        marks,
        other_parent,
        has_extensions: false,
    })
}

fn region() -> impl Strategy<Value = Region> {
    let bins =
        (option::of(1..=13_u8), option::of(-20..=12_i8), option::of(-10..=12_i8), option::of(0..=30_u8));
    (code(), option::of(code()), bins, extensions()).prop_map(
        |(rule, koppen, (zone, coldest, hottest, rain), extensions)| Region {
            rule,
            koppen,
            zone,
            coldest,
            hottest,
            rain,
            extensions,
        },
    )
}

fn facets() -> impl Strategy<Value = Facets> {
    let codes = vec(option::of(code()), 15);
    let auxin = (code(), code(), option::of(0..=50_000_u16));
    let auxin = auxin.prop_map(|(substance, form, dose)| Auxin { substance, form, dose });
    let lists = (option::of(vec((code(), 0..=100_u8), 1..=6)), option::of(vec(auxin, 1..=3)));
    let numbers = (
        option::of(-5..=40_i8),
        option::of((0..=104_u8, 0..=104_u8)),
        option::of(0..=99_u8),
        option::of(0..=20_u8),
        option::of("[A-Za-z ]{1,20}"),
    );
    (code(), codes, lists, numbers, option::of(taxon()), extensions()).prop_map(
        |(
            kind,
            c,
            (medium, auxin),
            (bottom_heat, stratification, bbch, tips, cultivar),
            rootstock,
            extensions,
        )| {
            Facets {
                kind,
                wood: c[0],
                form: c[1],
                medium,
                auxin,
                solvent: c[2],
                wound: c[3],
                leaves: c[4],
                humidity: c[5],
                bottom_heat,
                bottom_heat_state: c[13].filter(|_| bottom_heat.is_none()),
                container: c[6],
                growing_place: c[7],
                rootstock,
                stratification,
                bbch,
                stock_origin: c[8],
                stock_age: c[9],
                watering: c[10],
                tip_nodes_removed: tips,
                flower_buds: c[11],
                light: c[12],
                cultivar,
                scarified: c[14],
                extensions,
            }
        },
    )
}

/// Counts that often, but not always, keep the rules.
fn counts() -> impl Strategy<Value = Counts> {
    let n = |most: u16| option::of(0..=most);
    let early = (n(12), n(6), n(6), n(4), n(4));
    let late = (
        option::weighted(0.2, 0..=3_u16),
        option::weighted(0.2, 0..=4_u16),
        option::weighted(0.1, 0..=2_u16),
        option::weighted(0.3, 0..=9_u16),
    );
    let list = || option::weighted(0.2, vec(0..=3_u16, 2..4));
    let replicates = (list(), list());
    (early, late, replicates, extensions()).prop_map(
        |(
            (alive, callused, rooted, dead, lost),
            (established, finished, left, ever_rooted),
            (replicates, lost_by_replicate),
            extensions,
        )| {
            Counts {
                alive,
                callused,
                rooted,
                established,
                finished,
                dead,
                lost,
                replicates,
                left_as_finished: left,
                ever_rooted,
                lost_by_replicate,
                extensions,
            }
        },
    )
}

fn arm() -> impl Strategy<Value = Arm> {
    let later = || option::weighted(0.2, counts());
    let stages = (option::of(counts()), later(), later(), later());
    let stages = stages.prop_map(|(lift, season, spring, last)| StageCounts { lift, season, spring, last });
    let phase = (1..=520_u16, facets()).prop_map(|(after_weeks, facets)| Phase { after_weeks, facets });
    let optional = (
        option::weighted(0.2, vec(0..=20_u16, 2..4)),
        option::of(-12..=12_i8),
        option::of(1..=255_u8),
        option::of(0..=520_u16),
    );
    (10..40_u16, facets(), stages, optional, vec(phase, 0..=2), extensions()).prop_map(
        |(started, facets, stages, (replicates, offset, difference, weeks), phases, extensions)| Arm {
            number: 1,
            started: replicates.as_ref().map_or(started, |each| each.iter().sum::<u16>().max(1)),
            facets,
            stages,
            replicates,
            start_offset_months: offset,
            unlisted_difference: difference,
            phases,
            weeks_to_lift: weeks,
            extensions,
        },
    )
}

fn summary() -> impl Strategy<Value = Summary> {
    let week = || option::of(0..=520_u16);
    let weeks = (week(), week(), week(), week());
    let weeks = weeks.prop_map(|(lift, season, spring, last)| Weeks { lift, season, spring, last });
    let head = (0..24_u8, month()).prop_map(|(minor, signed)| Head { minor, ..Head::of_summary(signed) });
    let what = (head, any::<[u8; 16]>(), 0..=31_u8, taxon(), region(), month());
    let parent = (any::<[u8; 16]>(), proptest::sample::select(Relation::ALL.to_vec()));
    let parent = option::of(parent.prop_map(|(series, relation)| Parent { series, relation }));
    let how = (weeks, 0..=1023_u16, option::of(1..=4_u8), parent, option::weighted(0.5, 1..4_u8));
    let whose = (option::of(Just("10.1000/182".to_owned())), option::of(any::<[u8; 8]>()));
    (what, how, whose, vec(arm(), 1..4), extensions()).prop_map(
        |(what, how, (doi, grower_mark), arms, extensions)| {
            let (head, series, revision, taxon, region, season) = what;
            let (weeks, design, stock_plants, parent, control) = how;
            let arms = arms.into_iter().zip(1..).map(|(arm, number)| Arm { number, ..arm }).collect();
            let design = DesignFlags(design);
            Summary {
                head,
                series,
                revision,
                taxon,
                region,
                season,
                weeks,
                design,
                stock_plants,
                doi,
                grower_mark,
                parent,
                control,
                arms,
                extensions,
            }
        },
    )
}

/// The summary without what came with major 1, under a head of major 0.
fn old(summary: Summary) -> Summary {
    let head = Head { major: 0, ..summary.head };
    let weeks = Weeks { season: None, ..summary.weeks };
    let design = DesignFlags(summary.design.0 & 127);
    let arms = summary.arms.into_iter().map(old_arm).collect();
    Summary { head, weeks, design, parent: None, control: None, arms, ..summary }
}

fn old_arm(mut arm: Arm) -> Arm {
    arm.stages.season = None;
    let StageCounts { lift, spring, last, .. } = &mut arm.stages;
    for counts in [lift, spring, last].into_iter().flatten() {
        (counts.ever_rooted, counts.lost_by_replicate) = (None, None);
    }
    let phases = arm.phases.iter_mut().map(|phase| &mut phase.facets);
    for facets in phases.chain([&mut arm.facets]) {
        (facets.bottom_heat_state, facets.scarified) = (None, None);
    }
    let replicates = arm.replicates.filter(|replicates| !replicates.contains(&0));
    Arm { replicates, ..arm }
}

/// Signed, judged and read back as it was, or refused for a rule; whether it was signed.
fn goes_round(summary: &Summary) -> Result<bool, TestCaseError> {
    match sign(&Body::Summary(summary.clone()), &key(1), &network()) {
        Ok(record) => {
            prop_assert_eq!(record.summary(), Some(summary));
            let accepted = Judged::Accepted(Box::new(record.clone()));
            prop_assert_eq!(judge(&record.bytes, &network()), Ok(accepted));
            prop_assert_eq!(reopen(&record.bytes, &network()), Ok(record));
            return Ok(true);
        }
        Err(SignError::Refused(refusal)) => prop_assert_eq!(refusal.reason(), "broken rule"),
        Err(error) => prop_assert!(matches!(error, SignError::Oversized { .. }), "{}", error),
    }
    Ok(false)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn what_is_signed_is_accepted_and_says_the_same(summary in summary()) {
        goes_round(&summary)?;
        goes_round(&old(summary))?;
    }
}

/// A property of what is signed would hold of nothing if hardly anything were.
#[test]
fn many_of_the_summaries_keep_the_rules() {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let (mut new, mut before) = (0, 0);
    for _ in 0..300 {
        let drawn = summary().new_tree(&mut runner).expect("a summary").current();
        new += u16::from(goes_round(&drawn).expect("the property holds"));
        before += u16::from(goes_round(&old(drawn)).expect("the property holds"));
    }
    assert!(new >= 20 && before >= 20, "{new} of major 1 and {before} of major 0 were signed");
}
