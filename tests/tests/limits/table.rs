//! Where the test of each limit stands.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, ensure};
use serde_json::Value;

/// A name, and the names that belong to it.
type Row = (&'static str, &'static [&'static str]);

/// Files with tests, each with its tests, each with the limits that it goes beyond.
const TESTS: &[(&str, &[Row])] = &[
    (
        "tests/tests/connections.rs",
        &[
            ("a_node_that_is_full_keeps_no_connection_that_it_opens_itself", &["CONNECTIONS"]),
            ("strangers_get_as_many_connections_as_the_limit_says", &["CONNECTIONS_IN"]),
            ("one_peer_gets_as_many_connections_as_the_limit_says", &["CONNECTIONS_PER_PEER"]),
            ("handshakes_that_do_not_go_on_take_few_places", &["PENDING_IN", "CONNECT_TIME"]),
            ("a_node_begins_a_few_handshakes_at_a_time", &["PENDING_OUT"]),
        ],
    ),
    (
        "tests/tests/limits/questions.rs",
        &[
            ("one_peer_has_a_few_questions_answered_at_a_time", &["STREAMS_PER_PEER"]),
            ("a_node_answers_a_few_questions_at_a_time", &["ANSWERS"]),
            ("a_peer_that_does_not_reply_is_given_up", &["REPLY_TIME"]),
            ("a_session_whose_time_is_over_asks_nothing_more", &["SESSION_TIME"]),
        ],
    ),
    (
        "tests/tests/limits/relaying.rs",
        &[
            ("places_at_a_relay_have_an_end", &["RELAY_PLACES"]),
            ("one_peer_gets_a_few_circuits", &["RELAY_CIRCUITS_PER_PEER"]),
            ("circuits_through_a_node_have_an_end", &["RELAY_CIRCUITS"]),
            ("a_circuit_ends_when_its_bytes_are_used_up", &["RELAY_CIRCUIT_BYTES"]),
            ("a_circuit_ends_when_its_time_is_over", &["RELAY_CIRCUIT_TIME"]),
        ],
    ),
    (
        "tests/tests/limits/gossip.rs",
        &[
            ("a_stream_with_more_at_once_than_may_be_read_is_left", &["GOSSIP_READ_BYTES"]),
            ("more_gossip_of_one_peer_than_its_quota_comes_later", &["GOSSIP_BURST"]),
            ("a_message_longer_than_the_longest_is_not_judged", &["GOSSIP_BYTES"]),
        ],
    ),
    (
        "node/network/src/net/queue_tests.rs",
        &[
            ("whoever_commands_waits_when_too_many_commands_do", &["COMMANDS"]),
            ("gossip_that_waits_has_an_end_and_is_judged_in_batches", &["GOSSIP_QUEUE", "GOSSIP_BATCH"]),
        ],
    ),
    (
        "node/network/src/net/peers_tests.rs",
        &[
            (
                "an_address_group_has_a_limit_and_loopback_only_when_configured",
                &["CONNECTIONS_PER_ADDRESS_GROUP"],
            ),
            ("connections_by_way_of_one_relay_are_limited_both_ways", &["CONNECTIONS_PER_RELAY"]),
        ],
    ),
    (
        "node/network/src/net/doorkeeper.rs",
        &[("one_place_begins_a_few_handshakes_at_a_time", &["PENDING_PER_GROUP"])],
    ),
    (
        "node/network/src/spread/doors_tests.rs",
        &[
            ("who_says_nothing_takes_no_place_and_goes_when_its_time_is_over", &["ANTEROOM"]),
            ("friends_and_those_that_nobody_outdoes_at_will_are_never_moved", &["SHIELDED"]),
        ],
    ),
    (
        "node/network/src/net/discreet.rs",
        &[("only_public_addresses_are_taken_up_and_not_without_end", &["CANDIDATES", "CANDIDATE_GAP"])],
    ),
    (
        "node/network/src/net/reach_tests.rs",
        &[("behind_a_router_two_peers_in_different_places_must_say_the_same", &["WITNESSES"])],
    ),
    ("node/network/src/net/nearby.rs", &[("who_floods_is_noticed_and_nothing_of_it_is_kept", &["NEARBY"])]),
    (
        "node/network/src/net/relays.rs",
        &[("two_places_are_kept_and_a_relay_that_refuses_is_left_alone_for_a_while", &["RELAYS_SOUGHT"])],
    ),
    (
        "node/network/src/net/invite.rs",
        &[
            ("a_full_invite_of_relayed_addresses_fits_and_one_more_address_does_not", &["INVITE_ADDRESSES"]),
            ("garbage_is_refused_and_never_repeated_in_full", &["INVITE_BYTES"]),
        ],
    ),
    (
        "node/network/src/net/allowed.rs",
        &[("the_list_and_its_names_have_an_end", &["ALLOWED_NODES", "ALLOWED_NAME"])],
    ),
    (
        "node/network/src/net/codec.rs",
        &[("questions_and_replies_have_each_their_own_limit", &["QUESTION_BYTES", "REPLY_BYTES"])],
    ),
    (
        "node/network/src/spread/ledger_tests.rs",
        &[
            (
                "a_peer_is_blocked_at_its_points_and_each_offence_weighs_what_the_table_says",
                &["POINTS_OF_PEER"],
            ),
            ("points_are_forgotten_after_a_while", &["POINTS_MEMORY"]),
            ("each_block_is_twice_as_long_as_the_one_before_and_none_longer_than_a_day", &["BLOCK_LONGEST"]),
            (
                "half_the_points_of_its_peers_are_charged_to_a_group_which_then_gets_one_connection",
                &["POINTS_OF_GROUP", "GROUP_NARROWED"],
            ),
            ("a_record_that_failed_is_not_asked_of_the_same_peer_for_a_day", &["SHUNNED_FOR"]),
            (
                "the_memory_of_passing_offenders_and_groups_is_bounded_and_blocks_outlast_points",
                &["REMEMBERED_PEERS"],
            ),
            (
                "a_flood_of_gossip_is_charged_and_what_may_be_sent_is_not",
                &["GOSSIP_FLOOD", "GOSSIP_FLOOD_PER_SECOND"],
            ),
        ],
    ),
    (
        "node/network/src/sync/allowance_tests.rs",
        &[
            ("a_peer_may_ask_a_burst_and_then_at_the_steady_rate", &["QUESTIONS", "QUESTIONS_PER_SECOND"]),
            ("a_peer_draws_no_more_bytes_than_it_may_have", &["ANSWERED_BYTES", "ANSWERED_BYTES_PER_SECOND"]),
            ("a_peer_takes_no_more_time_than_it_may_have", &["ANSWER_TIME", "ANSWER_TIME_REFILL"]),
            (
                "reconciling_answers_no_more_than_the_questions_answer_for",
                &["UNMATCHED_BYTES", "UNMATCHED_REFILL", "UNMATCHED_RATIO"],
            ),
            ("all_peers_together_draw_no_more_than_the_line_gives_and_share_it_evenly", &["LINE_BYTES"]),
            ("a_turn_is_kept_for_a_while_and_whoever_comes_later_waits_anew", &["TURN_KEPT"]),
            ("small_questions_are_answered_while_there_is_anything_left", &["ALLOWANCE_SMALL_REPLY"]),
        ],
    ),
    (
        "node/network/src/net/behaviour.rs",
        &[("gossip_remembers_for_a_while_and_its_packets_have_an_end", &["GOSSIP_SEEN", "GOSSIP_PACKET"])],
    ),
    (
        "node/network/src/spread/book_tests.rs",
        &[
            (
                "no_source_fills_more_than_a_quarter_and_the_book_has_an_end",
                &["BOOK_ADDRESSES", "BOOK_ADDRESSES_PER_SOURCE", "ADDRESS_BYTES"],
            ),
            (
                "strangers_are_dialled_as_far_as_connections_are_sought_and_the_last_peers_first",
                &["SOUGHT_CONNECTIONS"],
            ),
            (
                "who_has_many_addresses_in_few_places_is_dialled_no_more_often_for_it",
                &["SOUGHT_PER_GROUP", "BOOK_ADDRESSES_PER_GROUP"],
            ),
            ("failures_wait_longer_each_time_and_a_stranger_is_forgotten", &["FAILURES_OF_STRANGERS"]),
            ("only_addresses_that_were_reached_are_told_and_not_too_many", &["TOLD_ADDRESSES"]),
        ],
    ),
    (
        "node/network/src/spread/quota.rs",
        &[
            ("a_peer_may_burst_and_then_goes_at_the_steady_rate", &["GOSSIP_BURST", "GOSSIP_PER_SECOND"]),
            (
                "all_peers_together_bring_no_more_than_is_taken_up",
                &["GOSSIP_TAKEN_UP", "GOSSIP_TAKEN_UP_PER_SECOND"],
            ),
            ("an_author_has_an_hourly_quota", &["AUTHOR_PER_HOUR"]),
            ("the_tables_are_bounded_and_keep_the_latest", &["REMEMBERED_PEERS", "REMEMBERED_AUTHORS"]),
        ],
    ),
    (
        "node/network/src/spread/guards_tests.rs",
        &[
            ("guards_stay_for_nine_to_fifteen_months_and_three_are_chosen_a_year", &["GUARDS_A_YEAR"]),
            ("whoever_comes_by_itself_pushes_out_nobody_that_this_node_chose", &["GUARD_CANDIDATES"]),
        ],
    ),
    (
        "node/network/src/spread/stem_tests.rs",
        &[
            ("a_stem_has_four_hops_on_average_and_seldom_more_than_eleven", &["STEMS_ENDED"]),
            (
                "the_number_of_relayed_records_has_a_limit_and_so_has_each_peer",
                &["STEMMED", "STEM_BURST", "STEM_PER_MINUTE"],
            ),
            (
                "what_is_done_with_a_stem_depends_on_its_neighbour_and_quarter_alone",
                &["STEM_QUARTER", "STEM_OUTLETS"],
            ),
            ("the_outbox_has_an_end", &["OUTBOX"]),
        ],
    ),
    (
        "node/network/src/sync/message_tests.rs",
        &[
            ("months_that_do_not_exist_are_refused", &["MONTHS"]),
            ("more_ids_than_the_limit_are_refused", &["FETCH_IDS"]),
            (
                "an_oversized_record_and_too_many_or_too_long_addresses_are_refused",
                &["TOLD_ADDRESSES", "ADDRESS_BYTES"],
            ),
        ],
    ),
    (
        "node/network/src/sync/pull_tests.rs",
        &[
            (
                "a_frame_over_the_limit_is_declined_and_a_reply_to_a_fetch_is_cut",
                &["FRAME_BYTES", "FETCH_REPLY_BYTES"],
            ),
            ("a_session_stops_at_its_budgets_and_the_next_ones_go_on", &["ROUNDS"]),
            ("a_month_that_is_larger_than_a_session_comes_in_several", &["SESSION_RECORDS"]),
            (
                "over_a_relay_every_session_keeps_to_its_bytes_and_the_next_goes_on",
                &["RELAYED_SESSION_BYTES"],
            ),
        ],
    ),
    (
        "node/network/src/sync/limit_tests.rs",
        &[
            ("a_peer_whose_rounds_bring_no_id_is_given_up", &["ROUNDS_WITHOUT_PROGRESS"]),
            ("a_peer_that_sends_long_frames_is_left_before_all_rounds_are_used_up", &["RECONCILE_BYTES"]),
            (
                "over_a_relay_no_frame_no_question_and_no_reply_is_longer_than_its_limit",
                &["RELAYED_FRAME_BYTES", "RELAYED_FETCH_IDS", "RELAYED_REPLY_BYTES"],
            ),
            ("the_ids_of_a_few_months_are_kept_at_hand_and_the_oldest_go", &["CACHED_MONTHS"]),
        ],
    ),
    (
        "node/network/src/sync/schedule.rs",
        &[
            ("hurrying_asks_all_however_many_had_nothing_new", &["SESSIONS"]),
            (
                "a_second_session_runs_beside_a_slow_one_and_failures_back_off_twice_as_long_each_time",
                &["IN_STEP_SESSIONS"],
            ),
        ],
    ),
    (
        "node/network/src/admission/tests.rs",
        &[
            ("an_author_brings_so_many_a_day_by_class", &["BACKED_PER_DAY", "KNOWN_PER_DAY", "NEW_PER_DAY"]),
            ("whom_the_grower_backs_stays_and_shares_are_kept", &["NEW_SHARE", "KNOWN_SHARE"]),
            ("some_room_is_made_at_once_however_little_is_lacking", &["FREED_AT_ONCE"]),
            ("a_range_once_narrowed_rests_a_week_and_widens_a_bit_a_day", &["RANGE_REST"]),
            (
                "growers_are_asked_for_by_name_in_another_order_each_time_and_not_without_end",
                &["LANE_AUTHORS"],
            ),
        ],
    ),
    (
        "node/network/src/intake_tests.rs",
        &[
            ("a_month_too_far_ahead_waits_and_nobody_is_to_blame", &["MONTHS_AHEAD"]),
            ("ids_that_are_left_today_are_remembered_up_to_an_end", &["REMEMBERED_LEFT"]),
            ("room_that_was_looked_for_in_vain_is_not_looked_for_again_at_once", &["ROOM_GAP"]),
        ],
    ),
    (
        "node/network/src/sync/scope_tests.rs",
        &[
            ("more_authors_at_once_than_the_limit_are_no_question", &["HEADS"]),
            ("the_ids_of_an_author_come_in_parts_and_more_than_a_part_ends_the_session", &["LANE_IDS"]),
            ("months_of_a_few_ranges_are_kept_at_hand", &["CACHED_RANGES"]),
        ],
    ),
    (
        "node/network/src/store/store_tests.rs",
        &[("records_kept_aside_have_a_tenth_of_the_quota_over_restarts", &["HELD_SHARE"])],
    ),
    (
        "node/network/src/bundle/mod.rs",
        &[("a_bundle_over_its_limit_is_neither_written_nor_read", &["BUNDLE_BYTES"])],
    ),
    ("protocol/src/record/standing.rs", &[("a_list_has_an_end", &["STANDING_ENTRIES", "STANDING_PAGES"])]),
    (
        "node/network/src/bundle/request.rs",
        &[("a_file_without_an_end_is_given_up_at_the_limit", &["REQUEST_BYTES"])],
    ),
];

/// Golden vectors that go beyond limits of the record format; the text of the error tells which.
const VECTORS: &[Row] = &[
    ("RECORD_BYTES", &["larger than 4,096 bytes"]),
    ("DEPTH", &["nested too deep"]),
    ("FIRST_IGNORABLE_KEY", &["highest critical key"]),
    ("FIRST_RESERVED_KIND", &["kind 64 is reserved"]),
    ("MAJOR", &["next major"]),
    ("VERSION_MAX", &["major 24"]),
    ("MONTH_MAX", &["signed after December 2199"]),
    ("ARMS", &["25 arms", "arm 25"]),
    ("REVISION_MAX", &["revision 32"]),
    ("STARTED_MAX", &["10,001 started"]),
    ("REPLICATES_MIN", &["one replicate"]),
    ("REPLICATES", &["51 replicates"]),
    ("PHASES", &["three phases"]),
    ("WEEKS_MAX", &["weeks over ten years"]),
    ("START_OFFSET_MAX", &["started 13 months apart"]),
    ("MEDIUM_COMPONENTS", &["seven components"]),
    ("AUXINS", &["four auxins"]),
    ("DOSE_MAX", &["strength over the limit"]),
    ("BOTTOM_HEAT", &["bottom heat of 41 °C", "bottom heat of -6 °C"]),
    ("STRATIFICATION_MAX", &["cold for 105 weeks"]),
    ("BBCH_MAX", &["BBCH 100"]),
    ("TIP_NODES_MAX", &["21 tip nodes removed"]),
    ("EPITHET_BYTES", &["epithet of one letter", "epithet of 41 letters"]),
    ("NAME_BYTES", &["cultivar of 41 bytes"]),
    ("DESIGN_MAX", &["design flags of eleven bits"]),
    ("OLD_DESIGN_MAX", &["design flags of eight bits"]),
    ("RELATION_MAX", &["relation 4"]),
    ("TAXON_MARKS_MAX", &["marks 8"]),
    ("STOCK_PLANTS_MAX", &["stock-plant class 5"]),
    ("ZONE", &["zone 0", "zone 14"]),
    ("COLDEST", &["coldest bin below all"]),
    ("HOTTEST", &["hottest bin above all"]),
    ("RAIN_MAX", &["rain bin above all"]),
];

/// What this version writes; there is nothing beyond it to go to.
const NO_LIMITS: [&str; 3] = ["MINOR", "OTHER_MAJOR", "OTHER_MINOR"];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn read(path: &str) -> anyhow::Result<String> {
    fs::read_to_string(root().join(path)).with_context(|| path.to_owned())
}

/// Names of the constants in a file of limits.
fn constants(path: &str) -> anyhow::Result<BTreeSet<String>> {
    let text = read(path)?;
    let names = text.lines().filter_map(|line| line.strip_prefix("pub const ")?.split(':').next());
    Ok(names.map(str::to_owned).collect())
}

/// A test with its body, from the attribute before it to the brace at its end.
fn test_in<'a>(text: &'a str, name: &str) -> Option<&'a str> {
    let at = text.find(&format!("fn {name}("))?;
    let line = text[..at].rfind('\n')? + 1;
    let indent = &text[line..line + text[line..].find(|c: char| c != ' ')?];
    let is_test = text[..line].lines().next_back()?.trim_end().ends_with("test]");
    let end = text[at..].find(&format!("\n{indent}}}\n"))?;
    is_test.then(|| &text[at..at + end])
}

/// Whether a name stands in a text as a word.
fn names(text: &str, name: &str) -> bool {
    text.split(|c: char| !c.is_ascii_alphanumeric() && c != '_').any(|word| word == name)
}

/// Names of the vectors that are held or refused.
fn vectors() -> anyhow::Result<BTreeSet<String>> {
    let mut found = BTreeSet::new();
    for entry in fs::read_dir(root().join("protocol/vectors"))? {
        let file: Value = serde_json::from_str(&fs::read_to_string(entry?.path())?)?;
        let all = ["held", "invalid"].into_iter().filter_map(|list| file[list].as_array()).flatten();
        found.extend(all.filter_map(|vector| vector["name"].as_str().map(str::to_owned)));
    }
    Ok(found)
}

#[test]
fn every_limit_has_a_test_that_goes_beyond_it() -> anyhow::Result<()> {
    let mut tested = BTreeSet::from(NO_LIMITS.map(str::to_owned));
    for (path, tests) in TESTS {
        let text = read(path)?;
        for (name, limits) in *tests {
            let test = test_in(&text, name).with_context(|| format!("no test {name} in {path}"))?;
            for limit in *limits {
                ensure!(names(test, limit), "{name} in {path} does not name {limit}");
                tested.insert((*limit).to_owned());
            }
        }
    }
    let known = vectors()?;
    for (limit, vectors) in VECTORS {
        let missing = vectors.iter().find(|vector| !known.contains(**vector));
        ensure!(missing.is_none() && !vectors.is_empty(), "no vector {missing:?} for {limit}");
        tested.insert((*limit).to_owned());
    }
    let mut limits = constants("node/network/src/limits.rs")?;
    limits.extend(constants("protocol/src/limits.rs")?);
    let untested: Vec<_> = limits.difference(&tested).collect();
    let unknown: Vec<_> = tested.difference(&limits).collect();
    ensure!(limits.len() > 100, "only {} limits were found", limits.len());
    ensure!(untested.is_empty() && unknown.is_empty(), "no test: {untested:?}; no limit: {unknown:?}");
    Ok(())
}
