//! Everything that differs by system, behind one face; nothing else in the program asks which system it runs on.

#[cfg(unix)]
mod unix;
#[cfg(windows)]
mod windows;

#[cfg(unix)]
use unix as here;
#[cfg(windows)]
use windows as here;

pub use here::{
    LocalListener, LocalStream, SHARES_LISTENING_PORTS, Terminations, close_to_others, connect,
    create_private, free_bytes, is_of_this_user, mode_bits, open_files, open_to_others, private_folder,
    read_exact_at, restart_in_place, sync_folder, write_all_at,
};

/// Who may use a file that is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Access {
    /// Its owner only.
    Owner,
    /// Whoever the system lets by default.
    Usual,
}

impl Access {
    /// As the system writes it; none where a file takes over who may use its folder.
    pub fn permissions(self) -> Option<std::fs::Permissions> {
        here::permissions(self)
    }
}

/// Columns of the terminal to which this process writes; none where it writes to something else.
pub fn terminal_columns() -> Option<usize> {
    terminal_size::terminal_size_of(std::io::stdout()).map(|(width, _)| usize::from(width.0))
}
