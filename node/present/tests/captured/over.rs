//! Chances over counts, and shares over time.

use propagule_present::chart::{Behind, Chances, CurveDay, Curves};

use super::{check_page, strings};

/// Some law over so many counts.
fn law(counts: usize) -> Vec<f64> {
    let all: Vec<f64> = (0..counts).map(|k| ((k * 7919 + 13) % 101) as f64 + 1.0).collect();
    let sum: f64 = all.iter().sum();
    all.into_iter().map(|chance| chance / sum).collect()
}

fn chances(label: &str, law: Vec<f64>, own: usize, counted: &str) -> Chances {
    let last = law.len().saturating_sub(1);
    Chances {
        said: format!(
            "{label}: chances of 0 to {last} {counted} for a grower like you; yours is {own}; the table has the numbers"
        ),
        law,
        own,
        counted: counted.to_owned(),
        yours: "yours".to_owned(),
        times: "Times in 100".to_owned(),
        behind: Behind::new("Of 100 growers like you, so many would count"),
    }
}

#[test]
fn chances_of_each_count() {
    let file = include_str!("chances.txt");
    check_page(file, "three", chances("Arm <1>", vec![0.25, 0.5, 0.25], 2, "rooted"));
    check_page(file, "hundred, first", chances("Arm \"a & b\"", law(101), 0, "successes"));
    check_page(file, "thirty, last", chances("Arm 2", law(31), 30, "successes"));
    check_page(file, "twenty, middle", chances("Arm 2", law(21), 9, "taken"));
    check_page(file, "nothing", chances("none", Vec::new(), 0, "rooted"));
}

fn curves(label: &str, days: &[CurveDay], success: &str) -> Curves {
    let last = days.last().map_or(1, |day| day.days.max(1));
    let caption = "Of all put in; gone: lost, or left; each change fell between that day and the one before";
    Curves {
        said: format!(
            "Shares of all put in of {label} over {last} days: ever {success}, alive, dead, lost or left; the table has \
             the numbers"
        ),
        days: days.to_vec(),
        heads: strings(["Day", &format!("ever {success}"), "alive", "dead", "gone"]),
        behind: Behind::named(format!("As a table: {label} over time"), caption),
    }
}

#[test]
fn shares_over_time() {
    let file = include_str!("curves.txt");
    let day = |on: &str, days, ever, (at_least, looked_for), [alive, dead, gone]: [f64; 3]| CurveDay {
        on: on.to_owned(),
        days,
        ever,
        at_least,
        looked_for,
        alive,
        dead,
        gone,
    };
    let lost = 2.0 / 24.0;
    let days = [
        day("2026-06-20", 14, None, (0, 0), [1.0, 0.0, 0.0]),
        day("2026-07-18", 42, None, (2, 6), [0.75, 0.25, 0.0]),
        day("2026-08-29", 84, Some(0.5), (12, 24), [16.0 / 24.0, 0.25, lost]),
        day("2027-04-10", 308, Some(13.0 / 24.0), (13, 24), [0.25, 0.25, lost + 10.0 / 24.0]),
    ];
    check_page(file, "season", curves("dip & wound", &days, "rooted"));
    check_page(file, "one day", curves("A", &days[2..3], "taken"));
    check_page(file, "nothing", curves("A", &[], "taken"));
}
