//! What looking at everything found.

use propagule_files::fault::Fault;
use propagule_files::journal::Damage;
use propagule_network::store::Loss;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::archive::LastArchive;
use super::said::Said;
use crate::home::UnknownSetting;

/// All checks, and whether all is well.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Doctor {
    /// Version of the program.
    pub version: String,
    /// The oldest compiler that it is made with.
    pub rust_version: String,
    /// Whether every check is well.
    pub is_well: bool,
    /// In the order in which they are shown.
    pub checks: Vec<Finding>,
}

/// What is looked at, in the order in which it is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Check {
    /// Version, and what it can read.
    Program,
    /// The clock of the machine.
    Clock,
    /// The home folder and its name.
    Home,
    /// `config.toml`.
    Settings,
    /// Key files.
    Keys,
    /// The socket by which commands reach the running node.
    Socket,
    /// Whether the node runs, and what waits for it.
    Node,
    /// Signed records and their index.
    Store,
    /// The private bench record.
    Bench,
    /// Trials in print: those built in, and tables of this home.
    Printed,
    /// When the last archive was made.
    Archive,
    /// Quota and free space.
    Disk,
    /// The addresses that the node listens on.
    Listen,
    /// The port of the page.
    Page,
    /// Whom the node knows and reaches.
    Peers,
}

/// How a check ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum CheckState {
    /// Nothing to do.
    Ok,
    /// Something is wrong.
    Problem,
    /// Could not be looked at because of a problem above.
    NotChecked,
}

/// One check and how it ended.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Finding {
    /// What was looked at.
    pub check: Check,
    /// How it ended.
    pub state: CheckState,
    /// What was found.
    pub says: Said,
    /// What mends it; nothing where nothing is wrong.
    pub fix: Said,
}

impl Finding {
    /// All is well.
    pub fn ok(check: Check, found: Found) -> Self {
        Self::new(check, CheckState::Ok, found, Vec::new())
    }

    /// Something is wrong, and this mends it.
    pub fn problem(check: Check, found: Found, fix: Fix) -> Self {
        Self::new(check, CheckState::Problem, found, vec![fix])
    }

    /// A failure that stood in the way of the check is its problem.
    pub fn failed(check: Check, failure: &Fault) -> Self {
        let says = Said::Found(Found::Failed { fault: failure.clone() });
        let fix = Said::HintsOf { fault: failure.clone() };
        Self { check, state: CheckState::Problem, says, fix }
    }

    /// Nobody could look.
    pub fn not_checked(check: Check) -> Self {
        Self::new(check, CheckState::NotChecked, Found::NotLookedAt, Vec::new())
    }

    fn new(check: Check, state: CheckState, found: Found, fixes: Vec<Fix>) -> Self {
        Self { check, state, says: Said::Found(found), fix: Said::Fixes { fixes } }
    }
}

/// What a check found.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "found", rename_all = "snake_case")]
pub enum Found {
    /// What was wrong above stood in the way.
    NotLookedAt,
    /// A failure stood in the way.
    Failed {
        /// It.
        fault: Fault,
    },
    /// The program and what it can read.
    Program {
        /// Its version.
        version: String,
        /// Major version of records.
        major: u64,
        /// Minor version of records.
        minor: u64,
        /// The newest format of homes.
        home_format: u16,
    },
    /// The clock may be right.
    Clock {
        /// The day, as in 2026-06-05.
        today: String,
    },
    /// The clock stands before something that has happened.
    ClockEarly {
        /// What the clock says.
        today: String,
        /// What has happened.
        mark: ClockMark,
        /// When.
        on: String,
    },
    /// The clock stands long after everything that is known.
    ClockFarAhead {
        /// What the clock says.
        today: String,
        /// Years after that it is more likely wrong than right.
        years: i32,
        /// What has happened last.
        mark: ClockMark,
        /// When.
        on: String,
    },
    /// There is no home.
    NoHome {
        /// Where it was looked for.
        path: String,
    },
    /// The home.
    Home {
        /// Its folder.
        path: String,
        /// The network that it belongs to.
        network: String,
    },
    /// Files or folders that others may use.
    OpenToOthers {
        /// Which.
        files: Vec<OpenFile>,
    },
    /// Settings as they come.
    UsualSettings,
    /// Settings of a file.
    Settings {
        /// It.
        file: String,
    },
    /// Settings that have no effect.
    UnknownSettings {
        /// Which.
        settings: Vec<UnknownSetting>,
    },
    /// Keys, closed to others.
    Keys {
        /// Keys before the one that signs.
        former: usize,
    },
    /// The socket.
    Socket {
        /// Where.
        path: String,
    },
    /// The path of the socket is longer than the system takes.
    SocketPathTooLong {
        /// It.
        path: String,
    },
    /// Others may enter the folder of the socket.
    SocketFolderOpen {
        /// It.
        folder: OpenFile,
    },
    /// Whether the node runs.
    Node {
        /// Its id, where it runs.
        peer_id: Option<String>,
        /// Own records on their way out.
        waiting: usize,
    },
    /// A journal that is whole.
    Store {
        /// Public records.
        records: u64,
        /// Frames that were read for it, where each was.
        frames: Option<u64>,
    },
    /// A journal that is damaged, or an index that disagrees with it.
    Damaged {
        /// Damaged stretches.
        damage: Vec<Damage>,
        /// What else is wrong.
        unsound: Vec<String>,
    },
    /// Records that are lost and have not come back.
    Lost {
        /// Where, and which.
        losses: Vec<Loss>,
    },
    /// The bench record is whole.
    Bench {
        /// Trials.
        trials: usize,
        /// Entries.
        entries: usize,
    },
    /// Entries that this version cannot understand.
    UnreadEntries {
        /// How many.
        entries: usize,
    },
    /// Trials in print.
    Printed {
        /// Edition of those built in.
        version: u16,
        /// The day on which the last of them was read.
        date: String,
        /// SHA-256 over their tables.
        sha256: String,
        /// Treatments that may answer, those of this home's tables included.
        arms: usize,
        /// Works that they are from.
        sources: usize,
    },
    /// Rows or tables of trials in print that are not used.
    PrintedUnused {
        /// What is wrong with each table.
        faults: Vec<Fault>,
        /// Treatments that are used.
        arms: usize,
    },
    /// There are too few entries to need an archive.
    NoArchiveNeeded,
    /// When the last archive was made.
    Archive {
        /// When.
        last: LastArchive,
    },
    /// Room on the disk.
    Disk {
        /// What records use.
        used: DiskUse,
        /// Free bytes.
        free: u64,
    },
    /// The quota is used up.
    QuotaUsedUp {
        /// What records use.
        used: DiskUse,
    },
    /// The system does not say how much is free.
    FreeSpaceUnknown {
        /// What records use.
        used: DiskUse,
        /// The system's own words.
        why: String,
    },
    /// A journal could not go on for long.
    LittleSpace {
        /// What records use.
        used: DiskUse,
        /// Free bytes.
        free: u64,
    },
    /// Where the running node listens.
    ListensOn {
        /// The addresses.
        addresses: Vec<String>,
    },
    /// Addresses that can be listened on.
    CanListen {
        /// Which.
        addresses: Vec<String>,
    },
    /// A setting that is no address.
    ListenAddressMalformed {
        /// What stands there.
        address: String,
        /// What is wrong with it.
        why: String,
    },
    /// An address that cannot be listened on.
    CannotListen {
        /// It.
        address: String,
        /// The system's own words.
        why: String,
    },
    /// The port of the page.
    PagePort {
        /// Its number.
        port: u16,
        /// Who has it.
        held_by: PortHolder,
    },
    /// No peer is known.
    NoPeers,
    /// The peers.
    Peers {
        /// Addresses in the book.
        book: usize,
        /// When one of them was last met.
        last_met: Option<String>,
        /// Peers that are connected now; none while the node does not run.
        connected: Option<Connected>,
    },
}

/// What a clock is held against.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ClockMark {
    /// The release of this program.
    Release,
    /// The newest entry of this home.
    NewestEntry,
}

/// A file or folder that others may use.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct OpenFile {
    /// Its path.
    pub path: String,
    /// Its permission bits.
    pub mode: u32,
    /// Those that it should have.
    pub wanted: u32,
}

/// Bytes that records use, and the most that they may.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DiskUse {
    /// Used.
    pub bytes: u64,
    /// The most.
    pub quota: u64,
}

/// Who has a port.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PortHolder {
    /// Nobody.
    Nobody,
    /// Nobody, although the node runs.
    NobodyWhileServing,
    /// Somebody, while the node runs.
    SomebodyWhileServing,
    /// Another program.
    Other,
    /// The system gives it to nobody, for this reason.
    Refused(String),
}

/// Peers that are connected.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Connected {
    /// How many.
    pub peers: usize,
    /// When records were last exchanged with any of them.
    pub last_exchange: Option<String>,
}

/// What mends something.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "fix", rename_all = "snake_case")]
pub enum Fix {
    /// A command of this program.
    Command {
        /// Which.
        command: FixCommand,
        /// The folder of the home where commands have to name it.
        named_home: Option<String>,
    },
    /// Close files to others.
    Close {
        /// Which.
        files: Vec<OpenFile>,
    },
    /// Edit the settings.
    Edit {
        /// The file.
        file: String,
    },
    /// Have the system set its clock.
    SetClock,
    /// Do without the clock of the environment.
    UnsetClock,
    /// Have the socket in a folder with a short name.
    ShortSocketFolder,
    /// Look at the free space.
    LookAtSpace,
}

/// A command of this program that mends something.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum FixCommand {
    /// Make a home.
    Init,
    /// Run the node.
    Serve,
    /// Run it on whatever port is free.
    ServeOnAnyPort,
    /// Look at the files.
    StoreVerify,
    /// Salvage what is whole.
    StoreRepair,
    /// Leave out what is not needed.
    StoreCompact,
    /// The same, beside freeing space.
    StoreCompactAndFree,
    /// See whom it knows.
    PeersList,
}
