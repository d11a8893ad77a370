//! What is said of answers as they are worked out: the numbers are checked beside the answers, the sentences here.

mod compared;
mod planned;
mod pooled;

use propagule_evidence::EvidenceRow;
use propagule_evidence::fixtures::row;
use unicode_width::UnicodeWidthStr;

/// Six growers, 27 of 124 (story E).
fn adviser() -> Vec<EvidenceRow> {
    let counts = [(20, 3), (15, 0), (24, 8), (25, 5), (10, 0), (30, 11)].into_iter().enumerate();
    counts.map(|(n, (started, rooted))| row(&format!("g{n}"), "1", "1", started, rooted)).collect()
}

/// None of 97 by four growers (story D), 34 of them alive.
fn green() -> Vec<EvidenceRow> {
    let own = [(12, "1", 5), (15, "2", 9), (13, "3", 12), (14, "4", 8)];
    let own = own.map(|(started, arm, alive)| EvidenceRow {
        own: true,
        alive: Some(alive),
        ..row("me", "1", arm, started, 0)
    });
    let others = [14, 9, 20].into_iter().enumerate();
    own.into_iter().chain(others.map(|(n, started)| row(&format!("g{n}"), "1", "1", started, 0))).collect()
}

#[track_caller]
fn fits(text: &str, width: usize) {
    for line in text.lines() {
        assert!(UnicodeWidthStr::width(line) <= width && !line.ends_with(' '), "{width}: {line}");
    }
}
