use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;

use super::*;

/// So many replicates of each arm.
fn request(seed: u64, arms: &[usize], columns: usize, is_blocked: bool) -> LayoutRequest {
    let of_arm = |(at, size): (usize, &usize)| {
        let arm = at as u8 + 1;
        (1..=*size).map(move |pot| ReplicateSpec {
            code: format!("A{arm}-P{pot}"),
            arm,
            block: None,
            stock_plant: None,
        })
    };
    let replicates = arms.iter().enumerate().flat_map(of_arm).collect();
    LayoutRequest { seed, replicates, columns, is_blocked }
}

fn found(request: &LayoutRequest) -> BTreeMap<Cause, Evenness> {
    imbalance(&lay_out(request), request).into_iter().map(|cause| (cause.cause, cause.found)).collect()
}

fn edge_counts(request: &LayoutRequest) -> Vec<usize> {
    let layout = lay_out(request);
    let mut counts = BTreeMap::new();
    for cell in &layout.cells {
        if let Some(replicate) = cell.replicate {
            *counts.entry(request.replicates[replicate].arm).or_insert(0) += usize::from(cell.is_edge);
        }
    }
    counts.into_values().collect()
}

#[test]
fn nothing_and_one_work() {
    let none = request(1, &[], 4, true);
    let layout = lay_out(&none);
    assert_eq!((layout.rows, layout.cells.len()), (0, 0));
    assert!(imbalance(&layout, &none).is_empty() && layout.walk().is_empty());
    let one = request(1, &[1], 0, true);
    let layout = lay_out(&one);
    assert_eq!((layout.columns, layout.rows), (1, 1));
    assert!(layout.cells[0].is_edge);
    assert!(imbalance(&layout, &one).is_empty(), "one arm has nothing to be compared with");
}

#[test]
fn the_largest_bench_is_laid_out() {
    let largest = request(3, &[50; 24], 34, false);
    let layout = lay_out(&largest);
    assert_eq!(layout.walk().len(), 1_200);
    let counts = edge_counts(&largest);
    assert!(counts.iter().max().expect("24") - counts.iter().min().expect("24") <= 1, "{counts:?}");
}

/// Guards layouts on paper: a journal may hold only the seed.
#[test]
fn a_seed_gives_the_layout_that_it_gave() {
    let layout = lay_out(&request(20_261_125, &[4, 4, 4], 4, true));
    let walk: Vec<usize> = layout.walk();
    assert_eq!(walk, GOLDEN_WALK);
}

const GOLDEN_WALK: [usize; 12] = [8, 5, 0, 10, 2, 4, 11, 3, 7, 1, 6, 9];

#[test]
fn edges_are_where_a_neighbour_is_missing() {
    // 11 on 4 columns: the last row is walked from the left and its last place is free.
    let layout = lay_out(&request(5, &[6, 5], 4, false));
    let edges: Vec<bool> = layout.cells.iter().map(|cell| cell.is_edge).collect();
    let (y, n) = (true, false);
    assert_eq!(edges, [y, y, y, y, y, n, n, y, y, y, y, y]);
    assert_eq!(layout.cells[11].replicate, None);
    // 10 on 4 columns: two places of the second row have no neighbour in front.
    let layout = lay_out(&request(5, &[5, 5], 4, false));
    let edges: Vec<bool> = layout.cells[4..8].iter().map(|cell| cell.is_edge).collect();
    assert_eq!(edges, [y, n, y, y]);
}

#[test]
fn blocks_are_connected_and_hold_each_arm() {
    for (arms, columns) in [(&[4_usize, 4, 4][..], 5), (&[3, 3], 2), (&[6, 3], 4), (&[10; 7], 9)] {
        let request = request(11, arms, columns, true);
        let layout = lay_out(&request);
        let blocks: BTreeSet<u8> = layout.cells.iter().filter_map(|cell| cell.block).collect();
        assert_eq!(blocks.len(), *arms.iter().min().expect("some"));
        for block in blocks {
            let cells: Vec<&Cell> = layout.cells.iter().filter(|cell| cell.block == Some(block)).collect();
            let mut found: BTreeMap<u8, usize> = BTreeMap::new();
            for cell in &cells {
                *found.entry(request.replicates[cell.replicate.expect("in a block")].arm).or_default() += 1;
            }
            let even: BTreeMap<u8, usize> = arms
                .iter()
                .enumerate()
                .map(|(at, size)| (at as u8 + 1, size / arms.iter().min().expect("some")))
                .collect();
            assert_eq!(found, even, "block {block} of {arms:?}");
            assert!(is_connected(&cells), "block {block} of {arms:?}");
        }
    }
}

fn is_connected(cells: &[&Cell]) -> bool {
    let all: BTreeSet<(usize, usize)> = cells.iter().map(|cell| (cell.row, cell.column)).collect();
    let mut reached = BTreeSet::new();
    let mut open: Vec<(usize, usize)> = all.first().copied().into_iter().collect();
    while let Some((row, column)) = open.pop() {
        if all.contains(&(row, column)) && reached.insert((row, column)) {
            open.extend([(row + 1, column), (row, column + 1)]);
            open.extend(row.checked_sub(1).map(|row| (row, column)));
            open.extend(column.checked_sub(1).map(|column| (row, column)));
        }
    }
    reached == all
}

#[test]
fn given_blocks_stay() {
    let mut shared = request(2, &[3, 3], 3, true);
    for (at, replicate) in shared.replicates.iter_mut().enumerate() {
        replicate.block = Some([7, 9, 12][at % 3]);
    }
    let layout = lay_out(&shared);
    for cell in &layout.cells {
        assert_eq!(cell.block, shared.replicates[cell.replicate.expect("full")].block);
    }
    assert_eq!(found(&shared)[&Cause::Blocks], Evenness::BlocksEqual);
    shared.replicates[0].block = Some(9);
    assert_eq!(found(&shared)[&Cause::Blocks], Evenness::BlocksDiffer { by: 2 });
}

#[test]
fn each_arm_stands_anywhere_with_the_same_chance() {
    let first_is_arm_1 = |seed| lay_out(&request(seed, &[6, 6], 4, false)).walk()[0] < 6;
    let often = (0..400).filter(|seed| first_is_arm_1(*seed)).count();
    // Half of 400, within three standard deviations of 10.
    assert!((170..=230).contains(&often), "{often}");
}

#[test]
fn stock_plants_are_spread_over_blocks_and_edges() {
    let mut mothers = request(4, &[8, 8], 4, true);
    for (at, replicate) in mothers.replicates.iter_mut().enumerate() {
        replicate.stock_plant = Some(["Ada", "Bea"][at / 4 % 2].to_owned());
    }
    let layout = lay_out(&mothers);
    let at_edge = |plant: &str| {
        let stands = |cell: &&Cell| {
            cell.replicate.is_some_and(|at| mothers.replicates[at].stock_plant.as_deref() == Some(plant))
        };
        layout.cells.iter().filter(|cell| cell.is_edge).filter(stands).count()
    };
    assert_eq!((at_edge("Ada"), at_edge("Bea")), (6, 6));
    assert_eq!(found(&mothers)[&Cause::StockPlants], Evenness::StockPlantsSpread);
    for (at, replicate) in mothers.replicates.iter_mut().enumerate() {
        replicate.stock_plant = Some(["Ada", "Bea"][at / 8].to_owned());
    }
    let plants = vec![("Ada".to_owned(), 1), ("Bea".to_owned(), 2)];
    assert_eq!(found(&mothers)[&Cause::StockPlants], Evenness::StockPlantsInOneArm { plants });
}

#[test]
fn what_is_uneven_is_told() {
    let edge = |request: &LayoutRequest| found(request)[&Cause::Edge].clone();
    let blocks = |request: &LayoutRequest| found(request)[&Cause::Blocks].clone();
    let even = request(1, &[6, 6], 4, false);
    assert_eq!(edge(&even), Evenness::AtEdge { least: 5, most: 5 });
    assert_eq!(found(&even)[&Cause::Halves], Evenness::HalvesShared);
    assert_eq!(edge(&request(1, &[3, 3], 2, false)), Evenness::AllAtEdge);
    assert_eq!(edge(&request(1, &[4, 4, 4], 4, false)), Evenness::AtEdge { least: 3, most: 4 });
    assert_eq!(edge(&request(1, &[9, 6, 1], 4, false)), Evenness::EdgeShared);
    assert_eq!(blocks(&request(1, &[4, 4, 1], 3, true)), Evenness::BlocksLackArms);
    assert_eq!(blocks(&request(1, &[5, 4], 3, true)), Evenness::BlocksNearlyEqual);
    // Two pots in a row of four blocks of their own: nothing can be swapped.
    let mut stuck = request(1, &[2, 2], 4, true);
    for (at, block) in [1, 4, 2, 3].into_iter().enumerate() {
        stuck.replicates[at].block = Some(block);
    }
    stuck.columns = 2;
    assert_eq!(blocks(&stuck), Evenness::BlocksLackArms);
    let mut sided = request(1, &[4, 4], 8, true);
    for (at, replicate) in sided.replicates.iter_mut().enumerate() {
        replicate.block = Some(at as u8 / 4 + 1);
    }
    let region = BenchPart::Right;
    assert_eq!(
        found(&sided)[&Cause::Halves],
        Evenness::Uneven { arm: 2, size: 4, found: 4, even: 2.0, region }
    );
}

fn any_request() -> impl Strategy<Value = LayoutRequest> {
    let arms = proptest::collection::vec(0..9_usize, 0..7);
    (any::<u64>(), arms, 0..12_usize, any::<bool>())
        .prop_map(|(seed, arms, columns, is_blocked)| request(seed, &arms, columns, is_blocked))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn every_replicate_stands_once_and_a_seed_decides(request in any_request()) {
        let layout = lay_out(&request);
        let mut placed: Vec<usize> = layout.cells.iter().filter_map(|cell| cell.replicate).collect();
        placed.sort_unstable();
        prop_assert_eq!(placed, (0..request.replicates.len()).collect::<Vec<_>>());
        prop_assert_eq!(layout.cells.len(), layout.rows * layout.columns);
        prop_assert_eq!(&lay_out(&request), &layout);
        for cause in imbalance(&layout, &request) {
            prop_assert!(cause.deviation.is_finite(), "{:?}", cause);
        }
    }

    #[test]
    fn edges_are_shared_within_one(seed: u64, arms in 2..8_usize, size in 1..9_usize, columns in 1..9_usize, is_blocked: bool) {
        let counts = edge_counts(&request(seed, &vec![size; arms], columns, is_blocked));
        let apart = counts.iter().max().expect("arms") - counts.iter().min().expect("arms");
        prop_assert!(apart <= 1, "{:?}", counts);
    }

    #[test]
    fn another_seed_gives_another_layout(seed: u64) {
        // 24 replicates have 6 × 10^23 orders.
        let walk = |seed| lay_out(&request(seed, &[8, 8, 8], 6, false)).walk();
        prop_assert_ne!(walk(seed), walk(seed.wrapping_add(1)));
    }
}
