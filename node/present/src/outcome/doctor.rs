//! Checks of the doctor in words.

use crate::document::{Document, Item, List, Phrase};
use crate::fault;
use propagule_files::clock::CLOCK_VARIABLE;
use propagule_files::counted::counted;
use propagule_files::fault::Fault;
use propagule_files::paste::pasteable;

use super::command::propagule;
use super::{archive, opening, said, store};
use propagule_app::outcome::doctor::{
    Check, CheckState, ClockMark, Connected, DiskUse, Doctor, Finding, Fix, FixCommand, Found, OpenFile,
    PortHolder,
};

/// Each check in a line, and below it what mends it.
pub(super) fn all(doctor: &Doctor) -> Document {
    Document::new().list(List::points(doctor.checks.iter().map(one)))
}

fn one(finding: &Finding) -> Item {
    let state = match finding.state {
        CheckState::Ok => "ok",
        CheckState::Problem => "problem",
        CheckState::NotChecked => "-",
    };
    let said = format!("{state} {}: {}", name(finding.check), said::line(&finding.says));
    let fixes = said::lines(&finding.fix).into_iter();
    let fix = |under: Document, fix| under.say(Phrase::new().code(format!("hint: {fix}")));
    Item::from(said).with(Document::new().each(fixes, fix))
}

fn name(check: Check) -> &'static str {
    match check {
        Check::Program => "program",
        Check::Clock => "clock",
        Check::Home => "data folder",
        Check::Settings => "settings",
        Check::Keys => "keys",
        Check::Socket => "socket",
        Check::Node => "node",
        Check::Store => "store",
        Check::Bench => "bench",
        Check::Printed => "printed trials",
        Check::Archive => "archive",
        Check::Disk => "disk",
        Check::Listen => "listen",
        Check::Page => "page",
        Check::Peers => "peers",
    }
}

/// What a check found.
pub(super) fn found(found: &Found) -> String {
    match found {
        Found::NotLookedAt => "not checked: fix what stands above first".to_owned(),
        Found::Failed { fault } => fault::sentence(fault),
        Found::Program { version, major, minor, home_format } => format!(
            "propagule {version}: results of schema {major}.{minor}, data folders up to format {home_format}"
        ),
        Found::Clock { today } => format!("{today} in universal time"),
        Found::ClockEarly { today, mark, on } => {
            format!("the clock says {today}, which is before {} ({on})", clock_mark(*mark))
        }
        Found::ClockFarAhead { today, years, mark, on } => {
            format!("the clock says {today}, more than {years} years after {} ({on})", clock_mark(*mark))
        }
        Found::NoHome { path } => format!("there is no data folder at {path}"),
        Found::Home { path, network } => format!("{path}, of the network \"{network}\""),
        Found::OpenToOthers { files } => listed(files.iter().map(open_file)),
        Found::UsualSettings => "all as they come".to_owned(),
        Found::Settings { file } => file.clone(),
        Found::UnknownSettings { settings } => listed(settings.iter().map(opening::unknown_setting)),
        Found::Keys { former } => keys(*former),
        Found::Socket { path } => path.clone(),
        Found::SocketPathTooLong { path } => format!("{path} is longer than a socket's path may be"),
        Found::SocketFolderOpen { folder } => {
            format!("{} can be entered by others (mode {:03o})", folder.path, folder.mode)
        }
        Found::Node { peer_id, waiting } => node(peer_id.as_deref(), *waiting),
        Found::Store { records, frames } => records_held(*records, *frames),
        Found::Damaged { damage, unsound } => {
            listed(damage.iter().map(store::damage).chain(unsound.iter().cloned()))
        }
        Found::Lost { losses } => {
            format!("lost and not come back: {}", listed(losses.iter().map(store::loss)))
        }
        Found::Bench { trials, entries } => {
            format!("{}, {}", counted(*trials, "trial", "trials"), counted(*entries, "entry", "entries"))
        }
        Found::UnreadEntries { entries } => format!(
            "{} cannot be understood: damaged, or written by a newer version; nothing of it is lost",
            counted(*entries, "entry", "entries")
        ),
        Found::Printed { version, date, sha256, arms, sources } => format!(
            "edition {version} of {date}, SHA-256 {sha256}; {} of {} in all",
            counted(*arms, "treatment", "treatments"),
            counted(*sources, "source", "sources")
        ),
        Found::PrintedUnused { faults, arms } => printed_unused(faults, *arms),
        Found::NoArchiveNeeded => "not needed yet: there are only a few entries".to_owned(),
        Found::Archive { last } => {
            format!("{}; make one: {}", archive::last(last.days_ago), archive::make(last))
        }
        Found::Disk { used, free } => format!("{}; {} MB are free", records_use(*used), free >> 20),
        Found::QuotaUsedUp { used } => {
            format!("{}: those of others are not kept; raise quota_mb in config.toml, or", records_use(*used))
        }
        Found::FreeSpaceUnknown { used, why } => {
            format!("{}; free space cannot be read: {why}", records_use(*used))
        }
        Found::LittleSpace { used, free } => {
            format!("{}; only {} MB are free on that disk", records_use(*used), free >> 20)
        }
        Found::ListensOn { addresses } => format!("Propagule is running and listens on {}", list(addresses)),
        Found::CanListen { addresses } => format!("{} can be had", list(addresses)),
        Found::ListenAddressMalformed { address, why } => {
            format!("\"{address}\" in config.toml is not an address to listen on: {why}")
        }
        Found::CannotListen { address, why } => format!("cannot listen on {address}: {why}"),
        Found::PagePort { port, held_by } => page_port(*port, held_by),
        Found::NoPeers => "none known; add one with: propagule peers add INVITE".to_owned(),
        Found::Peers { book, last_met, connected } => peers(*book, last_met.as_deref(), connected.as_ref()),
    }
}

/// What is wrong with each row, how it is mended, and that the others are used.
fn printed_unused(faults: &[Fault], arms: usize) -> String {
    let what =
        listed(faults.iter().flat_map(|one| fault::what(one).lines().map(str::to_owned).collect::<Vec<_>>()));
    let hints = listed(faults.iter().flat_map(fault::hints));
    let used =
        if arms == 1 { "1 treatment is used".to_owned() } else { format!("{arms} treatments are used") };
    format!("{what}. {used}. Fix: {hints}")
}

fn listed(all: impl Iterator<Item = String>) -> String {
    all.collect::<Vec<_>>().join("; ")
}

fn list(addresses: &[String]) -> String {
    if addresses.is_empty() { "no address".to_owned() } else { addresses.join(", ") }
}

fn clock_mark(mark: ClockMark) -> &'static str {
    match mark {
        ClockMark::Release => "this program was released",
        ClockMark::NewestEntry => "the newest entry here was made",
    }
}

fn open_file(file: &OpenFile) -> String {
    format!("{} is open to others (mode {:03o})", file.path, file.mode)
}

fn keys(former: usize) -> String {
    match former {
        0 => "one that signs and one of this computer, closed to others".to_owned(),
        _ => format!("one that signs, {former} before it, and one of this computer, closed to others"),
    }
}

fn node(peer_id: Option<&str>, waiting: usize) -> String {
    let waiting = match waiting {
        0 => String::new(),
        many => format!(
            "; {} on the way out",
            counted(many, "published result of yours", "published results of yours")
        ),
    };
    match peer_id {
        Some(peer_id) => format!("running as {peer_id}{waiting}"),
        None => format!("not running{waiting} (propagule serve)"),
    }
}

fn records_held(records: u64, frames: Option<u64>) -> String {
    let records = counted(records, "published result", "published results");
    match frames {
        Some(frames) => {
            format!("{records} in {}, every signature checked again", counted(frames, "frame", "frames"))
        }
        None => format!("{records}, as many as the index counts; --full reads each"),
    }
}

fn records_use(DiskUse { bytes, quota }: DiskUse) -> String {
    format!("results use {} of {} MB", bytes.div_ceil(1 << 20), quota >> 20)
}

fn page_port(port: u16, held_by: &PortHolder) -> String {
    match held_by {
        PortHolder::NobodyWhileServing => {
            format!("port {port} is free: the page of the running Propagule is elsewhere, or it has none")
        }
        PortHolder::Nobody => format!("port {port} is free"),
        PortHolder::Refused(why) => format!("port {port} cannot be had ({why}): the next free one is taken"),
        PortHolder::SomebodyWhileServing => format!("port {port} is in use, while Propagule runs"),
        PortHolder::Other => {
            format!("port {port} is in use by another program: the page takes the next free one")
        }
    }
}

fn peers(book: usize, last_met: Option<&str>, connected: Option<&Connected>) -> String {
    let known = match (book, last_met) {
        (0, _) => "none in the book".to_owned(),
        (_, None) => format!("{book} in the book, none met yet"),
        (_, Some(met)) => format!("{book} in the book, last met {met}"),
    };
    match connected {
        None => known,
        Some(Connected { peers: 0, .. }) => {
            format!(
                "{known}; none can be reached now: this computer or theirs is off the network, or they moved"
            )
        }
        Some(Connected { peers, last_exchange }) => {
            let exchanged = last_exchange
                .as_ref()
                .map_or("not exchanged yet".to_owned(), |last| format!("last exchanged {last}"));
            format!("{known}; connected to {peers} now, {exchanged}")
        }
    }
}

/// What mends something, to be pasted.
pub(super) fn fix(fix: &Fix) -> String {
    match fix {
        Fix::Command { command, named_home } => propagule(named_home.as_deref(), words_of(*command)),
        Fix::Close { files } => {
            let close = |file: &OpenFile| format!("chmod {:o} {}", file.wanted, pasteable(&file.path));
            files.iter().map(close).collect::<Vec<_>>().join(" && ")
        }
        Fix::Edit { file } => format!("${{EDITOR:-nano}} {} # correct or delete that line", pasteable(file)),
        Fix::SetClock => "sudo timedatectl set-ntp true".to_owned(),
        Fix::UnsetClock => format!("unset {CLOCK_VARIABLE}"),
        Fix::ShortSocketFolder => "export XDG_RUNTIME_DIR=\"$(mktemp -d)\"".to_owned(),
        Fix::LookAtSpace => "df -h".to_owned(),
    }
}

fn words_of(command: FixCommand) -> &'static str {
    match command {
        FixCommand::Init => "init",
        FixCommand::Serve => "serve",
        FixCommand::ServeOnAnyPort => "serve --listen /ip4/127.0.0.1/tcp/0",
        FixCommand::StoreVerify => "store verify",
        FixCommand::StoreRepair => "store repair",
        FixCommand::StoreCompact => "store compact",
        FixCommand::StoreCompactAndFree => "store compact  # and free some space",
        FixCommand::PeersList => "peers list",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn peers_are_told_met_or_not_and_reached_or_not() {
        let now =
            |peers, last: Option<&str>| Some(Connected { peers, last_exchange: last.map(str::to_owned) });
        assert_eq!(peers(2, None, None), "2 in the book, none met yet");
        assert!(peers(2, Some("2026-11-25"), now(0, None).as_ref()).contains("none can be reached now"));
        let all = peers(0, None, now(3, Some("2026-11-26")).as_ref());
        assert_eq!(all, "none in the book; connected to 3 now, last exchanged 2026-11-26");
        assert!(peers(1, None, now(1, None).as_ref()).ends_with("connected to 1 now, not exchanged yet"));
    }

    #[test]
    fn a_fix_names_the_home_where_commands_do_not_find_it() {
        let of = |named_home: Option<&str>| {
            fix(&Fix::Command { command: FixCommand::StoreRepair, named_home: named_home.map(str::to_owned) })
        };
        assert_eq!(of(None), "propagule store repair");
        assert_eq!(of(Some("my home")), "propagule --home 'my home' store repair");
        let files = ["a b", "c"].map(|path| OpenFile { path: path.to_owned(), mode: 0o644, wanted: 0o600 });
        assert_eq!(fix(&Fix::Close { files: files.to_vec() }), "chmod 600 'a b' && chmod 600 c");
    }
}
