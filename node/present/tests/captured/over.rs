//! Chances over counts.

use propagule_present::chart::{Behind, Chances};

use super::check_page;

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
