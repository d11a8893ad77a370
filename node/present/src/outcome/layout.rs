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
        .say(format!("Bench layout of {trial}, seed {seed}"))
        .chart(BenchMap::of(&laid_out.layout(), labels))
        .each(all, |said, one| said.say(evenness(&one.found)))
}

/// How it stands with something by which places or plants may be mistaken for a treatment.
fn evenness(found: &Evenness) -> String {
    match found {
        Evenness::Uneven { arm, size, found, even, region } => format!(
            "Treatment {arm} has {found} of its {} {}; an even share would be {even:.1}.",
            places(*size),
            place(*region)
        ),
        Evenness::AllAtEdge => "Every position is at the edge.".to_owned(),
        Evenness::AtEdge { least, most } if least == most => {
            format!("Each treatment has {} at the edge.", places(*least))
        }
        Evenness::AtEdge { least, most } => {
            format!("Each treatment has {least} or {} at the edge.", places(*most))
        }
        Evenness::EdgeShared => {
            "Each treatment has its share of positions at the edge, to within one.".to_owned()
        }
        Evenness::HalvesShared => {
            "Each half of the bench holds each treatment's share, to within one position.".to_owned()
        }
        Evenness::BlocksEqual => "Each block holds each treatment equally often.".to_owned(),
        Evenness::BlocksNearlyEqual => {
            "Each block holds each treatment, as evenly as the numbers allow.".to_owned()
        }
        Evenness::BlocksLackArms => {
            "Not every block holds every treatment: there are too few of some.".to_owned()
        }
        Evenness::BlocksDiffer { by } => {
            format!(
                "Blocks as they were given: the number of a treatment differs by up to {by} between them."
            )
        }
        Evenness::StockPlantsSpread => {
            "No stock plant is in one treatment only with all its pots.".to_owned()
        }
        Evenness::StockPlantsInOneArm { plants } => in_one_arm(plants),
    }
}

fn in_one_arm(plants: &[(String, u8)]) -> String {
    let named = |(plant, arm): &(String, u8)| format!("{plant} (treatment {arm})");
    let many = plants.len();
    let shown = plants.iter().take(NAMED).map(named).collect::<Vec<_>>().join(", ");
    let more = if many > NAMED { format!(" and {} more", many - NAMED) } else { String::new() };
    let (plants, are) = if many == 1 { ("plant", "is") } else { ("plants", "are") };
    format!(
        "Stock {plants} {shown}{more} {are} in one treatment only, so that plant and treatment cannot be \
         separated."
    )
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
            "Treatment 2 has 4 of its 4 places on the right; an even share would be 2.0."
        );
        assert!(evenness(&uneven(BenchPart::Edge)).contains("4 places at the edge;"));
        let of_one = Evenness::Uneven { arm: 1, size: 1, found: 1, even: 0.25, region: BenchPart::Back };
        assert!(evenness(&of_one).starts_with("Treatment 1 has 1 of its 1 place in the back half;"));
        assert_eq!(evenness(&Evenness::AllAtEdge), "Every position is at the edge.");
        let at_edge = |least, most| evenness(&Evenness::AtEdge { least, most });
        assert_eq!(at_edge(5, 5), "Each treatment has 5 places at the edge.");
        assert_eq!(at_edge(1, 1), "Each treatment has 1 place at the edge.");
        assert_eq!(at_edge(3, 4), "Each treatment has 3 or 4 places at the edge.");
        assert_eq!(at_edge(0, 1), "Each treatment has 0 or 1 place at the edge.");
        assert_eq!(
            evenness(&Evenness::BlocksDiffer { by: 2 }),
            "Blocks as they were given: the number of a treatment differs by up to 2 between them."
        );
    }

    #[test]
    fn stock_plants_in_one_arm_are_named_up_to_three() {
        let plants = ["Ada", "Bea", "Cora", "Dora", "Eva"];
        let said = |many: usize| {
            let plants = plants[..many].iter().zip(1..).map(|(plant, arm)| ((*plant).to_owned(), arm));
            evenness(&Evenness::StockPlantsInOneArm { plants: plants.collect() })
        };
        let mixed_up = "in one treatment only, so that plant and treatment cannot be separated.";
        assert_eq!(said(1), format!("Stock plant Ada (treatment 1) is {mixed_up}"));
        assert_eq!(said(2), format!("Stock plants Ada (treatment 1), Bea (treatment 2) are {mixed_up}"));
        assert_eq!(
            said(5),
            format!(
                "Stock plants Ada (treatment 1), Bea (treatment 2), Cora (treatment 3) and 2 more are {mixed_up}"
            )
        );
    }
}
