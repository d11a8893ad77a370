//! Random charts with hostile words and numbers that no count gives.

use propagule_present::chart::{
    Alive, AliveLine, Band, Behind, BenchMap, BenchPlace, Chances, Chart, Dots, Forest, ForestBlock,
    ForestRow, Funnel, Key, KeyMark, LifeLine, Mark, Measure, Months, Neighbor, Outcomes, Pieces, PotTray,
    PotTrays, Reading, Share, Step, Stop, Strip,
};
use proptest::collection::vec;
use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::select;
use proptest::strategy::Union;

use crate::documents::hostile;

/// A rate, and what is none.
fn rate() -> impl Strategy<Value = f64> {
    prop_oneof![6 => 0.0..1.0_f64, 1 => Just(0.0), 1 => Just(1.0), 1 => -2.0..9.0_f64, 1 => Just(1e18)]
}

fn words<const N: usize>() -> impl Strategy<Value = [String; N]> {
    vec(hostile(), N).prop_map(|words| words.try_into().expect("so many words"))
}

fn behind() -> impl Strategy<Value = Behind> {
    words().prop_map(|[summary, caption]| Behind::named(summary, caption))
}

fn chances() -> impl Strategy<Value = Chart> {
    (vec(rate(), 0..60), 0..70_usize, words(), behind()).prop_map(
        |(law, own, [said, counted, yours, times], behind)| {
            Chances { said, law, own, counted, yours, times, behind }.into()
        },
    )
}

fn count() -> impl Strategy<Value = u32> {
    prop_oneof![4 => 0..40_u32, 1 => any::<u32>()]
}

/// Lines of the living.
fn alive() -> impl Strategy<Value = Chart> {
    let point = (any::<i32>(), any::<u32>());
    let line = (hostile(), any::<u32>(), vec(point, 0..4)).prop_map(|(name, started, points)| AliveLine {
        name,
        started,
        points,
    });
    (words(), vec(line, 0..5), behind())
        .prop_map(|([said, day, note], lines, behind)| Alive { said, lines, day, note, behind }.into())
}

fn life_line() -> impl Strategy<Value = Chart> {
    let stop = (hostile(), hostile(), any::<i32>(), any::<bool>())
        .prop_map(|(words, on, day, is_done)| Stop { words, on, day, is_done });
    (words(), vec(stop, 0..6), vec(any::<i32>(), 0..4), any::<i32>(), words(), behind()).prop_map(
        |([said, today_is], stops, looks, today, heads, behind)| {
            LifeLine { said, stops, looks, today, today_is, heads, behind }.into()
        },
    )
}

fn dots() -> impl Strategy<Value = Chart> {
    tray().prop_map(Into::into)
}

fn pot_trays() -> impl Strategy<Value = Chart> {
    let pot = (words(), tray()).prop_map(|([code, of, holds], tray)| PotTray { code, of, tray, holds });
    (vec(pot, 0..4), words(), behind())
        .prop_map(|(pots, heads, behind)| PotTrays { pots, heads, behind }.into())
}

fn tray() -> impl Strategy<Value = Dots> {
    use Mark::{Below, Dead, Left, Lost, NotKnown, Uncounted, Waiting, With};
    let mark = select(vec![Left, Below, With, Waiting, NotKnown, Uncounted, Dead, Lost]);
    let state = (mark, hostile(), count()).prop_map(|(mark, words, count)| Pieces { mark, words, count });
    (vec(state, 0..7), words()).prop_map(|(states, [said, pieces, state])| Dots {
        said,
        states,
        pieces,
        state,
    })
}

fn reading() -> impl Strategy<Value = Reading> {
    let pair = || [rate(), rate()];
    prop_oneof![
        (rate(), pair(), pair()).prop_map(|(rate, interval, range)| Reading::Average {
            rate,
            interval,
            range
        }),
        (of(rate()), pair()).prop_map(|(rate, interval)| Reading::Count { rate, interval }),
    ]
}

fn forest_row() -> impl Strategy<Value = ForestRow> {
    let numbers = (rate(), any::<(u32, u32)>(), of(any::<(u32, u32)>()), of((rate(), [rate(), rate()])));
    (words(), reading(), vec(hostile(), 0..3), numbers).prop_map(
        |([what, basis, said, rate, more], reading, beside, (share_of_most, count, own, everybody))| {
            ForestRow { what, basis, said, reading, rate, beside, more, count, share_of_most, own, everybody }
        },
    )
}

fn forest() -> impl Strategy<Value = Chart> {
    use KeyMark::{Average, Count, Everybody, Own, Range};
    let key = (select(vec![Average, Range, Count, Own, Everybody]), words());
    let key = key.prop_map(|(mark, [words, in_text])| Key { mark, words, in_text });
    let block =
        (hostile(), vec(forest_row(), 0..3)).prop_map(|(heading, rows)| ForestBlock { heading, rows });
    (vec(block, 0..3), vec(key, 0..5), hostile(), words(), behind())
        .prop_map(|(blocks, keys, yours, heads, behind)| Forest { blocks, keys, yours, heads, behind }.into())
}

fn funnel() -> impl Strategy<Value = Chart> {
    let step = (hostile(), count(), count()).prop_map(|(words, count, of)| Step { words, count, of });
    (vec(step, 0..5), hostile(), words())
        .prop_map(|(steps, caption, heads)| Funnel { steps, caption: caption.into(), heads }.into())
}

fn months() -> impl Strategy<Value = Chart> {
    let band = || of((hostile(), rate(), rate()).prop_map(|(words, from, to)| Band { words, from, to }));
    (hostile(), proptest::array::uniform12(-50.0..50.0_f64), band(), band(), words(), behind()).prop_map(
        |(said, own, coldest, hottest, heads, behind)| {
            Months { said, own, coldest, hottest, heads, behind }.into()
        },
    )
}

fn outcomes() -> impl Strategy<Value = Chart> {
    (vec(count(), 0..150), count(), words(), words(), behind()).prop_map(
        |(outcomes, want, [said, counted, head], groups, behind)| {
            Outcomes { said, outcomes, want, counted, groups, head, behind }.into()
        },
    )
}

fn strip() -> impl Strategy<Value = Chart> {
    let neighbor = (rate(), any::<bool>()).prop_map(|(value, is_near)| Neighbor { value, is_near });
    let measure = (words(), of(rate()), vec(neighbor, 0..4))
        .prop_map(|([said, what, unit], own, others)| Measure { said, what, unit, own, others });
    (vec(measure, 0..3), words(), words(), words(), behind()).prop_map(
        |(measures, keys, [note, not_known], heads, behind)| {
            Strip { measures, keys, note, heads, not_known, behind }.into()
        },
    )
}

fn bench() -> impl Strategy<Value = Chart> {
    let place = (of(hostile()), of(any::<u8>())).prop_map(|(label, block)| BenchPlace { label, block });
    vec(vec(place, 0..5), 0..5).prop_map(|rows| BenchMap { rows }.into())
}

/// A chart of any kind.
pub(crate) fn chart() -> BoxedStrategy<Chart> {
    // In boxes: side by side they are too large for the stack of a test.
    let all = [
        chances().boxed(),
        alive().boxed(),
        life_line().boxed(),
        pot_trays().boxed(),
        dots().boxed(),
        forest().boxed(),
        funnel().boxed(),
        months().boxed(),
        outcomes().boxed(),
        rate().prop_map(|share| Share { share }.into()).boxed(),
        strip().boxed(),
        bench().boxed(),
    ];
    Union::new(all).boxed()
}
