//! Rows of rates, as a picture and in characters.

use propagule_present::chart::{Behind, Forest, ForestBlock, ForestRow, Key, KeyMark, Reading};
use propagule_present::document::Document;
use propagule_present::{html, text};

use super::{captured, check_text, strings};

fn key(mark: KeyMark, words: &str, in_text: &str) -> Key {
    Key { mark, words: words.to_owned(), in_text: in_text.to_owned() }
}

/// What the marks mean in the pooled answer, and in a comparison.
fn keys(average: &str) -> Vec<Key> {
    vec![
        key(
            KeyMark::Average,
            "average grower with its 95 % interval; the larger the dot, the more pieces",
            &format!("O average {average}, = its 95 % interval"),
        ),
        key(KeyMark::Range, "where a new grower may land", ". a new grower's range"),
        key(KeyMark::Count, "what the count alone fits", "- what the count alone fits"),
        key(KeyMark::Own, "your own", "^ yours"),
        key(KeyMark::Everybody, "everybody\u{2019}s average with its interval", ""),
    ]
}

fn forest(average: &str, blocks: Vec<ForestBlock>) -> Forest {
    Forest {
        blocks,
        keys: keys(average),
        yours: "yours".to_owned(),
        heads: strings(["Method", "Count", "Rate"]),
        behind: Behind::named("The picture as a table", "Successes of all pieces put in"),
    }
}

fn row(what: &str, count: (u32, u32), rate: &str, reading: Reading) -> ForestRow {
    ForestRow {
        what: what.to_owned(),
        basis: String::new(),
        said: String::new(),
        reading,
        rate: rate.to_owned(),
        beside: Vec::new(),
        more: String::new(),
        count,
        share_of_most: f64::from(count.1) / 124.0,
        own: None,
        everybody: None,
    }
}

fn block(heading: &str, rows: Vec<ForestRow>) -> ForestBlock {
    ForestBlock { heading: heading.to_owned(), rows }
}

#[test]
fn rates_on_one_scale() {
    let softwood = ForestRow {
        basis: "6 growers, 6 trials".to_owned(),
        said: "softwood & mist: 27 of 124".to_owned(),
        own: Some((11, 30)),
        everybody: Some((0.29, [0.15, 0.49])),
        ..row(
            "softwood & mist",
            (27, 124),
            "23 % (11\u{2013}40 %)",
            Reading::Average { rate: 0.23, interval: [0.11, 0.4], range: [0.02, 0.71] },
        )
    };
    let hardwood = ForestRow {
        basis: "3 growers, 3 trials".to_owned(),
        said: "hardwood: 0 of 42".to_owned(),
        ..row("hardwood", (0, 42), "up to 6.9 %", Reading::Count { rate: None, interval: [0.0, 0.069] })
    };
    let dormant = ForestRow {
        basis: "1 grower, 1 trial".to_owned(),
        said: "dormant: 3 of 20".to_owned(),
        own: Some((0, 7)),
        ..row(
            "dormant",
            (3, 20),
            "15 % (5.2\u{2013}36 %)",
            Reading::Count { rate: Some(0.15), interval: [0.052, 0.36] },
        )
    };
    let blocks = vec![
        block("Tried side by side", vec![softwood, hardwood]),
        block("Never tried beside another method", vec![dormant]),
    ];
    let drawn = html::render(&Document::new().chart(forest("grower", blocks))).into_string();
    // The table stands within the figure now; until then it stood right behind it.
    let (picture, behind) = drawn.split_once("<details>").expect("a table");
    assert_eq!(format!("{picture}</div>"), captured(include_str!("forest.txt"), "three in two blocks"));
    assert!(
        behind.contains("<th scope=\"row\">hardwood<br><span class=\"soft\">3 growers, 3 trials</span></th>")
    );
}

#[test]
fn rates_in_characters() {
    let file = include_str!("forest-text.txt");
    let rows = vec![
        row(
            "hardwood stem cuttings, covered",
            (0, 12),
            "up to 22 %",
            Reading::Count { rate: None, interval: [0.0, 0.220_922_191_945_555_85] },
        ),
        row(
            "softwood stem cuttings, covered",
            (12, 44),
            "32 % (14\u{2013}59 %)",
            Reading::Average {
                rate: 0.318_575_474_279_957_86,
                interval: [0.136_604_582_944_113_84, 0.586_949_595_334_428_6],
                range: [0.039_391_644_802_662_85, 0.828_320_010_683_927],
            },
        ),
        row(
            "softwood stem cuttings, mist or fog",
            (0, 24),
            "up to 12 %",
            Reading::Count { rate: None, interval: [0.0, 0.117_346_156_154_948_73] },
        ),
    ];
    let document = Document::new().chart(forest("grower", vec![block("", rows)]));
    for width in [60, 80, 120] {
        check_text(file, &format!("several at {width}"), &text::render(&document, width));
    }
    let others = Reading::Average {
        rate: 0.400_776_969_388_705_66,
        interval: [0.348_276_161_468_415_8, 0.454_681_239_333_433_13],
        range: [0.320_106_444_545_663_06, 0.485_043_281_177_430_6],
    };
    let own = ForestRow { own: Some((1, 20)), ..row("", (12, 30), "", others) };
    let document =
        Document::new().section("S", |arm| arm.chart(forest("of the others", vec![block("", vec![own])])));
    check_text(file, "own beside others at 80", text::render(&document, 80).trim_start_matches("S\n"));
}
