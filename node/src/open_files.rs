//! How many files the system lets a node have open, connections among them, and who gets how many.

use propagule_files::fault::Fault;
use propagule_files::system;
use propagule_network::limits::CONNECTIONS;

/// What a node asks the system for; it never uses as many.
const WANTED: u64 = 4_096;
/// With fewer a node would fail in the middle of something.
const FEWEST: u64 = 96;
/// Journals and files of the home, commands that ask the node, and some to spare.
const KEPT: u64 = 40 + 16 + 8;
/// Connections of browsers.
const PAGE: usize = 80;

/// Who may have how many connections open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct OpenFiles {
    /// Peers.
    pub(crate) peers: u32,
    /// Browsers, on this machine and in the local network.
    pub(crate) page: usize,
}

impl OpenFiles {
    /// Asks the system for as many as it gives, and shares them out.
    ///
    /// # Errors
    /// When they are too few for a node.
    pub(crate) fn ask() -> Result<Self, Fault> {
        Self::shared(system::open_files(WANTED))
    }

    /// Half of what is not kept goes to peers, a quarter to browsers; the rest is the library's own.
    fn shared(limit: Option<u64>) -> Result<Self, Fault> {
        let limit = limit.unwrap_or(WANTED);
        if limit < FEWEST {
            return Err(Fault::environment("too-few-open-files").with("limit", limit).with("fewest", FEWEST));
        }
        let rest = limit - KEPT;
        let peers = u32::try_from(rest / 2).map_or(CONNECTIONS, |half| half.min(CONNECTIONS));
        let page = usize::try_from(rest / 4).map_or(PAGE, |quarter| quarter.min(PAGE));
        Ok(Self { peers, page })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_are_shared_out_and_too_few_are_refused() {
        let shared = |limit| OpenFiles::shared(limit).ok().map(|shared| (shared.peers, shared.page));
        assert_eq!(shared(Some(128)), Some((32, 16)));
        assert_eq!(shared(Some(FEWEST)), Some((16, 8)));
        assert_eq!(shared(Some(1_024)), Some((64, 80)));
        assert_eq!(shared(None), Some((64, 80)));
        assert_eq!(shared(Some(FEWEST - 1)), None);
    }

    #[test]
    fn what_is_given_out_and_kept_is_never_more_than_there_is() {
        for limit in FEWEST..=WANTED {
            let OpenFiles { peers, page } = OpenFiles::shared(Some(limit)).expect("enough");
            assert!(u64::from(peers) + page as u64 + KEPT <= limit, "{limit}");
        }
    }
}
