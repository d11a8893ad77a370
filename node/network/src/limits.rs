//! Every limit of the network, the exchange and the store in one place, each with its reason.
//!
//! Each has a test that goes beyond it; `tests/tests/limits/table.rs` says where, and fails for one without.
//! Limits of the record format stand in the protocol crate. A limit on arrival only delays: what is valid depends on
//! bytes alone. What is held of it is each home's own choice, by `admission`.

use std::time::Duration;

// Connections.

/// Connections in all; a home node needs few, and each costs about 90 KB. A quarter of them this node opens itself, and
/// nobody else can take them.
pub const CONNECTIONS: u32 = 64;
/// Connections opened by others that have said that they belong to this network.
pub const CONNECTIONS_IN: u32 = CONNECTIONS / 2;
/// Connections opened by others that have not said so yet.
pub const ANTEROOM: u32 = CONNECTIONS / 4;
/// Of peers that came by themselves, so many are never moved for one reason: the longest here, the quickest, and so on.
pub const SHIELDED: usize = 4;
/// Connections to one peer: one by a relay, the direct one that takes its place, and one by which it is
/// checked whether the other can be reached.
pub const CONNECTIONS_PER_PEER: u32 = 3;
/// Connections to one /24 (IPv4) or /48 (IPv6), or to one address of the local network.
pub const CONNECTIONS_PER_ADDRESS_GROUP: usize = 4;
/// Connections by way of one relay, which could invent any number of peers behind it.
pub const CONNECTIONS_PER_RELAY: usize = 8;
/// Handshakes that others began and that are not finished.
pub const PENDING_IN: u32 = 64;
/// The same from one group of addresses.
pub const PENDING_PER_GROUP: usize = 4;
/// Handshakes begun here.
pub const PENDING_OUT: u32 = 8;
/// Connections that a node seeks by itself; more come from others.
pub const SOUGHT_CONNECTIONS: usize = 8;
/// Connections that a node seeks by itself within one group of addresses.
pub const SOUGHT_PER_GROUP: usize = 2;
/// Questions and replies under way over one connection.
pub const STREAMS_PER_PEER: usize = 4;
/// Commands waiting for the event loop.
pub const COMMANDS: usize = 64;
/// Questions of peers being answered.
pub const ANSWERS: usize = 32;

/// A connection that is not made by then will not be; whoever checks whether another can be reached must know
/// within the ten seconds for which the library waits.
pub const CONNECT_TIME: Duration = Duration::from_secs(5);

// Being reached.

/// Addresses that peers see this node at, taken up to be checked, a burst and then one in
/// [`CANDIDATE_GAP`]; the library remembers each for good.
pub const CANDIDATES: u32 = 32;
/// See [`CANDIDATES`].
pub const CANDIDATE_GAP: Duration = Duration::from_mins(10);
/// Peers in different address groups that must have reached this node at an address before it is believed
/// without a check of its own: one could lie.
pub const WITNESSES: usize = 2;
/// Nodes found nearby that are known at once. Whoever announces more than this floods, and finding is
/// switched off until the node starts again.
pub const NEARBY: usize = 256;
/// Relays that a node which cannot be reached keeps a place at: when one goes, the other is there.
pub const RELAYS_SOUGHT: usize = 2;
/// Places for others at a node that relays; each is a connection that is kept open.
pub const RELAY_PLACES: usize = 24;
/// Circuits through this node at the same time.
pub const RELAY_CIRCUITS: usize = 16;
/// Circuits of one peer through this node at the same time; who has as many is given no other.
pub const RELAY_CIRCUITS_PER_PEER: usize = 4;
/// Bytes through one circuit, both ways together. With the time and number of circuits it keeps a friend's
/// line free: at most 17 KiB a second.
pub const RELAY_CIRCUIT_BYTES: u64 = 128 << 10;
/// How long one circuit lasts.
pub const RELAY_CIRCUIT_TIME: Duration = Duration::from_mins(2);
/// Addresses in an invite.
pub const INVITE_ADDRESSES: usize = 6;
/// The longest invite that is read, in bytes; it holds [`INVITE_ADDRESSES`] of the longest.
pub const INVITE_BYTES: usize = 2_048;
/// Nodes on the list of those that may connect.
pub const ALLOWED_NODES: usize = 1_024;
/// The longest name on that list, in characters.
pub const ALLOWED_NAME: usize = 60;

// Conduct.

/// Points of conduct at which a peer is blocked: five things that nobody sends by mistake.
pub const POINTS_OF_PEER: u32 = 100;
/// Points at which a group of addresses gets one connection; it is charged half of what its peers are, so that
/// six peers in it must have been blocked.
pub const POINTS_OF_GROUP: u32 = 300;
/// Points older than this are forgotten.
pub const POINTS_MEMORY: Duration = Duration::from_mins(10);
/// How long a group gets one connection.
pub const GROUP_NARROWED: Duration = Duration::from_hours(1);
/// The longest block; each is twice as long as the one before.
pub const BLOCK_LONGEST: Duration = Duration::from_hours(24);
/// How long a record is not asked again of the peer that delivered a false one.
pub const SHUNNED_FOR: Duration = Duration::from_hours(24);
/// Peers whose points, blocks, quotas or allowances are remembered, and groups of addresses; the ones longest silent
/// are forgotten first.
pub const REMEMBERED_PEERS: usize = 4_096;

// Address book.

/// Addresses kept in the book.
pub const BOOK_ADDRESSES: usize = 512;
/// Addresses kept that one peer told of: a quarter, so that nobody fills the book alone.
pub const BOOK_ADDRESSES_PER_SOURCE: usize = BOOK_ADDRESSES / 4;
/// Addresses of one group that peers told of.
pub const BOOK_ADDRESSES_PER_GROUP: usize = 8;
/// Addresses told to a peer that asks.
pub const TOLD_ADDRESSES: usize = 16;
/// The longest address in bytes.
pub const ADDRESS_BYTES: usize = 256;
/// Failures in a row after which an address that a peer told of, and that never answered, is forgotten.
pub const FAILURES_OF_STRANGERS: u32 = 8;

// Gossip.

/// Gossip messages waiting to be judged; beyond, they are ignored and exchange brings them later.
pub const GOSSIP_QUEUE: usize = 2_048;
/// Bytes of gossip in one read from a peer. The library measures all that has arrived, not one
/// message, so a limit near the size of a message would end the stream whenever two come together.
pub const GOSSIP_READ_BYTES: usize = 64 << 10;
/// Gossip messages judged with one flush to disk.
pub const GOSSIP_BATCH: usize = 256;
/// Gossip messages that one peer may send at once; beyond, exchange brings them later.
pub const GOSSIP_BURST: u32 = 200;
/// The same, a second, after that.
pub const GOSSIP_PER_SECOND: u32 = 2;
/// Gossip messages of all peers together that are taken up at once; beyond, exchange brings them later. What a node
/// passes on stays below what [`GOSSIP_FLOOD`] lets its neighbours charge it for.
pub const GOSSIP_TAKEN_UP: u32 = 300;
/// The same, a second, after that.
pub const GOSSIP_TAKEN_UP_PER_SECOND: u32 = 16;
/// Gossip messages from one peer, at once, that nobody passes on who keeps to these limits.
pub const GOSSIP_FLOOD: u32 = 400;
/// The same, a second, after that.
pub const GOSSIP_FLOOD_PER_SECOND: u32 = 20;
/// Messages in one packet of gossip.
pub const GOSSIP_PACKET: usize = 64;
/// How long the library remembers which messages it has seen: some times as long as one takes to reach everybody.
pub const GOSSIP_SEEN: Duration = Duration::from_secs(20);
/// New records of one author that gossip takes in an hour; a whole season's trials fit.
pub const AUTHOR_PER_HOUR: u32 = 20;
/// Authors whose counts are remembered; the ones longest silent are forgotten first.
pub const REMEMBERED_AUTHORS: usize = 16_384;

// Admission.

/// New records a day of one author whom the grower backs, by every way together: a table of years comes in one day.
pub const BACKED_PER_DAY: u32 = 1_000;
/// The same of an author known for a month: three seasons' trials fit.
pub const KNOWN_PER_DAY: u32 = 60;
/// The same of everybody else. Those of one key are bounded a day and not in all: a home where it is new would otherwise
/// hold less of it for ever than one where it is known, and the two could not come to agree.
pub const NEW_PER_DAY: u32 = 64;
/// Share of the disk quota, in percent, that strangers keep when there is no room; what they have beyond is borrowed.
pub const NEW_SHARE: u64 = 15;
/// The same of authors known for a month.
pub const KNOWN_SHARE: u64 = 20;
/// Share of the disk quota, in percent, that is freed at least, since the journal is written anew for it.
pub const FREED_AT_ONCE: u64 = 2;
/// Days for which a range of strangers stays as narrow as it was made.
pub const RANGE_REST: u32 = 7;
/// Between two looks for room that found none.
pub const ROOM_GAP: Duration = Duration::from_mins(10);
/// Ids of records that were not kept, which are asked of nobody again that day; with more, some are asked for twice.
pub const REMEMBERED_LEFT: usize = 65_536;

// Publishing.

/// Of 256 neighbours and quarters of a year, those whose stems end here. The others are passed on, so that a stem has four
/// hops on average, and one in twenty more than eleven. No record and no neighbour can tell which it will be.
pub const STEMS_ENDED: u8 = 64;
/// Stemmed records of others under way here; beyond, the answer is "busy".
pub const STEMMED: usize = 256;
/// Stemmed records that one peer may hand over at once.
pub const STEM_BURST: u32 = 16;
/// The same, a minute, after that.
pub const STEM_PER_MINUTE: u32 = 1;
/// How long a node passes what comes from one neighbour on to the same next one: a quarter of a year. Changing it for
/// every record would show an author's records to ever more peers.
pub const STEM_QUARTER: Duration = Duration::from_hours(91 * 24 + 8);
/// Peers among which the next hop of others' records is drawn for a quarter.
pub const STEM_OUTLETS: usize = 2;
/// First hops of own records that are chosen within a year: each of them may be a spy, and learns what is one's own.
pub const GUARDS_A_YEAR: usize = 3;
/// Peers whose days of being connected are counted, so that one of them can become a first hop.
pub const GUARD_CANDIDATES: usize = 256;
/// Own records that wait for the network; more than these wait in the store.
pub const OUTBOX: usize = 10_000;

// Exchange.

/// Number of months that exist (1900-01 to 2199-12).
pub const MONTHS: u16 = 3_600;
/// How many months a signed month may be ahead of the local clock.
pub const MONTHS_AHEAD: i32 = 1;
/// Record ids in one fetch.
pub const FETCH_IDS: usize = 256;
/// Record bytes in one reply to a fetch; the rest is asked for again.
pub const FETCH_REPLY_BYTES: usize = 256 << 10;
/// The longest question: 256 ids, or one reconciliation frame.
pub const QUESTION_BYTES: usize = 48 << 10;
/// The longest reply: a full fetch, or 3,600 month rows.
pub const REPLY_BYTES: usize = 320 << 10;
/// How long a peer may take to reply.
pub const REPLY_TIME: Duration = Duration::from_secs(20);
/// A frame of reconciliation; unlimited ones let 5 bytes draw a 32 MB answer.
pub const FRAME_BYTES: usize = 32 << 10;
/// Reconciliation round trips in one session.
pub const ROUNDS: u32 = 64;
/// Bytes of reconciliation messages in one session, both ways.
pub const RECONCILE_BYTES: usize = 8 << 20;
/// Round trips that bring no id before a month is given up; a month of a million needs three.
pub const ROUNDS_WITHOUT_PROGRESS: u32 = 4;
/// Records fetched in one session; the next one goes on.
pub const SESSION_RECORDS: usize = 50_000;
/// A session ends after this long.
pub const SESSION_TIME: Duration = Duration::from_mins(1);
/// Pulling sessions at the same time, with one peer each.
pub const SESSIONS: usize = 4;
/// Sessions within one gap that found nothing new, after which other peers wait for the next gap: two, so that a
/// peer that hides records is found out. As many run at a time, the second only while the first takes long.
pub const IN_STEP_SESSIONS: usize = 2;
/// A frame of reconciliation over a relayed connection. Both sides may pull at once, and every byte counts
/// against [`RELAY_CIRCUIT_BYTES`]: several frames and replies each way must fit.
pub const RELAYED_FRAME_BYTES: usize = 8 << 10;
/// Record bytes in one reply to a fetch over a relayed connection.
pub const RELAYED_REPLY_BYTES: usize = 16 << 10;
/// Record ids in one fetch over a relayed connection: about as many as fit into the reply.
pub const RELAYED_FETCH_IDS: usize = 48;
/// Bytes that one session takes over a relayed connection, messages and records; two of them, one each way,
/// leave room in a circuit for the handshake and for gossip. The next session goes on.
pub const RELAYED_SESSION_BYTES: usize = 48 << 10;
/// Questions that a peer may ask at once; here and below for a stranger, and for whom the grower added or the local
/// network holds.
pub const QUESTIONS: (u64, u64) = (64, 256);
/// The same, a second, after that.
pub const QUESTIONS_PER_SECOND: (u64, u64) = (4, 16);
/// Bytes of answers that a peer may have at once: a year of a network of some thousands, or all there is.
pub const ANSWERED_BYTES: (u64, u64) = (32 << 20, 512 << 20);
/// The same, a second, after that.
pub const ANSWERED_BYTES_PER_SECOND: (u64, u64) = (128 << 10, 2 << 20);
/// Time of answering that a peer may have at once.
pub const ANSWER_TIME: (Duration, Duration) = (Duration::from_secs(2), Duration::from_secs(10));
/// The same, in each second after that.
pub const ANSWER_TIME_REFILL: (Duration, Duration) = (Duration::from_millis(20), Duration::from_millis(100));
/// Bytes that reconciling may answer with beyond what the peer's own bytes answer for: the ids of one session,
/// which are all answered before the first of them is fetched.
pub const UNMATCHED_BYTES: u64 = 2 << 20;
/// How long it takes until that is to be had again.
pub const UNMATCHED_REFILL: Duration = Duration::from_mins(10);
/// Bytes of reconciling for which one byte of a peer's questions answers.
pub const UNMATCHED_RATIO: (u64, u64) = (16, 64);
/// Bytes set aside for an answer beside frames and records.
pub const ALLOWANCE_SMALL_REPLY: usize = 4 << 10;
/// Bytes of answers that all peers together may have at once; after that the settings say how many a second.
pub const LINE_BYTES: u64 = 64 << 20;
/// How long a peer's turn is kept for it while many wait.
pub const TURN_KEPT: Duration = Duration::from_secs(30);
/// Months whose sorted ids are kept at hand, since a session asks for the same one several times.
pub const CACHED_MONTHS: usize = 4;

/// Authors asked for at once, outside the ranges that two homes have in common.
pub const HEADS: usize = 128;
/// Authors asked for in one session; the next one draws others.
pub const LANE_AUTHORS: usize = 1_024;
/// Ids of one author in one reply.
pub const LANE_IDS: usize = 1_000;
/// Ranges whose months are kept at hand: peers under pressure keep few different ones.
pub const CACHED_RANGES: usize = 8;

// Store.

/// Share of the disk quota for records kept aside, as a divisor.
pub const HELD_SHARE: u64 = 10;
/// The largest bundle that is written or read.
pub const BUNDLE_BYTES: u64 = 2 << 30;
/// The largest request file: month rows and eight bytes an id for eight million records.
pub const REQUEST_BYTES: u64 = 64 << 20;
