//! Every field of a summary in words. Structs are taken apart without `..`, so that no new field can be
//! left out of the account.

use super::Item;
use crate::record::{
    Arm, Counts, DesignFlags, Facets, Head, Parent, Phase, Region, Stage, StageCounts, Summary, Weeks,
};
use crate::vocab::Facet;

pub(super) fn account(summary: &Summary) -> Vec<Item> {
    let Summary {
        head: Head { major, minor, signed },
        series,
        revision,
        taxon,
        region,
        season,
        weeks,
        design,
        stock_plants,
        doi,
        grower_mark,
        parent,
        control,
        arms,
        extensions,
    } = summary;
    let mut items = vec![
        Item::new("month of publication", signed.to_string()),
        Item::new("schema version", format!("{major}.{minor}")),
        Item::new("random name of the trial", crate::hex::encode(series)),
        Item::new("revision", revision.to_string()),
        Item::new("plant", taxon.to_string()),
        Item::new("season (month of starting, northern)", season.to_string()),
    ];
    items.extend(region_items(region));
    items.extend(week_items(*weeks));
    items.push(design_item(*design));
    items.extend(stock_plants.map(|class| Item::new("stock plants", stock_plant_word(class))));
    items.extend(doi.as_ref().map(|doi| Item::new("transcribed from", doi)));
    items.extend(
        grower_mark.map(|mark| Item::new("random mark of the other grower", crate::hex::encode(&mark))),
    );
    items.extend(parent.map(parent_item));
    items.extend(control.map(|number| Item::new("control", format!("arm {number}"))));
    items.extend(arms.iter().flat_map(arm_items));
    items.extend(extensions.keys().map(|key| extension("record", *key)));
    items
}

fn extension(map: &str, key: u64) -> Item {
    Item::new(format!("{map}: extension"), format!("key {key}"))
}

fn region_items(region: &Region) -> Vec<Item> {
    let Region { rule: _, koppen: _, zone: _, coldest: _, hottest: _, rain: _, extensions } = region;
    let words = region.words().into_iter().map(|(what, value)| Item::new(what, value));
    words.chain(extensions.keys().map(|key| extension("region", *key))).collect()
}

fn week_items(weeks: Weeks) -> Vec<Item> {
    let Weeks { lift, season, spring, last } = weeks;
    let stages =
        [("lift", lift), ("count at season end", season), ("spring count", spring), ("final count", last)];
    let item = |(stage, weeks): (&str, Option<u16>)| {
        weeks.map(|n| Item::new(format!("weeks to {stage}"), n.to_string()))
    };
    stages.into_iter().filter_map(item).collect()
}

fn parent_item(parent: Parent) -> Item {
    let Parent { series, relation } = parent;
    let value = format!("{} {}", relation.word(), crate::hex::encode(&series));
    Item::new("earlier trial by its random name", value)
}

fn design_item(design: DesignFlags) -> Item {
    let words = design.words();
    Item::new(
        "layout and scoring",
        if words.is_empty() { "nothing stated".to_owned() } else { words.join(", ") },
    )
}

fn stock_plant_word(class: u8) -> &'static str {
    match class {
        1 => "1",
        2 => "2-3",
        3 => "4-9",
        _ => "10 or more",
    }
}

fn arm_items(arm: &Arm) -> Vec<Item> {
    let Arm {
        number,
        started,
        facets,
        stages,
        replicates,
        start_offset_months,
        unlisted_difference,
        phases,
        weeks_to_lift,
        extensions,
    } = arm;
    let name = format!("arm {number}");
    let item = |what: &str, value: String| Item::new(format!("{name}: {what}"), value);
    let mut items = vec![item("started", started.to_string())];
    items.extend(facet_items(&name, facets));
    items.extend(replicates.as_ref().map(|r| item("started per replicate", joined(r))));
    items.extend(start_offset_months.map(|months| item("started months later", months.to_string())));
    items.extend(unlisted_difference.map(|mark| item("unlisted difference", format!("mark {mark}"))));
    items.extend(weeks_to_lift.map(|weeks| item("weeks to its lift", weeks.to_string())));
    items.extend(stage_items(&name, stages));
    items.extend(phases.iter().flat_map(|phase| phase_items(&name, phase)));
    items.extend(extensions.keys().map(|key| extension(&name, *key)));
    items
}

fn facet_items(name: &str, facets: &Facets) -> Vec<Item> {
    let stated = Facet::ALL.into_iter().filter_map(|facet| facets.word(facet).map(|word| (facet, word)));
    let words =
        stated.map(|(facet, word)| Item::new(format!("{name}: {}", facet.name().replace('_', " ")), word));
    words.chain(facets.extensions.keys().map(|key| extension(name, *key))).collect()
}

fn phase_items(name: &str, phase: &Phase) -> Vec<Item> {
    let Phase { after_weeks, facets } = phase;
    let weeks = if *after_weeks == 1 { "week" } else { "weeks" };
    let name = format!("{name}, after {after_weeks} {weeks}");
    let moved = Item::new(name.clone(), "moved, unrooted survivors");
    std::iter::once(moved).chain(facet_items(&name, facets)).collect()
}

fn stage_items(name: &str, stages: &StageCounts) -> Vec<Item> {
    let items = |(stage, counts): (Stage, &Counts)| count_items(&format!("{name}, {}", stage.name()), counts);
    stages.counted().flat_map(items).collect()
}

fn count_items(name: &str, counts: &Counts) -> Vec<Item> {
    let Counts {
        alive,
        callused,
        rooted,
        established,
        finished,
        dead,
        lost,
        replicates,
        left_as_finished,
        ever_rooted,
        lost_by_replicate,
        extensions,
    } = counts;
    let named = [
        ("alive", alive),
        ("callused", callused),
        ("rooted", rooted),
        ("ever rooted", ever_rooted),
        ("established", established),
        ("final", finished),
        ("left as finished", left_as_finished),
        ("dead", dead),
        ("lost", lost),
    ];
    let item =
        |(what, n): (&str, &Option<u16>)| n.map(|n| Item::new(format!("{name}: {what}"), n.to_string()));
    let lists = [("per replicate", replicates), ("lost per replicate", lost_by_replicate)];
    let list = |(what, list): (&str, &Option<Vec<u16>>)| {
        list.as_ref().map(|list| Item::new(format!("{name}: {what}"), joined(list)))
    };
    let kept = extensions.keys().map(|key| extension(name, *key));
    named.into_iter().filter_map(item).chain(lists.into_iter().filter_map(list)).chain(kept).collect()
}

fn joined(numbers: &[u16]) -> String {
    numbers.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}
