//! The bench as a picture.

use propagule_bench::layout::Layout;
use propagule_present::chart::{BenchMap, Chart};

/// The layout as SVG: each place with its label, blocks by pattern and number, free places dashed.
///
/// `labels` are those of the request's replicates, in their order.
pub fn bench_map(layout: &Layout, labels: &[String]) -> String {
    Chart::from(BenchMap::of(layout, labels)).svg().into_string()
}
