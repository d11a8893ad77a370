//! Methods in the order in which a page shows them.

use std::cmp::Reverse;

use propagule_answer::pool::{MethodAnswer, PoolAnswer};

/// Most methods that a page shows.
pub(super) const MOST_ROWS: usize = 40;
/// Heading of methods that trials held together.
const SIDE_BY_SIDE: &str = "Tried side by side";

/// Methods that were tried beside each other, or each on its own.
pub(super) struct Linked<'a> {
    pub(super) heading: &'static str,
    pub(super) methods: Vec<&'a MethodAnswer>,
}

/// The methods with most pieces, at most [`MOST_ROWS`], linked ones together.
pub(super) fn blocks(answer: &PoolAnswer) -> Vec<Linked<'_>> {
    let mut methods: Vec<&MethodAnswer> = answer.methods.iter().collect();
    methods.sort_by(|a, b| b.started.cmp(&a.started).then_with(|| a.method.cmp(&b.method)));
    methods.truncate(MOST_ROWS);
    let in_it = |labels: &[String]| -> Vec<&MethodAnswer> {
        methods.iter().copied().filter(|method| labels.contains(&method.method)).collect()
    };
    let linked = answer.components.iter().filter(|labels| labels.len() > 1).map(|labels| in_it(labels));
    let mut blocks: Vec<Linked<'_>> = linked
        .filter(|methods| !methods.is_empty())
        .map(|methods| Linked { heading: SIDE_BY_SIDE, methods })
        .collect();
    blocks.sort_by_key(|block| Reverse(block.methods.iter().map(|method| method.started).sum::<u32>()));
    let is_alone = |method: &&MethodAnswer| {
        !blocks.iter().any(|block| block.methods.iter().any(|of| of.method == method.method))
    };
    let alone: Vec<&MethodAnswer> = methods.iter().copied().filter(is_alone).collect();
    if !alone.is_empty() {
        blocks.push(Linked { heading: "Never tried beside another method", methods: alone });
    }
    head(&mut blocks);
    blocks
}

/// A single block needs no heading, and of several linked ones only the first is what the others are not.
fn head(blocks: &mut [Linked<'_>]) {
    match blocks {
        [only] => only.heading = "",
        [first, others @ ..] => {
            let is_linked = first.methods.len() > 1;
            others
                .iter_mut()
                .filter(|block| is_linked && block.heading == SIDE_BY_SIDE)
                .for_each(|block| block.heading = "Side by side with each other, never with those above");
        }
        [] => {}
    }
}

/// Methods in the order shown.
pub fn in_order(answer: &PoolAnswer) -> Vec<&MethodAnswer> {
    blocks(answer).into_iter().flat_map(|block| block.methods).collect()
}
