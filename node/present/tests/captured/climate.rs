//! The own climate beside those of others.

use propagule_present::chart::{Band, Behind, Chart, Measure, Months, Neighbor, Strip};
use propagule_present::document::Document;
use propagule_present::html;

use super::{captured, strings};

#[test]
fn twelve_months() {
    let file = include_str!("months.txt");
    let band = |from, to| Some(Band { words: String::new(), from, to });
    let check = |name: &str, own, coldest, hottest| {
        let said = "Your twelve months as a line; bands where half of the others have their coldest and their hottest month";
        let (said, heads) = (said.to_owned(), strings(["Month", "\u{b0}C"]));
        let chart = Months { said, own, coldest, hottest, heads, behind: Behind::new("") };
        let drawn = Chart::from(chart).svg().into_string();
        assert_eq!(drawn, captured(file, name).trim_end_matches('\n'), "{name}");
    };
    let own = [0.4, 1.0, 4.0, 8.2, 12.0, 16.0, 18.0, 18.3, 14.0, 9.0, 4.0, 1.0];
    check("both", own, band(-1.0, 3.0), band(15.5, 21.0));
    check("one", own, None, band(15.5, 15.5));
    check("cold", [-31.0; 12], None, None);
}

fn measure(said: &str, what: &str, unit: &str, own: Option<f64>, others: &[(f64, bool)]) -> Measure {
    Measure {
        said: said.to_owned(),
        what: what.to_owned(),
        unit: unit.to_owned(),
        own,
        others: others.iter().map(|(value, is_near)| Neighbor { value: *value, is_near: *is_near }).collect(),
    }
}

#[test]
fn own_measures_over_those_of_others() {
    let file = include_str!("strip.txt");
    let degrees = "\u{b0}C";
    let measures = vec![
        measure(
            "Coldest month: yours 2 \u{b0}C, the others from -2 to 6 \u{b0}C",
            "Coldest month",
            degrees,
            Some(2.0),
            &[(6.0, false), (2.0, true), (2.0, false), (-2.0, true)],
        ),
        measure(
            "Rain a year: yours 2400 mm, the others from 640 to 640 mm",
            "Rain a year",
            "mm",
            Some(2400.4),
            &[(640.0, false)],
        ),
        measure(
            "Yearly minimum: yours not known, the others from -12 to -12 \u{b0}C",
            "Yearly minimum",
            degrees,
            None,
            &[(-12.0, true)],
        ),
    ];
    let strip = Strip {
        measures,
        keys: strings(["you", "close or similar", "other climates"]),
        note: "by the middles of what is published, one piece of a bar a place".to_owned(),
        heads: strings(["Measure", "Yours", "Theirs"]),
        not_known: "not known".to_owned(),
        behind: Behind::named(
            "The climates as a table",
            "Middles of what is published; places of other growers at each",
        ),
    };
    let drawn = html::render(&Document::new().chart(strip)).into_string();
    let (picture, behind) = drawn.split_once("<details>").expect("a table");
    assert_eq!(format!("{picture}</div>"), captured(file, "three"));
    let behind = format!("<details>{}", behind.strip_suffix("</div>").expect("the end of the figure"));
    assert_eq!(behind, captured(file, "as a table"));
}
