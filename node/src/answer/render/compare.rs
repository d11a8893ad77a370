//! A comparison as text: each own arm's sentence, its place among the others, then who they are.

use super::bar::Axis;
use super::wrap::{columns, pad_left, pad_right, push_line, short_label, usable_width, wrap};
use crate::answer::compare::{ArmAnswer, CompareAnswer, Peer};
use crate::answer::words;

/// The answer in lines of at most `width` columns, 60 to 120.
pub fn compare_text(answer: &CompareAnswer, width: usize) -> String {
    let width = usable_width(width);
    let mut out = String::new();
    wrap(
        &mut out,
        &format!("{}: {} against other growers", answer.species, short_label(&answer.trial)),
        width,
        "",
    );
    if let Some(place) = &answer.at {
        wrap(&mut out, &words::as_if_at(place), width, "");
    }
    let same_peers = has_same_peers(answer);
    for arm in &answer.arms {
        out.push('\n');
        wrap(&mut out, &arm_heading(arm), width, "");
        wrap(&mut out, &arm.sentence, width, "  ");
        picture(&mut out, arm, width);
        if !same_peers {
            peers(&mut out, arm, answer, width);
        }
    }
    if let Some(arm) = answer.arms.first().filter(|_| same_peers) {
        out.push_str("\nThe others\n");
        peers(&mut out, arm, answer, width);
    }
    if !answer.warnings.is_empty() {
        out.push('\n');
    }
    for warning in &answer.warnings {
        wrap(&mut out, &warning.text, width, "");
    }
    out
}

fn arm_heading(arm: &ArmAnswer) -> String {
    let differs: Vec<String> =
        arm.differs_in.iter().map(|(facet, word)| format!("{} {word}", facet.replace('_', " "))).collect();
    let differs = if differs.is_empty() { String::new() } else { format!(" ({})", differs.join(", ")) };
    format!("Arm {}{differs}, {}", arm.arm, arm.method)
}

/// Whether every arm is compared with the same others, so that they need naming only once.
fn has_same_peers(answer: &CompareAnswer) -> bool {
    let of = |arm: &ArmAnswer| {
        let peers = answer.peers.iter().filter(|peer| peer.arm == arm.arm);
        peers.map(|peer| (peer.grower.as_str(), peer.rooted, peer.started)).collect::<Vec<_>>()
    };
    answer.arms.first().is_some_and(|first| answer.arms.iter().all(|arm| of(arm) == of(first)))
}

/// The others' bar with the own rate under it.
fn picture(out: &mut String, arm: &ArmAnswer, width: usize) {
    let own = f64::from(arm.own_rooted) / f64::from(arm.own_stuck.max(1));
    let fit = &arm.fit;
    let axis = Axis::holding(own.max(fit.new_grower_rate_q[2]));
    let room = width - 2;
    let bar = axis.bar(fit.average_grower_rate_mean, fit.average_grower_rate_q, fit.new_grower_rate_q, room);
    push_line(out, "  ", &bar);
    push_line(out, "  ", &axis.mark('^', own, room));
    push_line(out, "  ", &axis.ruler(room));
    wrap(out, "O average of the others, = its 95 % interval, . a new grower's range, ^ yours", width, "  ");
}

/// Most others named under an arm; the rest are counted.
const PEERS_SHOWN: usize = 8;

fn peers(out: &mut String, arm: &ArmAnswer, answer: &CompareAnswer, width: usize) {
    let others: Vec<&Peer> = answer.peers.iter().filter(|peer| peer.arm == arm.arm).collect();
    let labels = others.iter().map(|peer| short_label(&peer.grower));
    let label_width = labels.map(|label| columns(&label)).max().unwrap_or(0).min(width.saturating_sub(36));
    for peer in others.iter().take(PEERS_SHOWN) {
        let band = peer.band.map_or("climate not known", words::band_words);
        let counts = pad_left(&format!("{}/{}", peer.rooted, peer.started), 9);
        push_line(
            out,
            "  ",
            &format!("{} {counts}  {band}", pad_right(&short_label(&peer.grower), label_width)),
        );
    }
    if others.len() > PEERS_SHOWN {
        push_line(out, "  ", &format!("and {} more", others.len() - PEERS_SHOWN));
    }
}
