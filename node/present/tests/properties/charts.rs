//! The table behind a chart states the numbers that its picture draws: both are read, the picture from its geometry, and
//! compared.

use propagule_present::chart::{
    Alive, AliveLine, Band, Behind, BenchMap, BenchPlace, Chances, Chart, Dots, Forest, ForestBlock,
    ForestRow, Funnel, Mark, Measure, Months, Neighbor, Outcomes, Pieces, Reading, Share, Step, Strip,
};
use propagule_present::document::Document;
use propagule_present::text;
use proptest::array::uniform7;
use proptest::collection::vec;
use proptest::option::of;
use proptest::prelude::*;

/// The picture as it is written.
fn picture(chart: &Chart) -> String {
    chart.svg().into_string()
}

/// The table as plain cells, row by row.
fn rows(chart: &Chart) -> Vec<Vec<String>> {
    let cell = |cell: &propagule_present::document::Phrase| {
        cell.runs.iter().map(|run| run.text.as_str()).collect::<String>()
    };
    chart.table().rows.iter().map(|row| row.iter().map(cell).collect()).collect()
}

/// What stands between two texts, as often as they do.
fn between<'a>(text: &'a str, from: &'a str, to: &'a str) -> Vec<&'a str> {
    text.split(from).skip(1).filter_map(|rest| rest.split_once(to).map(|(inner, _)| inner)).collect()
}

fn number(text: &str) -> f64 {
    text.trim().parse().unwrap_or_else(|_| panic!("{text} is a number"))
}

/// An attribute of an element.
fn attribute(element: &str, name: &str) -> f64 {
    number(between(element, &format!(" {name}=\""), "\"").first().expect("the attribute"))
}

/// A share from words such as `7.5 %`.
fn share(words: &str) -> f64 {
    number(words.trim_end_matches('%').trim().trim_start_matches(['<', '>'])) / 100.0
}

fn behind() -> Behind {
    Behind::new("caption")
}

fn words<const N: usize>() -> [String; N] {
    std::array::from_fn(|n| format!("w{n}"))
}

/// Chances that add up to one.
fn law() -> impl Strategy<Value = Vec<f64>> {
    vec(0.01..1.0_f64, 1..21).prop_map(|all| {
        let sum: f64 = all.iter().sum();
        all.into_iter().map(|chance| chance / sum).collect()
    })
}

/// Bars of a path as their left end and their height.
fn bars(path: &str) -> Vec<(f64, f64)> {
    let bar = |bar: &str| {
        let (x, rest) = bar.split_once(' ').expect("a place");
        let high = rest.split(['v', 'h']).nth(1).expect("a height");
        (number(x), -number(high))
    };
    path.split('M').skip(1).map(bar).collect()
}

fn pieces() -> impl Strategy<Value = Vec<Pieces>> {
    let marks = [Mark::Left, Mark::Below, Mark::With, Mark::Waiting, Mark::NotKnown, Mark::Dead, Mark::Lost];
    uniform7(0..60_u32).prop_map(move |counts| {
        let pieces = marks.into_iter().zip(counts).enumerate();
        pieces.map(|(n, (mark, count))| Pieces { mark, words: format!("state {n}"), count }).collect()
    })
}

fn forest_row() -> impl Strategy<Value = ForestRow> {
    (0..500_u32, 1..500_u32, of((0..90_u32, 1..90_u32)), any::<bool>()).prop_map(
        |(count, of, own, is_average)| {
            let count = count.min(of);
            let rate = f64::from(count) / f64::from(of);
            let interval = [rate * 0.5, rate + (1.0 - rate) * 0.5];
            let reading = if is_average {
                Reading::Average { rate, interval, range: [0.0, 1.0] }
            } else {
                Reading::Count { rate: Some(rate), interval }
            };
            ForestRow {
                what: "what".to_owned(),
                basis: "basis".to_owned(),
                said: "said".to_owned(),
                reading,
                rate: format!("{rate:.4}"),
                beside: Vec::new(),
                more: String::new(),
                count: (count, of),
                share_of_most: 1.0,
                own: own.map(|(own, of)| (own.min(of), of)),
                everybody: None,
            }
        },
    )
}

proptest! {
    #[test]
    fn bars_of_chances_are_as_high_as_the_table_says(law in law(), own in 0..21_usize) {
        let own = own.min(law.len() - 1);
        let chart: Chart = Chances {
            said: String::new(), law, own, counted: "n".to_owned(), yours: "yours".to_owned(), times: String::new(),
            behind: behind(),
        }.into();
        let drawn = picture(&chart);
        let others = bars(between(&drawn, "class=\"open\" d=\"", "\"")[0]);
        let mine = bars(between(&drawn, "class=\"full\" d=\"", "\"")[0]);
        let mut all: Vec<(f64, f64)> = others.into_iter().chain(mine.clone()).collect();
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        let table = rows(&chart);
        prop_assert_eq!(all.len(), table.len());
        let sum: f64 = all.iter().map(|bar| bar.1).sum();
        for (place, (bar, row)) in all.iter().zip(&table).enumerate() {
            let said = if row[1] == "fewer than 1" { 0.25 } else if row[1] == "more than 99" { 99.75 } else { number(&row[1]) };
            // Half a hundredth of rounding in the table, and tenths in the picture.
            prop_assert!((bar.1 / sum * 100.0 - said).abs() < 0.8, "{bar:?} of {sum}: {row:?}");
            prop_assert_eq!(row[0].contains("(yours: "), place == own);
            prop_assert_eq!(mine.contains(bar), place == own);
        }
    }

    #[test]
    fn lines_of_the_living_stand_where_the_table_says(started in 1..200_u32, days in vec((1..30_i32, 0..200_u32), 1..6)) {
        let mut on = 0;
        let points: Vec<(i32, u32)> = days.iter().map(|(gap, alive)| { on += gap; (on, *alive.min(&started)) }).collect();
        let line = AliveLine { name: "dip".to_owned(), started, points };
        let [said, day, note] = words();
        let chart: Chart = Alive { said, lines: vec![line], day, note, behind: behind() }.into();
        let (drawn, table) = (picture(&chart), rows(&chart));
        let markers = between(&drawn, "class=\"markers\" d=\"", "\"")[0].to_owned();
        let drawn: Vec<(f64, f64)> = markers.split('M').skip(1).map(|marker| {
            let mut parts = marker.split(['m', ' ']);
            (number(parts.next().expect("x")), number(parts.next().expect("y")))
        }).collect();
        prop_assert_eq!(drawn.len(), table.len());
        for ((x, y), row) in drawn.into_iter().zip(&table) {
            // From 30 on the first day to 244 on the last, and from 144 at none up to 10 at all.
            prop_assert!((x - 30.0 - 214.0 * number(&row[0]) / f64::from(on)).abs() < 0.1, "{x}: {row:?}");
            prop_assert!((y - 144.0 + 134.0 * number(&row[1]) / f64::from(started)).abs() < 0.1, "{y}: {row:?}");
        }
    }

    #[test]
    fn marks_are_counted_by_the_table_and_in_text(states in pieces(), width in 60..120_usize) {
        let said = Dots::counts(&states);
        let total: u32 = states.iter().map(|pieces| pieces.count).sum();
        let chart: Chart = Dots { said, states, pieces: "pieces".to_owned(), state: "State".to_owned() }.into();
        let (drawn, table) = (picture(&chart), rows(&chart));
        let counts: Vec<u32> = table.iter().map(|row| row[1].parse().expect("a count")).collect();
        let of = |each: u32| counts.iter().map(|count| count.div_ceil(each)).sum::<u32>();
        let each = [1, 2, 4, 5, 10].into_iter().find(|each| of(*each) <= 60 && total / each <= 60);
        let cells: usize = between(&drawn, "<path class=\"cell\" d=\"", "\"").iter()
            .chain(&between(&drawn, "<path class=\"cell rest\" d=\"", "\""))
            .map(|path| path.matches('M').count()).sum();
        let marks: usize = between(&drawn, "<path class=\"fate", "\"/>").iter().map(|path| path.matches('M').count()).sum();
        // A rooted one is a disc and its roots; each state has a mark more in the legend, and beside its bar.
        let with = counts[2];
        let expected = match each {
            Some(each) => of(each) + with.div_ceil(each) + counts.len() as u32 + 1,
            None => 2 * (counts.len() as u32 + 1),
        };
        prop_assert_eq!(cells, each.map_or(0, of) as usize);
        prop_assert_eq!(marks, expected as usize);
        let text = text::render(&Document::new().chart(chart.clone()), width).replace('\n', " ");
        for (letter, row) in "FbOo?x-".chars().zip(&table) {
            let count: usize = row[1].parse().expect("a count");
            let legend = usize::from(count > 0);
            prop_assert_eq!(text.matches(letter).count() - text.matches(&format!("{letter} state")).count(), count, "{}", text);
            prop_assert_eq!(text.matches(&format!("{letter} {} {count}", row[0])).count(), legend);
        }
    }

    #[test]
    fn dots_of_a_forest_stand_at_the_rate_that_the_table_says(all in vec(forest_row(), 1..5)) {
        let end = 302.0 - 18.0;
        let chart: Chart = Forest {
            blocks: vec![ForestBlock { heading: String::new(), rows: all.clone() }],
            keys: Vec::new(), yours: "yours".to_owned(), heads: words(), behind: behind(),
        }.into();
        let drawn = picture(&chart);
        let last: f64 = between(&drawn, "font-size=\"12\">", " %</text>").last().map(|text| number(text.rsplit('>').next().expect("a number"))).expect("the end");
        let at = |rate: f64| 18.0 + end * rate * 100.0 / last;
        let pictures = between(&drawn, "<div class=\"how\">", "</div>");
        for ((row, svg), (source, how)) in rows(&chart).iter().zip(between(&drawn, "role=\"img\"", "</svg>")).zip(all.iter().zip(pictures)) {
            let dot = between(svg, "<circle", ">")[0].to_owned();
            prop_assert!((attribute(&dot, "cx") - at(number(&row[2]))).abs() < 0.2, "{dot}: {row:?}");
            prop_assert!(how.contains(&format!(">{}<", row[1])), "{how}: {row:?}");
            let own = between(svg, "class=\"own\" d=\"M", " ").first().map(|x| number(x));
            let counted = between(how, ", yours ", "<").first().map(|words| {
                let (count, of) = words.split_once(" of ").expect("a count");
                at(number(count) / number(of))
            });
            prop_assert_eq!(own.is_some(), source.own.is_some());
            prop_assert!(own.zip(counted).is_none_or(|(a, b)| (a - b).abs() < 0.2), "{own:?} {counted:?}");
        }
    }

    #[test]
    fn bars_of_a_funnel_are_their_counts(steps in vec((0..999_u32, 1..999_u32), 1..6), width in 60..120_usize) {
        let steps: Vec<Step> = steps.into_iter().enumerate().map(|(n, (count, of))| Step { words: format!("step {n}"), count: count.min(of), of }).collect();
        let largest = steps.iter().map(|step| step.of).max().expect("a step");
        let chart: Chart = Funnel { steps, caption: "c".into(), heads: words() }.into();
        let (drawn, text) = (picture(&chart), text::render(&Document::new().chart(chart.clone()), width));
        let full = between(&drawn, "<rect class=\"full\"", ">");
        for ((row, bar), line) in rows(&chart).iter().zip(full).zip(text.lines()) {
            let (count, of) = row[1].split_once(" of ").expect("a count");
            let (count, of) = (number(count), number(of));
            prop_assert!((attribute(bar, "width") - 298.0 * count / of).abs() <= 0.5, "{bar}: {row:?}");
            let room = (width - "step 0".len() - 2 - 2) as f64 - text.lines().map(|line| line.find(" of ").expect("a count")).max().unwrap_or(0) as f64;
            let cells = line.matches('#').count() as f64;
            prop_assert!((cells - count / f64::from(largest) * room).abs() < room * 0.2 + 1.5, "{line}");
            let cell = format!(">{}<", row[1]);
            prop_assert!(drawn.contains(&cell) && line.contains(&row[1]), "{line}");
        }
    }

    #[test]
    fn dots_of_outcomes_are_counted_by_the_table(outcomes in vec(0..60_u32, 0..20), want in 0..60_u32, width in 60..120_usize) {
        let chart: Chart = Outcomes {
            said: "s".to_owned(), outcomes, want, counted: "n".to_owned(), groups: words(), head: String::new(), behind: behind(),
        }.into();
        let (drawn, text) = (picture(&chart), text::render(&Document::new().chart(chart.clone()), width));
        let numbers: Vec<(bool, u32)> = rows(&chart).iter().flat_map(|row| {
            let reaches = row[0] == "w1";
            row[1].split(", ").map(move |number| (reaches, number.parse().expect("a number"))).collect::<Vec<_>>()
        }).collect();
        prop_assert!(numbers.iter().all(|(reaches, number)| *reaches == (*number >= want)), "{numbers:?}");
        let count = |reaches: bool| numbers.iter().filter(|(other, _)| *other == reaches).count();
        prop_assert_eq!(drawn.matches("<circle class=\"full\"").count(), count(true));
        prop_assert_eq!(drawn.matches("<circle class=\"ring thin\"").count(), count(false));
        prop_assert_eq!((text.matches('O').count(), text.matches('.').count()), (count(true), count(false)));
    }

    #[test]
    fn a_year_is_drawn_as_the_table_says(own in proptest::array::uniform12(-30.0..40.0_f64), band in of((-30.0..0.0_f64, 0.0..40.0_f64))) {
        let coldest = band.map(|(from, to)| Band { words: "others".to_owned(), from, to });
        let chart: Chart = Months { said: String::new(), own, coldest, hottest: None, heads: words(), behind: behind() }.into();
        let (drawn, table) = (picture(&chart), rows(&chart));
        let ends: Vec<f64> = between(&drawn, "font-size=\"12\">", "\u{b0}</text>").iter().map(|text| number(text.rsplit('>').next().expect("a number"))).collect();
        let [low, high] = ends.as_slice() else { panic!("two ends: {ends:?}") };
        let degrees = |y: f64| high - (y - 6.0) / 94.0 * (high - low).max(1.0);
        let line = between(&drawn, "<path class=\"line\" d=\"", "\"")[0];
        let points: Vec<f64> = line.split(['M', 'L']).skip(1).map(|point| number(point.split_once(' ').expect("two numbers").1)).collect();
        prop_assert_eq!((points.len(), table.len()), (12, 12 + usize::from(band.is_some())));
        let tolerance = (high - low) / 94.0 * 0.06 + 0.06;
        for (y, row) in points.iter().zip(&table) {
            prop_assert!((degrees(*y) - number(&row[1])).abs() < tolerance, "{y}: {row:?}");
        }
        if let Some(row) = table.get(12) {
            let drawn = between(&drawn, "<rect class=\"open thin\"", ">")[0];
            let (from, to) = row[1].split_once(" to ").expect("two ends");
            prop_assert!((degrees(attribute(drawn, "y")) - number(to)).abs() < tolerance, "{drawn}: {row:?}");
            let bottom = attribute(drawn, "y") + attribute(drawn, "height");
            let is_thin = attribute(drawn, "height") <= 2.0;
            prop_assert!(is_thin || (degrees(bottom) - number(from)).abs() < 2.0 * tolerance, "{drawn}: {row:?}");
        }
    }

    #[test]
    fn bars_of_a_strip_are_counted_by_the_table(others in vec((0..6_i32, any::<bool>()), 1..12), own in of(0..6_i32)) {
        let neighbors = others.iter().map(|(value, is_near)| Neighbor { value: f64::from(*value), is_near: *is_near }).collect();
        let measure = Measure { said: "s".to_owned(), what: "w".to_owned(), unit: "u".to_owned(), own: own.map(f64::from), others: neighbors };
        let chart: Chart = Strip {
            measures: vec![measure], keys: words(), note: String::new(), heads: words(), not_known: "not known".to_owned(), behind: behind(),
        }.into();
        let (drawn, table) = (picture(&chart), rows(&chart));
        let heights = |class: &str| -> f64 { bars(between(&drawn, &format!("<path class=\"{class}\" d=\""), "\"")[0]).iter().map(|bar| bar.1).sum() };
        let counted: Vec<f64> = table[0][2].split("; ").map(|part| number(part.split_once(": ").expect("a count").1)).collect();
        let (all, most) = (counted.iter().sum::<f64>(), counted.iter().copied().fold(0.0, f64::max));
        prop_assert_eq!(all as usize, others.len());
        // The highest bar is 18 high.
        let piece = 18.0 / most;
        prop_assert!((heights("full") + heights("open") - piece * all).abs() < 0.1 * all + 0.1, "{drawn}: {table:?}");
        prop_assert_eq!(table[0][1].clone(), own.map_or("not known".to_owned(), |own| own.to_string()));
        // One is in the legend.
        prop_assert_eq!(drawn.matches("<path class=\"own\" d=\"M").count(), 1 + usize::from(own.is_some()));
    }

    #[test]
    fn pots_of_a_bench_stand_where_the_table_says(labels in vec(vec(of(1..99_u32), 4), 1..6), width in 60..120_usize) {
        let place = |label: &Option<u32>| BenchPlace { label: label.map(|label| format!("P{label}")), block: None };
        let bench = BenchMap { rows: labels.iter().map(|row| row.iter().map(place).collect()).collect() };
        let chart: Chart = bench.into();
        let (drawn, said) = (picture(&chart), text::render(&Document::new().chart(chart.clone()), width));
        let grid: Vec<Vec<&str>> =
            between(&drawn, "<tr><th scope=\"row\">", "</tr>").into_iter().map(|row| between(row, "<td>", "</td>")).collect();
        let table = rows(&chart);
        prop_assert_eq!(grid.iter().flatten().filter(|place| place.starts_with('P')).count(), table.len());
        prop_assert!(said.lines().all(|line| line.chars().count() <= width), "{}", said);
        for row in &table {
            let (line, column) = (number(&row[0]) as usize, number(&row[1]) as usize);
            prop_assert_eq!(grid[line - 1][column - 1], row[2].as_str());
            let of_row = said.lines().nth(line).expect("the row, below the numbers of the columns");
            prop_assert!(of_row.contains(&format!("[{}", row[2])), "{}", of_row);
        }
    }

    #[test]
    fn a_share_fills_as_many_of_twenty_cells_as_the_table_says(part in 0.0..1.0_f64) {
        let chart: Chart = Share { share: part }.into();
        let drawn = picture(&chart);
        prop_assert_eq!(drawn.matches("<rect").count(), 20);
        let full = drawn.matches("class=\"full\"").count() as f64 / 20.0;
        prop_assert!((full - share(&rows(&chart)[0][0])).abs() <= 0.0301, "{drawn}: {:?}", rows(&chart));
    }
}
