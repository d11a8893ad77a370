//! Where replicates stand, in words.

use crate::chart::BenchMap;
use crate::document::Document;
use propagule_bench::layout::{BenchPart, Evenness};
use propagule_files::counted::counted;

use propagule_app::outcome::layout::LaidOut;

/// Stock plants named one by one before the rest is counted.
const NAMED: usize = 3;

/// Where the replicates of a trial stand.
pub(super) fn laid_out(laid_out: &LaidOut) -> Document {
    let LaidOut { trial, seed, labels, evenness: all, .. } = laid_out;
    Document::new()
        .say(format!("Bench of trial {trial}, seed {seed}"))
        .chart(BenchMap::of(&laid_out.layout(), labels))
        .each(all, |said, one| said.say(evenness(&one.found)))
}

/// How it stands with something by which places or plants may be mistaken for a treatment.
fn evenness(found: &Evenness) -> String {
    match found {
        Evenness::Uneven { arm, size, found, even, region } => format!(
            "Arm {arm} has {found} of its {} {}; an even share would be {even:.1}.",
            places(*size),
            place(*region)
        ),
        Evenness::AllAtEdge => "Every place is at the edge.".to_owned(),
        Evenness::AtEdge { least, most } if least == most => {
            format!("Each arm has {} at the edge.", places(*least))
        }
        Evenness::AtEdge { least, most } => {
            format!("Each arm has {least} or {} at the edge.", places(*most))
        }
        Evenness::EdgeShared => "Each arm has its share of places at the edge, to within one.".to_owned(),
        Evenness::HalvesShared => {
            "Each half of the bench holds each arm's share, to within one place.".to_owned()
        }
        Evenness::BlocksEqual => "Each block holds each arm equally often.".to_owned(),
        Evenness::BlocksNearlyEqual => {
            "Each block holds each arm, as evenly as the numbers allow.".to_owned()
        }
        Evenness::BlocksLackArms => "Not every block holds every arm: there are too few of some.".to_owned(),
        Evenness::BlocksDiffer { by } => {
            format!("Blocks as they were given: the number of an arm differs by up to {by} between them.")
        }
        Evenness::StockPlantsSpread => {
            "No stock plant stands in one arm only with all its replicates.".to_owned()
        }
        Evenness::StockPlantsInOneArm { plants } => in_one_arm(plants),
    }
}

fn in_one_arm(plants: &[(String, u8)]) -> String {
    let named = |(plant, arm): &(String, u8)| format!("{plant} (arm {arm})");
    let many = plants.len();
    let shown = plants.iter().take(NAMED).map(named).collect::<Vec<_>>().join(", ");
    let more = if many > NAMED { format!(" and {} more", many - NAMED) } else { String::new() };
    let (plants, are) = if many == 1 { ("plant", "is") } else { ("plants", "are") };
    format!("Stock {plants} {shown}{more} {are} in one arm only, so that plant and treatment are mixed up.")
}

fn places(count: usize) -> String {
    counted(count, "place", "places")
}

fn place(region: BenchPart) -> &'static str {
    match region {
        BenchPart::Edge => "at the edge",
        BenchPart::Left => "on the left",
        BenchPart::Right => "on the right",
        BenchPart::Back => "in the back half",
        BenchPart::Front => "in the front half",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_uneven_is_said() {
        let uneven = |region| Evenness::Uneven { arm: 2, size: 4, found: 4, even: 2.0, region };
        assert_eq!(
            evenness(&uneven(BenchPart::Right)),
            "Arm 2 has 4 of its 4 places on the right; an even share would be 2.0."
        );
        assert!(evenness(&uneven(BenchPart::Edge)).contains("4 places at the edge;"));
        let of_one = Evenness::Uneven { arm: 1, size: 1, found: 1, even: 0.25, region: BenchPart::Back };
        assert!(evenness(&of_one).starts_with("Arm 1 has 1 of its 1 place in the back half;"));
        assert_eq!(evenness(&Evenness::AllAtEdge), "Every place is at the edge.");
        let at_edge = |least, most| evenness(&Evenness::AtEdge { least, most });
        assert_eq!(at_edge(5, 5), "Each arm has 5 places at the edge.");
        assert_eq!(at_edge(1, 1), "Each arm has 1 place at the edge.");
        assert_eq!(at_edge(3, 4), "Each arm has 3 or 4 places at the edge.");
        assert_eq!(at_edge(0, 1), "Each arm has 0 or 1 place at the edge.");
        assert_eq!(
            evenness(&Evenness::BlocksDiffer { by: 2 }),
            "Blocks as they were given: the number of an arm differs by up to 2 between them."
        );
    }

    #[test]
    fn stock_plants_in_one_arm_are_named_up_to_three() {
        let plants = ["Ada", "Bea", "Cora", "Dora", "Eva"];
        let said = |many: usize| {
            let plants = plants[..many].iter().zip(1..).map(|(plant, arm)| ((*plant).to_owned(), arm));
            evenness(&Evenness::StockPlantsInOneArm { plants: plants.collect() })
        };
        let mixed_up = "in one arm only, so that plant and treatment are mixed up.";
        assert_eq!(said(1), format!("Stock plant Ada (arm 1) is {mixed_up}"));
        assert_eq!(said(2), format!("Stock plants Ada (arm 1), Bea (arm 2) are {mixed_up}"));
        assert_eq!(
            said(5),
            format!("Stock plants Ada (arm 1), Bea (arm 2), Cora (arm 3) and 2 more are {mixed_up}")
        );
    }
}
